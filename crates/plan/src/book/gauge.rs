//! The same stopwatch, later: what fill and drain times mean when something wears, kinks or clogs.

use serde::Serialize;
use tidewright_physics::quantity::Length;
use tidewright_rig::{Rig, Value};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Knobs, Run, Scenario, run};

/// Times of one tray in one state.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GaugeRow {
    /// What is wrong.
    pub state: &'static str,
    /// Pump on to crest wet \[s\]; infinite where it never is.
    pub crest_wet_s: f64,
    /// Pump off to drained \[s\].
    pub drained_s: f64,
    /// Highest water \[m\].
    pub highest_m: f64,
    /// What to do.
    pub act: &'static str,
}

/// Loss of a kinked hose \[-\]: squeezed to two fifths of its bore, contraction 0.42 and expansion 0.71 over β⁴ are 44, friction does
/// the rest. How far a kink squeezes: common practice, no source.
const KINK_LOSS: f64 = 60.0;

/// The gauge of one tray.
pub fn gauge(rig: &Rig, tray: usize) -> Vec<GaugeRow> {
    let pump = rig.trays[tray].pump;
    let nominal = Knobs::nominal(rig);
    let share = |x: f64| {
        let mut k = nominal.clone();
        k.pumps[pump].flow_share *= x;
        k
    };
    let kinked = {
        let mut r = rig.clone();
        let p = &mut r.pumps[pump];
        p.throttle = Value::new(p.throttle.get() + KINK_LOSS, p.throttle.birth.clone());
        r
    };
    let locked = {
        // A pocket of air in the hose leaves the pump three tenths of its flow. Common practice, no source.
        let mut k = nominal.clone();
        k.pumps[pump].flow_share *= 0.3;
        k
    };
    let half_shut = {
        let mut r = rig.clone();
        if let Some(riser) = r.trays[tray].drain.riser.as_mut() {
            let bore: Length = riser.bore.get() * 0.5f64.sqrt();
            riser.bore = Value::new(bore, riser.bore.birth.clone());
        }
        r
    };
    let dirty = {
        let mut k = nominal.clone();
        k.pumps[pump].reverse_loss *= 3.0;
        k
    };
    let row = |state: &'static str, rig: &Rig, knobs: Knobs, act: &'static str| {
        let base = Scenario::flood_of(rig, tray);
        let options = Options { keep: Keep::Events, rtol: 1e-5, ..Options::default() };
        let out: Run = run(rig, &Scenario { knobs, options, ..base });
        let f = out.flood(tray).copied();
        GaugeRow {
            state,
            crest_wet_s: f.map_or(f64::INFINITY, |f| f.crest_wet_s),
            drained_s: f.map_or(f64::INFINITY, |f| f.drained_s),
            highest_m: out.highest_m.get(tray).copied().unwrap_or(0.0),
            act,
        }
    };
    vec![
        row("as built, clean", rig, nominal.clone(), "this is the line to compare with: better, your own first day"),
        row("pump at three quarters", rig, share(0.75), "clean the sponge and the inlet"),
        row("pump at half", rig, share(0.5), "open the impeller, or a new pump"),
        row("hose kinked", &kinked, nominal.clone(), "look along the hose; a bend wants five diameters"),
        row("air in the hose", rig, locked, "lift the hose until it gurgles; a 3 mm vent hole at the top"),
        row("riser half shut", &half_shut, nominal, "roots in the strainer or the riser: pull it and look"),
        row("pump lets little back", rig, dirty, "roots or lime in the pump: the drain tells it first"),
    ]
}
