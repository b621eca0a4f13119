use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "wet-metal", judge };

/// Brass, copper and zinc give metal into the solution that roots take up. Common practice, no source.
fn judge(s: &Survey) -> Vec<Finding> {
    if s.rig.wet_metal.is_empty() {
        return Vec::new();
    }
    vec![
        Finding::new(
            Severity::Care,
            RULE.name,
            "Metal in the water",
            format!("In the wet path: {}.", s.rig.wet_metal.join(", ")),
        )
        .at(Place::key("wet_metal"))
        .mend("Use plastic or stainless steel where water touches it."),
    ]
}
