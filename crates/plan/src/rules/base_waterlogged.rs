use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "base-waterlogged", judge };

/// Share of the roots that may lie in water without air \[-\]. Ours, no source: roots in the lowest part of a block are few.
const NOTED: f64 = 0.3;
const MUCH: f64 = 0.7;

/// Roots in the wet foot of a block, over the whole day: likely, and at the end that wants for air.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let (day, _, stuffy) = v.blocks()?;
            let place = Place::key(v.key("blocks.height"));
            let words = format!(
                "{}{:.0} % of the roots have less than 2.1 mg/L of oxygen over the day ({:.0} % at the bad end); air fills {:.0} % of the blocks at the least.",
                v.who(),
                100.0 * day.starved,
                100.0 * stuffy.starved.max(day.starved),
                100.0 * day.course.iter().map(|m| m.air).fold(1.0, f64::min)
            );
            let f = if day.starved > MUCH {
                Finding::new(Severity::Care, RULE.name, "Most roots stand in water without air", words)
                    .mend("Raise the blocks on a ribbed mat, empty the puddle, flood less often, or take taller blocks or a coarser medium.")
            } else if day.starved > NOTED {
                Finding::new(Severity::Note, RULE.name, "The foot of the blocks has little air", words)
                    .mend("Roots will keep to the upper part. A ribbed mat under the blocks or fewer floods bring air further down.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Air reaches the roots", words)
            };
            Some(f.at(place).measured(day.starved, if day.starved > MUCH { MUCH } else { NOTED }, "-"))
        })
        .collect()
}
