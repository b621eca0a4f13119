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
            .find(|b| {
                b.tray != a.tray
                    && s.rig.trays[b.tray].pump != s.rig.trays[a.tray].pump
                    && a.start_s < b.stop_s
                    && b.start_s < a.stop_s
            })
            .map(|b| (a, b))
    });
    let out_of_turn = s
        .each()
        .find(|v| s.day.floods.iter().filter(|f| f.tray == v.index).count() > v.tray.schedule.starts.borrowed().len());
    let place = Place::key("timer.floods");
    let dry = s.day.any(EventKind::PrimeLost);
    let u = s.units();
    if let Some(v) = out_of_turn {
        let times = s.day.floods.iter().filter(|f| f.tray == v.index).count();
        return vec![
            Finding::new(
                Severity::Care,
                RULE.name,
                "A tray is flooded out of its turn",
                format!("{} floods {times} times a day, not {}: its way from the shared pump stands open while another's turn runs.", v.tray.name, v.tray.schedule.starts.borrowed().len()),
            )
            .at(place)
            .mend("Give it a timed valve, let the valve shut before the next turn, or set the same times for both."),
        ];
    }
    vec![
        match together {
            Some((a, b)) if dry => Finding::new(
                Severity::Stop,
                RULE.name,
                "Floods that share the reservoir collide",
                format!(
                    "{} and {} run together at {} and the reservoir falls to {}.",
                    s.rig.trays[a.tray].name,
                    s.rig.trays[b.tray].name,
                    clock(a.start_s),
                    u.length(s.day.lowest_reservoir_m)
                ),
            )
            .mend("Stagger them: start one when the other has drained."),
            Some((a, b)) => Finding::new(
                Severity::Note,
                RULE.name,
                "Floods run together",
                format!(
                    "{} and {} run together at {}; the reservoir keeps {}.",
                    s.rig.trays[a.tray].name,
                    s.rig.trays[b.tray].name,
                    clock(a.start_s),
                    u.length(s.day.lowest_reservoir_m)
                ),
            )
            .mend("Staggered floods need a smaller reservoir."),
            None => Finding::new(
                Severity::Good,
                RULE.name,
                "Floods take turns",
                "No two trays with pumps of their own run at once.".to_owned(),
            ),
        }
        .at(place),
    ]
}
