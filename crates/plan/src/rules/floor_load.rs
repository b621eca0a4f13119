use super::Rule;
use crate::stand::{self, DWELLING_PA};
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "floor-load", judge };

/// What the floor carries: a number to bring to an engineer, never an answer.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let x = stand::of(&s.rig, v.index)?;
            let l = x.load;
            let words = format!(
                "{}{} stand on the stand's plan: {:.2} kPa, where floors of dwellings are reckoned with {:.1} and bedrooms with {:.1}; under a leg {:.2} N/mm².",
                v.who(),
                s.units().weight(l.on_rails_kg() + l.stand_kg + l.reservoir_kg),
                1e-3 * x.on_floor_pa,
                1e-3 * DWELLING_PA[0],
                1e-3 * DWELLING_PA[1],
                1e-6 * x.under_leg_pa
            );
            let f = Finding::new(Severity::Note, RULE.name, "What the floor would have to carry", words);
            Some(f.at(Place::key("stand.floor")).measured(x.on_floor_pa, DWELLING_PA[1], "Pa").mend(stand::refusal(&s.rig)))
        })
        .collect()
}
