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
            let place = Place::key("timer.floods");
            if v.tray.schedule.starts.borrowed().is_empty() {
                let words = format!("{}The timer's program has no flood: roots get none.", v.who());
                let f = Finding::new(Severity::Note, RULE.name, "No flood is programmed", words);
                return Some(f.at(place).mend("Give it times of day, as in [\"07:00\", \"12:15\", \"18:00\"]."));
            }
            let gap = shortest_gap(&v)?;
            let b = v.band(Figure::Drained);
            if !v.is_flooded() {
                return None;
            }
            let f = if gap.abs() < 1.0 {
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "The pump never stops",
                    format!("{}One flood runs into the next: the tray is a pond.", v.who()),
                )
                .mend("Set the starts further apart or the minutes shorter.")
            } else if gap <= 0.0 {
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "Floods overlap",
                    format!("{}The next flood begins {} before the last has ended.", v.who(), duration(-gap)),
                )
                .mend("Set the starts further apart or the minutes shorter.")
            } else if b.likely > gap {
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "The tray never empties",
                    if b.likely.is_infinite() {
                        format!("{}It never falls to the drained mark.", v.who())
                    } else {
                        format!(
                            "{}Draining takes {}, the next flood comes after {}.",
                            v.who(),
                            duration(b.likely),
                            duration(gap)
                        )
                    },
                )
                .mend("Fewer floods, or a drain at floor level.")
            } else if b.high > gap {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The tray may not empty in time",
                    format!(
                        "{}Draining takes up to {}, the next flood comes after {}.",
                        v.who(),
                        duration(b.high),
                        duration(gap)
                    ),
                )
                .mend("Time one drain; if it is as slow, set the floods further apart.")
            } else {
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "Empty before the next flood",
                    format!(
                        "{}Drained after {}, the next flood comes {} after the stop.",
                        v.who(),
                        duration(b.likely),
                        duration(gap)
                    ),
                )
            };
            Some(f.at(place).measured(b.high, gap, "s"))
        })
        .collect()
}

/// Shortest time from the end of a flood of a tray to its next, round the clock, as the day really
/// runs (a shared pump floods its trays at each other's times too) and as its own program says (floods that
/// run into each other are one in the run); `None` without a flood.
pub(super) fn shortest_gap(v: &View<'_>) -> Option<f64> {
    let schedule = &v.tray.schedule;
    let (starts, run) = (schedule.starts.borrowed(), schedule.run.get().value);
    let nexts = starts.iter().skip(1).copied().chain(starts.first().map(|s| s + 86_400.0));
    let planned = starts.iter().zip(nexts).map(|(s, next)| next - s - run).min_by(f64::total_cmp)?;
    let floods: Vec<(f64, f64)> = v
        .survey
        .day
        .floods
        .iter()
        .filter(|f| f.tray == v.index)
        .map(|f| (f.start_s, if f.stop_s.is_finite() { f.stop_s } else { 86_400.0 }))
        .collect();
    let Some(first) = floods.first().map(|f| f.0) else { return Some(planned) };
    let next = floods.iter().skip(1).map(|f| f.0).chain([first + 86_400.0]);
    floods.iter().zip(next).map(|(f, next)| next - f.1).chain([planned]).min_by(f64::total_cmp)
}
