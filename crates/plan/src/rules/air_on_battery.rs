use super::Rule;
use crate::power;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "air-on-battery", judge };

/// Hours that a battery should carry the air pump \[h\]: a night.
const NIGHT_H: f64 = 8.0;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(h) = power::of(&s.rig).battery_h else { return Vec::new() };
    let words = format!("The battery carries the air pump for {h:.0} h.");
    let f = if h < NIGHT_H {
        Finding::new(Severity::Note, RULE.name, "The battery does not last the night", words)
            .mend("A larger battery, or a smaller pump behind it: a tenth of the air keeps roots alive.")
    } else {
        Finding::new(Severity::Good, RULE.name, "Air goes on when the power fails", words)
    };
    vec![f.at(Place::key("power.battery")).measured(h, NIGHT_H, "h")]
}
