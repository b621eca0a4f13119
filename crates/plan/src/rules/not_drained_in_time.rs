use super::Rule;
use crate::survey::{Survey, View};
use tidewright_rig::finding::Place;
use tidewright_rig::units::duration;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "not-drained-in-time", judge };

/// A tray should be empty before its next flood.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let gap = shortest_gap(&v)?;
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

/// Shortest time from the end of a flood of a tray to its next, round the clock, as the day really
/// runs (a shared pump floods its trays at each other's times too); `None` without a flood.
pub(super) fn shortest_gap(v: &View<'_>) -> Option<f64> {
    let floods: Vec<(f64, f64)> = v
        .survey
        .day
        .floods
        .iter()
        .filter(|f| f.tray == v.index)
        .map(|f| (f.start_s, if f.stop_s.is_finite() { f.stop_s } else { 86_400.0 }))
        .collect();
    let first = floods.first()?.0;
    let next = floods.iter().skip(1).map(|f| f.0).chain([first + 86_400.0]);
    floods.iter().zip(next).map(|(f, next)| next - f.1).min_by(f64::total_cmp)
}
