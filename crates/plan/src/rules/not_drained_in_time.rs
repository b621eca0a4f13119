use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::units::duration;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "not-drained-in-time", judge };

/// A tray should be empty before its next flood.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let gap = shortest_gap(&v.tray.schedule.starts.borrowed()[..], v.tray.schedule.run.get().value)?;
            let b = v.band(Figure::Drained);
            if !v.is_flooded() {
                return None;
            }
            let place = Place::key("timer.floods");
            let f = if gap <= 0.0 {
                Finding::new(Severity::Stop, RULE.name, "Floods overlap", format!("{}The next flood begins {} before the last has ended.", v.who(), duration(-gap)))
                    .mend("Set the starts further apart or the minutes shorter.")
            } else if b.likely > gap {
                Finding::new(Severity::Stop, RULE.name, "The tray never empties", if b.likely.is_infinite() { format!("{}It never falls to the drained mark.", v.who()) } else { format!("{}Draining takes {}, the next flood comes after {}.", v.who(), duration(b.likely), duration(gap)) })
                    .mend("Fewer floods, or a drain at floor level.")
            } else if b.high > gap {
                Finding::new(Severity::Care, RULE.name, "The tray may not empty in time", format!("{}Draining takes up to {}, the next flood comes after {}.", v.who(), duration(b.high), duration(gap)))
                    .mend("Time one drain; if it is as slow, set the floods further apart.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Empty before the next flood", format!("{}Drained after {}, the next flood comes {} after the stop.", v.who(), duration(b.likely), duration(gap)))
            };
            Some(f.at(place).measured(b.high, gap, "s"))
        })
        .collect()
}

/// Shortest time from a pump stop to the next start, round the clock; `None` without a flood.
pub(super) fn shortest_gap(starts: &[f64], run: f64) -> Option<f64> {
    let first = starts.first()?;
    let next = starts.iter().skip(1).copied().chain([first + 86_400.0]);
    starts.iter().zip(next).map(|(a, b)| b - a - run).min_by(f64::total_cmp)
}
