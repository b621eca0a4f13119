use super::Rule;
use super::not_drained_in_time::shortest_gap;
use crate::survey::Survey;
use tidewright_rig::calibration::Quantity;
use tidewright_rig::finding::Place;
use tidewright_rig::units::{duration, stopwatch};
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "slow-drain", judge };

/// Draining through the stopped pump is how these benches work; nobody publishes how such pumps
/// pass water backwards. `care` beyond 30 min or a third of the interval at the slow end.
const SLOW: f64 = 1800.0;

fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let pump = &s.rig.pumps[v.tray.pump];
            if pump.check_valve.get() && v.tray.drain.weep.is_none() {
                return None;
            }
            let b = v.band(Figure::Drained);
            if !v.is_flooded() {
                return None;
            }
            let place = Place::key(s.rig.key_of_pump(v.tray.pump, "reverse_loss"));
            let limit = shortest_gap(&v).map_or(SLOW, |g| (g / 3.0).min(SLOW)).max(60.0);
            let longest = if b.high.is_finite() { stopwatch(b.high) } else { "no end".into() };
            let span = format!("{} is likely, {} to {longest} is possible", duration(b.likely), stopwatch(b.low));
            let read = s.rig.readings.iter().any(|r| r.tray == v.index && r.quantity == Quantity::Drained);
            let f = if b.likely.is_infinite() {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The tray does not drain",
                    format!("{}The water never falls to the drained mark.", v.who()),
                )
                .mend("Check the hose's end and the lip of the fitting; add a weep hole.")
            } else if b.high > limit {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "Draining is slow",
                    format!("{}{span}; {} should do.", v.who(), duration(limit)),
                )
                .mend("Time one drain. A weep hole of 5 mm, or a wider feed, makes it quicker.")
            } else if pump.reverse_loss.is_assumed() && v.tray.drain.weep.is_none() && !read {
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "Draining rests on the stopped pump",
                    format!("{}{span}: nobody publishes how such pumps pass water backwards.", v.who()),
                )
                .mend("Time one drain with a watch and write it down as a reading: that closes most of the span.")
            } else {
                Finding::new(Severity::Good, RULE.name, "The tray drains in time", format!("{}{span}.", v.who()))
            };
            Some(f.at(place).measured(b.high, limit, "s"))
        })
        .collect()
}
