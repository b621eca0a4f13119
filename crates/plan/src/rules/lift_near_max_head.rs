use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "lift-near-max-head", judge };

/// Greatest head should be 1.5 times the lift or more: common practice, no source.
const ROOM: f64 = 1.5;

fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .map(|v| {
            let pump = &s.rig.pumps[v.tray.pump];
            let (_, head_factor) = pump.speed_factors(s.rig.site.mains_frequency.get());
            let head = pump.curve.borrowed().max_head().value * head_factor;
            let lift = v.lift().value;
            let u = s.units();
            let ratio = head / lift.max(1e-6);
            let words = format!(
                "{}The pump lifts at most {}; the flood needs {}.",
                v.who(),
                u.distance(head),
                u.distance(lift)
            );
            let f = if lift <= 0.0 || ratio >= ROOM {
                Finding::new(Severity::Good, RULE.name, "Head to spare", words)
            } else if ratio >= 1.15 {
                Finding::new(Severity::Note, RULE.name, "Lift close to the pump's greatest head", words).mend(
                    "A small loss of head will cost much flow here: lower the tray or take a pump with more head.",
                )
            } else {
                Finding::new(Severity::Care, RULE.name, "Lift all but the pump's greatest head", words)
                    .mend("Lower the tray, raise the reservoir, or take a pump with more head.")
            };
            f.at(Place::key(s.rig.key_of_pump(v.tray.pump, "max_head"))).measured(ratio, ROOM, "-")
        })
        .collect()
}
