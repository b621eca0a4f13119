//! What an air pump and its stones give a reservoir: flow through each stone, and oxygen with its band.

use tidewright_physics::aeration::{AirLine, OperatingPoint, Port, operating_point};
use tidewright_physics::oxygen::{self, bubbles, saturation, transfer};
use tidewright_physics::quantity::{Length, Pressure, VolumeRate, celsius, m, m3, m3_s};
use tidewright_physics::{GRAVITY_M_S2, water};
use tidewright_rig::Rig;
use tidewright_rig::bench::{Aeration, Stone};

/// Most of the oxygen blown in that a metre of depth takes up \[1/m\], low, likely, high: published efficiencies in clean water.
///
/// 8.5–9.8 %/m of modern fine bubbles on a full floor (Darmstadt, 306 tests, abstract), 5.8–7.3 of ceramic discs (abstract), 2–3 of
/// coarse ones (from memory). No measured value is published for small stones at 0.2 to 0.4 m.
pub const MOST_PER_METRE: [f64; 3] = [0.025, 0.05, 0.085];
/// Transfer in this water over that in clean water \[-\]: 0.8 to 1 for a clear nutrient solution (from memory; measure).
pub const ALPHA: [f64; 3] = [0.8, 0.9, 1.0];

/// What one stone gives.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct StoneOut {
    /// Its name.
    pub name: String,
    /// Whether its port is open.
    pub open: bool,
    /// Free air through it \[m³/s\].
    pub flow_m3_s: f64,
    /// Water over it at rest \[m\].
    pub depth_m: f64,
    /// kLa V in clean water at 20 °C, low, likely, high \[m³/s\].
    pub transfer_m3_s: [f64; 3],
}

/// What all of them give.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Blown {
    /// Gauge pressure at the manifold \[Pa\].
    pub pressure_pa: f64,
    /// Pressure that the pump makes at no flow \[Pa\].
    pub most_pa: f64,
    /// Stone by stone.
    pub stones: Vec<StoneOut>,
    /// kLa V in this water at 20 °C, low, likely, high \[m³/s\].
    pub transfer_m3_s: [f64; 3],
    /// Mean depth of the open stones, by their air \[m\].
    pub depth_m: f64,
    /// Hours of the day that it blows.
    pub hours: f64,
    /// The hours without lie in the night before the light goes on \[s after midnight\].
    pub until_s: f64,
    /// Whether a clean-water test of the bench's own stands behind it.
    pub measured: bool,
}

impl Blown {
    /// Whether it blows at a time of day \[s after midnight\].
    pub fn is_on(&self, t_s: f64) -> bool {
        let without = 86_400.0 - 3600.0 * self.hours;
        (t_s - (self.until_s - without)).rem_euclid(86_400.0) >= without
    }

    /// All air \[m³/s\].
    pub fn flow_m3_s(&self) -> f64 {
        self.stones.iter().map(|s| s.flow_m3_s).sum()
    }
}

/// Pressure of the air here.
pub fn air_pressure(rig: &Rig) -> Pressure {
    saturation::standard_pressure(rig.site.altitude.get())
}

/// Ports as the manifold sees them with the reservoir this deep.
fn ports(a: &Aeration, depth_m: f64, density: f64) -> Vec<Port> {
    a.stones
        .iter()
        .filter(|s| s.open.get())
        .map(|s| Port {
            line: AirLine { bore: s.bore.get(), length: s.length.get() },
            water_pa: density * GRAVITY_M_S2 * over(s, depth_m),
            opening_pa: s.opening.get().value,
            resistance_pa_s_m3: 0.0,
            valve_pa: if a.pump.check_valve.get() { a.pump.valve_opening.get().value } else { 0.0 },
        })
        .collect()
}

/// Water over a stone \[m\].
fn over(s: &Stone, depth_m: f64) -> f64 {
    (depth_m - s.height.get().value).max(0.0)
}

/// Pump, lines and stones solved with the reservoir at rest; `share`: of its print that the pump gives.
pub fn point(rig: &Rig, a: &Aeration, share: f64) -> OperatingPoint {
    let t = rig.site.water_temperature.get();
    let ports = ports(a, rig.reservoir.rest_depth().value, water::density(t).value);
    operating_point(a.pump.curve.borrowed(), share, &ports, t, air_pressure(rig))
}

/// kLa V of one stone in clean water at 20 °C \[m³/s\]: bubbles rigid and mobile, held below published efficiencies.
pub fn transfer_of(flow: VolumeRate, depth: Length, bubble: Length, air: Pressure) -> [f64; 3] {
    let t = celsius(20.0);
    if flow.value <= 0.0 || depth.value <= 0.0 {
        return [0.0; 3];
    }
    let column = water::density(t).value * GRAVITY_M_S2 * 0.5 * depth.value;
    // The same air, smaller under the water.
    let pressed = m3_s(flow.value * air.value / (air.value + column));
    let rise = bubbles::rise_contaminated_m_s(bubble, t);
    let of = |film: f64| film * bubbles::surface_per_volume_1_m(pressed, depth, bubble, rise, m3(1.0));
    let (rigid, mobile) = (of(bubbles::film_rigid_m_s(rise, bubble, t)), of(bubbles::film_mobile_m_s(rise, bubble, t)));
    let held = saturation::under_bubbles_mg_l(t, 0.0, air, depth);
    // Oxygen blown in over what the water holds: kLa V that would take up all of it.
    let fed = flow.value * oxygen::in_air_g_m3(t) * air.value / saturation::ATMOSPHERE_PA / held;
    let most = MOST_PER_METRE.map(|e| (e * depth.value).min(1.0) * fed);
    [rigid.min(mobile).min(most[0]), mobile.max(rigid).min(most[1]), mobile.max(rigid).min(most[2])]
}

/// What a bench's air gives its reservoir at rest; none without an air pump.
pub fn blown(rig: &Rig) -> Option<Blown> {
    let a = rig.aeration.as_ref()?;
    let share = a.pump.as_sold.get().median();
    let at = point(rig, a, share);
    let rest = rig.reservoir.rest_depth().value;
    let air = air_pressure(rig);
    let mut flows = at.flows.iter();
    let stones: Vec<StoneOut> = a
        .stones
        .iter()
        .map(|s| {
            let flow = if s.open.get() { flows.next().copied().unwrap_or(m3_s(0.0)) } else { m3_s(0.0) };
            let depth = over(s, rest);
            StoneOut {
                name: s.name.clone(),
                open: s.open.get(),
                flow_m3_s: flow.value,
                depth_m: depth,
                transfer_m3_s: transfer_of(flow, m(depth), s.bubble.get(), air),
            }
        })
        .collect();
    let all: f64 = stones.iter().map(|s| s.flow_m3_s).sum();
    let depth = if all > 0.0 { stones.iter().map(|s| s.flow_m3_s * s.depth_m).sum::<f64>() / all } else { 0.0 };
    let measured = a.test.as_ref().map(|t| {
        let at_20 =
            t.fitted.kla_1_h / 3600.0 / transfer::temperature_factor(t.temperature.get()) * t.volume.get().value;
        let error = (2.0 * t.fitted.error_1_h / t.fitted.kla_1_h).clamp(0.02, 0.9);
        [at_20 * (1.0 - error), at_20, at_20 * (1.0 + error)]
    });
    let sum = |k: usize| stones.iter().map(|s| s.transfer_m3_s[k]).sum::<f64>();
    let clean = measured.unwrap_or([sum(0), sum(1), sum(2)]);
    Some(Blown {
        pressure_pa: at.pressure_pa,
        most_pa: a.pump.curve.borrowed().max_pressure().value,
        transfer_m3_s: [0, 1, 2].map(|k| ALPHA[k] * clean[k]),
        stones,
        hours: a.a_day.get().value / 3600.0,
        until_s: rig.growing.on.get(),
        depth_m: depth,

        measured: measured.is_some(),
    })
}
