use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "crowded-tray", judge };

/// Fittings and water need floor: above four fifths there is hardly free water, above all of it the
/// blocks do not fit. Common practice, no source.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref()?;
            let share = (b.plan_area() / v.tray.shape.area_at(tidewright_physics::quantity::mm(0.0))).value;
            let words = format!("{}{} blocks cover {:.0} % of the floor.", v.who(), b.count.get(), 100.0 * share);
            let place = Place::key(v.key("blocks.count"));
            let crest = v.tray.crest().map_or(0.0, |c| c.value);
            let free = (v.tray.shape.volume(tidewright_physics::quantity::m(crest)).value
                - b.plan_area().value * crest.min(b.total_height().value))
            .max(0.0);
            let f = if share > 1.0 {
                Finding::new(Severity::Stop, RULE.name, "The blocks do not fit", words)
                    .mend("Take fewer or smaller blocks.")
            } else if share > 0.8 {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "Blocks fill the whole floor",
                    format!("{words} They cover the fittings and leave {} of free water.", u.volume(free)),
                )
                .mend("Keep the flood fitting and the riser free: take fewer blocks.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Fittings and water have room", words)
            };
            Some(f.at(place).measured(share, 0.8, "-"))
        })
        .collect()
}
