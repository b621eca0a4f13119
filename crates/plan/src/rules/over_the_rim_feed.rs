use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::Entry;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "over-the-rim-feed", judge };

/// A hose over the rim drains back only to its end, and siphons forward where the reservoir stands higher.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let rest = s.rig.reservoir.elevation.get().value + s.rig.reservoir.rest_depth().value;
    s.each()
        .filter_map(|v| {
            let Entry::OverRim { end, break_hole, .. } = &v.tray.entry else { return None };
            let stays = break_hole.as_ref().map_or(end.get(), |b| b.get().max(end.get())).value;
            let end_level = v.tray.elevation.get().value + end.get().value;
            let place = Place::key(v.key("end_height"));
            if rest > end_level && break_hole.is_none() {
                return Some(
                    Finding::new(
                        Severity::Stop,
                        RULE.name,
                        "The reservoir siphons into the tray",
                        format!("{}The resting water stands {} above the hose's end; once full, the hose runs until the levels meet.", v.who(), u.length(rest - end_level)),
                    )
                    .at(place)
                    .measured(rest, end_level, "m")
                    .mend("Drill a 3 mm hole in the top of the bend, or raise the tray above the reservoir's water."),
                );
            }
            if v.tray.drain.weep.is_some() {
                let words = format!("{}The hose siphons the tray back to {} above the floor; the weep hole empties the rest.", v.who(), u.length(stays));
                return Some(Finding::new(Severity::Good, RULE.name, "The weep hole empties the tray", words).at(place).measured(stays, 0.006, "m"));
            }
            Some(
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "The hose over the rim leaves water",
                    format!("{}It siphons the tray back only to {} above the floor; that much stays.", v.who(), u.length(stays)),
                )
                .at(place)
                .measured(stays, 0.006, "m")
                .mend("Let the end hang to the floor, or add a weep hole at floor level."),
            )
        })
        .collect()
}
