//! Electric loads of a bench: what hangs on which contact, what it draws, what a battery carries. Information, not permission: local
//! code and a licensed electrician decide.

use serde::Serialize;
use tidewright_rig::Rig;

/// Power factor: small pumps, and what has a driver or a heating element \[-\]. From memory: 0.5–0.7 and over 0.9.
const PUMP_FACTOR: f64 = 0.6;
const DRIVER_FACTOR: f64 = 0.9;
/// Current at the start of a small motor over its running current \[-\]. From memory: 3 to 6.
const MOTOR_INRUSH: f64 = 5.0;
/// Share of a circuit that a load of hours may take \[-\]. Source: NEC 210.20(A), continuous loads 125 % (from memory).
pub const CONTINUOUS: f64 = 0.8;
/// Heat that a chiller takes out for each watt \[-\]. From memory: small ones 1.5 to 3.
pub const CHILLER_EFFICIENCY: f64 = 2.0;
/// Peak that a timer's contacts bear over their rating, below a millisecond or at a motor's start \[-\]. Common practice, no source.
pub const CONTACT_PEAK: f64 = 10.0;

/// Word for what a thermostat switches.
pub const THERMOSTAT: &str = "its thermostat";

/// One load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ElectricLoad {
    /// What it is.
    pub name: String,
    /// Power \[W\].
    pub power_w: f64,
    /// Running current \[A\].
    pub current_a: f64,
    /// Peak when it is switched on \[A\].
    pub peak_a: f64,
    /// Hours a day that it runs.
    pub hours: f64,
    /// What switches it.
    pub switched_by: &'static str,
}

/// The electricity of a bench.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Electric {
    /// Loads in the order to start them after a cut: air first, lamps last.
    pub loads: Vec<ElectricLoad>,
    /// All running together \[A\], others on the circuit included.
    pub together_a: f64,
    /// What the circuit may carry for hours \[A\].
    pub allowed_a: f64,
    /// A day \[kWh\].
    pub energy_kwh_d: f64,
    /// Hours that the battery carries the air pump.
    pub battery_h: Option<f64>,
    /// Water can stand as high as this over the floor of the room \[m\].
    pub highest_water_m: f64,
}

/// Hours a day that a pump runs: floods of trays that share it run together where they overlap.
fn pump_hours(rig: &Rig, pump: usize) -> f64 {
    let mut runs: Vec<(f64, f64)> = rig
        .trays_of(pump)
        .flat_map(|(_, t)| t.schedule.starts.borrowed().iter().map(|s| (*s, s + t.schedule.run.get().value)))
        .collect();
    runs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut sum, mut end) = (0.0, f64::NEG_INFINITY);
    for (from, to) in runs {
        sum += (to - from.max(end)).max(0.0);
        end = end.max(to);
    }
    (sum / 3600.0).min(24.0)
}

/// Loads and sums.
pub fn of(rig: &Rig) -> Electric {
    let v = rig.mains.voltage.get().value;
    let load = |name: String, power: f64, factor: f64, inrush: f64, hours: f64, by: &'static str| {
        let current = power / (v * factor);
        ElectricLoad { name, power_w: power, current_a: current, peak_a: inrush * current, hours, switched_by: by }
    };
    let mut loads = Vec::new();
    if let Some(a) = &rig.aeration {
        let hours = a.a_day.get().value / 3600.0;
        loads.push(load("air pump".into(), a.pump.power.get().value, PUMP_FACTOR, MOTOR_INRUSH, hours, "always on"));
    }
    for (i, p) in rig.pumps.iter().enumerate() {
        let hours = pump_hours(rig, i);
        loads.push(load(p.name.clone(), p.power.get().value, PUMP_FACTOR, MOTOR_INRUSH, hours, "flood timer"));
    }
    if let Some(h) = &rig.warmth.heater {
        loads.push(load("heater".into(), h.get().value, 1.0, 1.0, 24.0, THERMOSTAT));
    }
    if let Some(c) = &rig.warmth.chiller {
        let power = c.get().value / CHILLER_EFFICIENCY;
        loads.push(load("chiller".into(), power, PUMP_FACTOR, MOTOR_INRUSH, 24.0, THERMOSTAT));
    }
    let lit = rig.growing.lit.get().value / 3600.0;
    let by = if rig.mains.contactor.get() { "contactor" } else { "lamp timer" };
    for l in &rig.lamps {
        let inrush = rig.mains.lamp_inrush.get();
        loads.push(load(l.name.clone(), l.power.get().value, DRIVER_FACTOR, inrush, lit, by));
    }
    let own: f64 = loads.iter().map(|l| l.current_a).sum();
    let battery = rig
        .mains
        .battery
        .as_ref()
        .zip(rig.aeration.as_ref())
        .map(|(b, a)| b.get().value / 3600.0 * rig.mains.battery_share.get() / a.pump.power.get().value);
    let trays = rig.trays.iter().map(|t| (t.elevation.get() + t.rim()).value);
    let reservoir = (rig.reservoir.elevation.get() + rig.reservoir.shape.depth()).value;
    Electric {
        together_a: own + rig.mains.others.get().value,
        allowed_a: CONTINUOUS * rig.mains.circuit.get().value,
        // What a thermostat switches runs as it must: not counted here.
        energy_kwh_d: loads.iter().filter(|l| l.switched_by != THERMOSTAT).map(|l| l.power_w * l.hours / 1000.0).sum(),
        battery_h: battery,
        highest_water_m: trays.fold(reservoir, f64::max),
        loads,
    }
}
