use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "flood-refills", judge };

/// Share of what a block could hold that it should hold after a flood \[-\]. Ours, no source.
const REFILLED: f64 = 0.9;

/// After the day's best flood the blocks should hold what they hold at rest on a drained floor.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let blocks = v.tray.blocks.as_ref()?;
            let (day, _, _) = v.blocks()?;
            let rest = blocks.medium.retention.container_capacity(blocks.height.get());
            // Once the flood has drained: what hangs under its water is not kept.
            let drained = s.day.floods.iter().filter(|f| f.tray == v.index && f.stop_s.is_finite()).filter_map(|f| {
                let at = f.stop_s + f.drained_s.min(3600.0) + 300.0;
                day.course.iter().find(|m| m.t_s >= at).map(|m| m.mean)
            });
            let most = drained.fold(0.0, f64::max);
            if most == 0.0 {
                return None;
            }
            let share = (most / rest).min(1.0);
            let place = Place::key(v.key("minutes"));
            let words = format!("{}Blocks come to {:.0} % water at most; drained at rest they would hold {:.0} %.", v.who(), 100.0 * most, 100.0 * rest);
            let f = if share >= REFILLED || blocks.layers.get() > 1.0 {
                Finding::new(Severity::Good, RULE.name, "Floods refill the blocks", words)
            } else {
                Finding::new(if share < 0.6 { Severity::Care } else { Severity::Note }, RULE.name, "Floods do not refill the blocks", words)
                    .mend("Run the pump longer, raise the crest, or soak the blocks by hand once: a dried block takes water slowly.")
            };
            Some(f.at(place).measured(share, REFILLED, "-"))
        })
        .collect()
}
