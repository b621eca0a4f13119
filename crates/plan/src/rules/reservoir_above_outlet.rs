use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::Entry;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "reservoir-above-outlet", judge };

/// Resting water above a floor fitting floods the tray through the stopped pump.
fn judge(s: &Survey) -> Vec<Finding> {
    let rest = s.rig.reservoir.elevation.get().value + s.rig.reservoir.rest_depth().value;
    s.each()
        .filter(|v| matches!(v.tray.entry, Entry::Floor))
        .filter_map(|v| {
            let floor = v.tray.elevation.get().value;
            let u = s.units();
            (rest > floor).then(|| {
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "The tray stands below the reservoir's water",
                    format!(
                        "{}Its floor is {} below the resting water: it floods with the pump off and never drains.",
                        v.who(),
                        u.length(rest - floor)
                    ),
                )
                .at(Place::key(v.key("elevation")))
                .measured(rest, floor, "m")
                .mend("Raise the tray above the reservoir's highest water, or lower the fill.")
            })
        })
        .collect()
}
