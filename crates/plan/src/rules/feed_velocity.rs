use super::Rule;
use crate::survey::Survey;
use tidewright_physics::hydraulics::line::area_of;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "feed-velocity", judge };

/// 0.6–1.5 m/s is usual; above it friction takes most of the head. Common practice, no source.
const USUAL: f64 = 1.5;

fn judge(s: &Survey) -> Vec<Finding> {
    s.rig
        .pumps
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let flow: f64 = s.each().filter(|v| v.tray.pump == i).map(|v| v.flow()).sum();
            let speed = flow / area_of(p.feed.bore.get()).value;
            let u = s.units();
            let words = format!(
                "Water runs at {} in the {} bore; up to {} is usual.",
                u.velocity(speed),
                u.length(p.feed.bore.get().value),
                u.velocity(USUAL)
            );
            let f = if speed > USUAL {
                Finding::new(Severity::Note, RULE.name, "Fast water in the feed", words)
                    .mend("A wider hose gives more flow from the same pump.")
            } else {
                Finding::new(Severity::Good, RULE.name, "The feed is wide enough", words)
            };
            f.at(Place::key(s.rig.key_of_feed(i, "bore"))).measured(speed, USUAL, "m/s")
        })
        .collect()
}
