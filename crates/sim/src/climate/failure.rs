//! How long oxygen lasts when the air stops.

use super::oxygen::{Sat, roots_in_tray_mg_h, roots_mg_h};
use super::{ClimateDay, End};
use crate::flood;
use serde::Serialize;
use tidewright_physics::oxygen::transfer::{self, hours_to};
use tidewright_physics::quantity::celsius;
use tidewright_rig::Rig;

/// Oxygen that is looked at \[mg/L\]: look after it; act; hardly any root grows; roots die within days. From memory; lettuce grew the
/// same from 2.1 to 16.8 mg/L (Goto et al. 1996), and was hurt at 0.32 (Yoshida et al. 1997).
pub const THRESHOLDS: [f64; 4] = [5.0, 4.0, 3.0, 2.0];

/// One way in which it stops.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Failure {
    /// Kebab-case name.
    pub name: &'static str,
    /// In words.
    pub words: String,
    /// Volume whose oxygen is used up \[L\].
    pub litres: f64,
    /// Used in an hour \[mg\].
    pub use_mg_h: f64,
    /// Hours to each threshold, as likely as not; infinite where it stays above.
    pub hours: [f64; 4],
    /// The same with roots and microbes at their high end.
    pub hours_low: [f64; 4],
}

/// The ways: air and floods off, as when the power fails (roots in the tray's blocks then breathe air); air off while floods go on;
/// and each tray that stays full.
///
/// None where no roots are reckoned (a bed of grains). The low end starts from the low day.
pub fn failures(rig: &Rig, day: &ClimateDay, low: &ClimateDay) -> Vec<Failure> {
    let kelvin = day.mean_k();
    let t = celsius(kelvin - 273.15);
    let sat = Sat::of(rig).at(kelvin);
    // The morning of a likely day.
    let start = day.oxygen_span().0.min(sat);
    let start_low = low.oxygen_span().0.min(start);
    let all = roots_mg_h(rig, t);
    if all <= 0.0 {
        return Vec::new();
    }
    let litres = 1e3 * rig.reservoir.fill.get().value;
    let r = &rig.reservoir;
    let still = transfer::STILL_SURFACE_M_H * transfer::temperature_factor(t);
    let open = if r.lid.get() { 0.0 } else { still * r.shape.si().area(r.rest_depth().value) };
    let of = |name: &'static str, words: String, litres: f64, wanted: f64, rate: f64| {
        let hours = |end: End, start: f64| {
            let factor = if name == "tray-stays-full" { end.roots } else { end.roots * end.others };
            THRESHOLDS.map(|th| hours_to(th, start, sat, rate, wanted * factor / litres))
        };
        let used = wanted * if name == "tray-stays-full" { 1.0 } else { End::LIKELY.others };
        Failure {
            name,
            words,
            litres,
            use_mg_h: used,
            hours: hours(End::LIKELY, start),
            hours_low: hours(End::LOW, start_low),
        }
    };
    // A lid is taken as tight here.
    let k = open * 1e3 / litres;
    let mut out = vec![of("air-stops", "air and floods stop; the reservoir stands".into(), litres, all, k)];
    // With floods, the roots under water draw on the reservoir for as long as they stand in it.
    let under: f64 = rig
        .trays
        .iter()
        .enumerate()
        .map(|(i, tray)| {
            let a_day = tray.schedule.starts.borrowed().len() as f64 * 1.5 * tray.schedule.run.get().value / 86_400.0;
            roots_in_tray_mg_h(rig, i, t) * a_day.min(1.0)
        })
        .sum();
    let drawn = |end: End| (all * end.roots * end.others + under * end.roots) / litres;
    out.push(Failure {
        name: "air-stops-floods-go-on",
        words: "the air pump stops, floods go on; what falling water brings is not counted".into(),
        litres,
        use_mg_h: all * End::LIKELY.others + under,
        hours: THRESHOLDS.map(|th| hours_to(th, start, sat, k, drawn(End::LIKELY))),
        hours_low: THRESHOLDS.map(|th| hours_to(th, start_low, sat, k, drawn(End::LOW))),
    });
    for (i, tray) in rig.trays.iter().enumerate() {
        let Some(b) = &tray.blocks else { continue };
        let depth = tray.crest().unwrap_or(tray.rim() * 0.5).value;
        let free = flood::store(tray, 1.0).volume(depth).max(1e-4);
        let surface = (tray.shape.si().area(depth) - b.plan_area().value).max(0.0);
        // The blocks' own water is drawn on, too.
        let under = (depth - b.base.get().value).clamp(0.0, b.total_height().value);
        let volume = 1e3 * (free + b.medium.retention.theta_s * b.plan_area().value * under);
        let rate = still * surface * 1e3 / volume;
        let words = format!("{} stays full to its crest with all roots in it", tray.name);
        out.push(of("tray-stays-full", words, volume, roots_in_tray_mg_h(rig, i, t), rate));
    }
    out
}
