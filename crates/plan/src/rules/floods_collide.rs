use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::units::clock;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;

pub(super) const RULE: Rule = Rule { name: "floods-collide", judge };

/// Trays that share a reservoir and flood at once must have water for all of them.
fn judge(s: &Survey) -> Vec<Finding> {
    if s.rig.trays.len() < 2 {
        return Vec::new();
    }
    let together = s.day.floods.iter().enumerate().find_map(|(i, a)| {
        s.day.floods[..i]
            .iter()
            .find(|b| b.tray != a.tray && s.rig.trays[b.tray].pump != s.rig.trays[a.tray].pump && a.start_s < b.stop_s && b.start_s < a.stop_s)
            .map(|b| (a, b))
    });
    let place = Place::key("timer.floods");
    let dry = s.day.any(EventKind::PrimeLost);
    let u = s.units();
    vec![match together {
        Some((a, b)) if dry => Finding::new(
            Severity::Stop,
            RULE.name,
            "Floods that share the reservoir collide",
            format!("{} and {} run together at {} and the reservoir falls to {}.", s.rig.trays[a.tray].name, s.rig.trays[b.tray].name, clock(a.start_s), u.length(s.day.lowest_reservoir_m)),
        )
        .mend("Stagger them: start one when the other has drained."),
        Some((a, b)) => Finding::new(
            Severity::Note,
            RULE.name,
            "Floods run together",
            format!("{} and {} run together at {}; the reservoir keeps {}.", s.rig.trays[a.tray].name, s.rig.trays[b.tray].name, clock(a.start_s), u.length(s.day.lowest_reservoir_m)),
        )
        .mend("Staggered floods need a smaller reservoir."),
        None => Finding::new(Severity::Good, RULE.name, "Floods take turns", "No two trays with pumps of their own run at once.".to_owned()),
    }
    .at(place)]
}
