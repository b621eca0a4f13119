use super::Rule;
use crate::fit::blocks_on_fittings;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "blocks-on-fittings", judge };

/// A block over a fitting floats, blocks it, or stands crooked.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let blocks = v.tray.blocks.as_ref()?;
            // Where nobody said where the fittings are, they can still be set between the blocks on paper.
            let nobody = v.tray.feed_at.0.is_assumed() && v.tray.drain_at.0.is_assumed();
            let over = blocks_on_fittings(v.tray);
            let f = if over == 0 {
                let words = format!("{}Evenly spread, no block stands on a fitting.", v.who());
                Finding::new(Severity::Good, RULE.name, "Fittings stay free", words)
            } else {
                let words =
                    format!("{}Evenly spread, {over} of {:.0} blocks stand on a fitting.", v.who(), blocks.count.get());
                let way = if nobody && blocks.plan_area() < 0.6 * v.tray.floor().0 * v.tray.floor().1 {
                    "Nobody said where the fittings are: set feed_x, drain_x and their y between the blocks, or move blocks aside; `tidewright space` shows a plan."
                } else {
                    "Move them together and leave a hand's breadth around both fittings, or leave one out: `tidewright space` shows a plan."
                };
                Finding::new(Severity::Note, RULE.name, "Blocks stand on a fitting", words)
                    .mend(way)
            };
            Some(f.at(Place::key(v.key("blocks.count"))).measured(over as f64, 0.0, "-"))
        })
        .collect()
}
