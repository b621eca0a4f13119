use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "blocks-hardly-wetted", judge };

/// Water should reach a third of the lowest block or more. Common practice, no source.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref()?;
            let u = s.units();
            let reach = v.band(Figure::HighestWater).low - b.base.get().value;
            let third = b.height.get().value / 3.0;
            let words = format!(
                "{}The water climbs {} of the {} block.",
                v.who(),
                u.length(reach.max(0.0)),
                u.length(b.height.get().value)
            );
            let f = if reach <= 0.0 {
                Finding::new(Severity::Stop, RULE.name, "The blocks stay dry", words)
            } else if reach < third {
                Finding::new(Severity::Care, RULE.name, "The blocks are hardly wetted", words)
            } else {
                Finding::new(Severity::Good, RULE.name, "The flood reaches well into the blocks", words)
            };
            let f = f.at(Place::key(v.key("drain.crest"))).measured(reach, third, "m");
            Some(if reach < third { f.mend("Raise the crest to a third of the block or more.") } else { f })
        })
        .collect()
}
