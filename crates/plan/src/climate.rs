//! Air, oxygen and heat of a bench: its days at both ends, what happens when the air stops, what a pump below the water lets run,
//! which heater or chiller it would need, and which stones and pumps would do better.

use serde::Serialize;
use tidewright_physics::heat;
use tidewright_physics::hydraulics::line::Line;
use tidewright_physics::oxygen::{saturation, transfer};
use tidewright_physics::quantity::{celsius, m, mm, s};
use tidewright_physics::water;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Aeration, Stone};
use tidewright_rig::parts::{Library, air_of};
use tidewright_sim::climate::USUAL_CONDUCTANCE_US_CM;
use tidewright_sim::climate::blown::air_pressure;
use tidewright_sim::climate::failure::{Failure, failures};
use tidewright_sim::climate::{Blown, ClimateDay, End, blown, day, losses_w_k, power_to_hold};
use tidewright_sim::scenario::Scenario;
use tidewright_sim::stack::Manner;
use tidewright_sim::{Run, run, split};

/// Oxygen in what blocks give back, over saturation, where nobody followed it.
const USUAL_GIVEN_BACK: f64 = 0.8;
/// Oxygen at which stones and pumps are compared \[mg/L\]: a reservoir that wants air.
pub const COMPARED_AT_MG_L: f64 = 5.0;
/// Usual room for what is not known of a heater or chiller \[-\]: 1.25 to 1.5 (from memory).
pub const SPARE: f64 = 1.3;
/// Hours in which a heater should bring fresh water to what is wanted.
pub const BRING_HOURS: f64 = 4.0;

/// Everything on air and heat.
#[derive(Clone, Debug, Serialize)]
pub struct Climate {
    /// What the stones give; none without an air pump.
    pub blown: Option<Blown>,
    /// The day, likely.
    pub likely: ClimateDay,
    /// With least oxygen.
    pub low: ClimateDay,
    /// With most.
    pub high: ClimateDay,
    /// When the air stops.
    pub failures: Vec<Failure>,
    /// The air line as a siphon.
    pub siphon: Option<Siphon>,
    /// Power that would hold the water.
    pub needs: Needs,
}

/// The air line, full of water after the pump has stopped.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Siphon {
    /// Highest water over the highest point of the line (or over the pump) \[m\]; below nil nothing runs.
    pub head_m: f64,
    /// What would run out \[m³/s\].
    pub flow_m3_s: f64,
    /// Whether a check valve stands in the way.
    pub valve: bool,
}

/// Power that holds the water at what is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Needs {
    /// Loss of the reservoir to its room \[W/K\].
    pub loss_w_k: f64,
    /// Temperature that is looked at \[K\].
    pub wanted_k: f64,
    /// Coldest and warmest air of the day \[K\].
    pub room_k: (f64, f64),
    /// Fresh water: the colder of the coldest room and the bench file's water \[K\].
    pub fresh_k: f64,
    /// To hold it in the worst hour of the day, spare room included \[W\]; nil where none is needed.
    pub heater_w: f64,
    /// To bring fresh water to it in four hours \[W\].
    pub bring_w: f64,
    /// The same of cooling \[W\].
    pub chiller_w: f64,
}

/// The day of a bench's water and blocks on which heat and oxygen rest.
pub fn water(rig: &Rig) -> Run {
    run(rig, &Scenario::crop_day(rig, Manner::LIKELY))
}

impl Climate {
    /// Of a bench; `water`: its day with the crop where that was run already.
    pub fn of(rig: &Rig, water: Option<&Run>, given_back: Option<f64>) -> Option<Self> {
        let own;
        let water = match water.filter(|r| !r.course.is_empty()) {
            Some(r) => r,
            None => {
                own = self::water(rig);
                &own
            }
        };
        let back = given_back.unwrap_or(USUAL_GIVEN_BACK);
        let ends = [End::LIKELY, End::LOW, End::HIGH];
        let mut days = split::map(3, |i| day(rig, water, ends[i], back)).into_iter();
        let (likely, low, high) = (days.next()??, days.next()??, days.next()??);
        let highest = water.highest_reservoir_m;
        Some(Self {
            blown: blown(rig),
            failures: failures(rig, &likely, &low),
            siphon: rig.aeration.as_ref().map(|a| siphon(rig, a, highest)),
            needs: needs(rig, water),
            likely,
            low,
            high,
        })
    }
}

/// The air line as a siphon with the reservoir at its highest \[m over its floor\].
pub fn siphon(rig: &Rig, a: &Aeration, highest_m: f64) -> Siphon {
    let t = rig.site.water_temperature.get();
    // It may be filled to where it spills.
    let level = rig.reservoir.elevation.get() + m(highest_m).max(rig.reservoir.spill_height.get());
    let crown = a.pump.high_point.as_ref().map_or(a.pump.height.get(), |h| h.get().max(a.pump.height.get()));
    // Over its highest point water must stand to begin; it falls as far as the pump, its way out.
    let (starts, fall) = ((level - crown).value, (level - a.pump.height.get()).value);
    let flow = if starts > 0.0 && fall > 0.0 {
        a.stones
            .iter()
            .filter(|s| s.open.get())
            .map(|stone| {
                let line = Line {
                    bore: stone.bore.get(),
                    length: stone.length.get(),
                    roughness: mm(0.0015),
                    loss: 1.5,
                    viscosity_m2_s: water::kinematic_viscosity_m2_s(t),
                };
                line.flow(m(fall)).value
            })
            .fold(0.0, |a, b: f64| a + b)
    } else {
        0.0
    };
    Siphon { head_m: starts, flow_m3_s: flow, valve: a.pump.check_valve.get() }
}

fn needs(rig: &Rig, water: &Run) -> Needs {
    let habit = rig.growing.crop.habit;
    let wanted =
        rig.warmth.hold.as_ref().map_or(0.5 * (habit.root_degc[0] + habit.root_degc[1]) + 273.15, |h| h.get().value);
    let room = rig.growing.room();
    let (cold, hot) = room.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |r, x| (r.0.min(x.air_k), r.1.max(x.air_k)));
    let loss = losses_w_k(rig);
    let most = power_to_hold(rig, water, wanted).unwrap_or([0.0; 2]);
    let mass = heat::mass_of(rig.reservoir.fill.get(), celsius(wanted - 273.15));
    let fresh = cold.min(rig.site.water_temperature.get().value);
    Needs {
        loss_w_k: loss,
        wanted_k: wanted,
        room_k: (cold, hot),
        fresh_k: fresh,
        heater_w: SPARE * most[0],
        bring_w: heat::bringing(mass, (wanted - fresh).max(0.0), s(3600.0 * BRING_HOURS)).value,
        chiller_w: SPARE * most[1],
    }
}

/// An air pump with a stone, compared with others.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Choice {
    /// Names of the parts in the parts data; "yours" for the bench's own.
    pub pump: String,
    /// Stone.
    pub stone: String,
    /// Free air \[m³/s\].
    pub flow_m3_s: f64,
    /// Oxygen given at 5 mg/L, low, likely, high \[g/h\].
    pub oxygen_g_h: [f64; 3],
    /// For each watt \[g/Wh\].
    pub oxygen_g_wh: [f64; 3],
    /// Power \[W\].
    pub power_w: f64,
    /// A year of running and the price of both; none where a price is missing.
    pub first_year: Option<f64>,
    /// Grams for each unit of money in that year; none where a price is missing.
    pub grams_for_money: Option<[f64; 3]>,
}

/// The bench's own air against every air pump and stone of the parts data, the best for its money first.
pub fn compare(rig: &Rig, library: &Library) -> Vec<Choice> {
    let mut out: Vec<Choice> = rig.aeration.iter().map(|_| choice(rig, "yours", "yours", rig)).collect();
    // Everything else stays as it is on the bench: like is set beside like.
    let own = rig.aeration.as_ref();
    let of_kind = |kind: &'static str| library.parts().filter(move |p| p.kind == kind).map(|p| p.id.clone());
    for pump in of_kind("air pump") {
        for stone in of_kind("stone") {
            let Some(mut air) = air_of(library, &pump, &stone, rig) else { continue };
            if let (Some(own), Some(first)) = (own, air.stones.first().cloned()) {
                air.a_day = own.a_day.clone();
                air.pump.height = own.pump.height.clone();
                air.pump.high_point = own.pump.high_point.clone();
                air.pump.check_valve = own.pump.check_valve.clone();
                air.stones = own
                    .stones
                    .iter()
                    .map(|s| Stone { opening: first.opening.clone(), bubble: first.bubble.clone(), ..s.clone() })
                    .collect();
            }
            let mut other = rig.clone();
            other.aeration = Some(air);
            out.push(choice(&other, &pump, &stone, rig));
        }
    }
    let by = |c: &Choice| c.grams_for_money.map_or(0.0, |g| g[1]);
    out.sort_by(|a, b| by(b).total_cmp(&by(a)).then(a.pump.cmp(&b.pump)).then(a.stone.cmp(&b.stone)));
    out
}

fn choice(rig: &Rig, pump: &str, stone: &str, own: &Rig) -> Choice {
    let t = rig.site.water_temperature.get();
    let b = blown(rig);
    let (flow, depth, k) = b.as_ref().map_or((0.0, 0.0, [0.0; 3]), |b| (b.flow_m3_s(), b.depth_m, b.transfer_m3_s));
    let salinity = saturation::salinity_of_conductance_g_kg(USUAL_CONDUCTANCE_US_CM);
    let held = saturation::under_bubbles_mg_l(t, salinity, air_pressure(rig), m(depth));
    let given = k.map(|k| 3600.0 * k * transfer::temperature_factor(t) * (held - COMPARED_AT_MG_L).max(0.0));
    let power = rig.aeration.as_ref().map_or(0.0, |a| a.pump.power.get().value);
    let hours = rig.aeration.as_ref().map_or(24.0, |a| a.a_day.get().value / 3600.0) * 365.0;
    // "yours" is priced as the parts that the file names.
    let named = |path: &str| own.sheet.iter().find(|l| l.path == path).map(|l| l.text.trim_matches('"').to_owned());
    let price = |id: &str, paths: [&str; 2], other: &str| {
        let id = if id == "yours" { paths.iter().find_map(|p| named(p)).unwrap_or_default() } else { id.to_owned() };
        let all = || own.costs.prices.iter().filter(|p| p.currency == own.costs.currency);
        all().find(|p| p.id == id).or_else(|| all().find(|p| p.id == other)).map(|p| p.price)
    };
    let running = power * hours / 1000.0 * own.costs.electricity.get();
    let stones = rig.aeration.as_ref().map_or(1.0, |a| a.stones.len() as f64);
    let prices =
        (price(pump, ["air.part"; 2], "air-pump"), price(stone, ["air.stone.part", "air.stone[0].part"], "stone"));
    let first_year = match prices {
        (Some(a), Some(b)) => Some(a + stones * b + running),
        _ => None,
    };
    Choice {
        pump: pump.into(),
        stone: stone.into(),
        flow_m3_s: flow,
        oxygen_g_h: given,
        oxygen_g_wh: given.map(|g| if power > 0.0 { g / power } else { 0.0 }),
        power_w: power,
        grams_for_money: first_year.filter(|y| *y > 0.0).map(|y| given.map(|g| g * hours / y)),
        first_year,
    }
}

/// Hours as a person says them.
pub fn hours_words(h: f64) -> String {
    match h {
        h if h > 200.0 => "more than a week, if ever".into(),
        h if h > 96.0 => format!("{:.0} days", h / 24.0),
        h if h >= 10.0 => format!("{h:.0} h"),
        h if h >= 1.0 => format!("{h:.1} h"),
        h => format!("{:.0} min", 60.0 * h),
    }
}
