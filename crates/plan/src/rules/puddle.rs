use super::Rule;
use crate::survey::Survey;
use tidewright_physics::quantity::m;
use tidewright_rig::bench::Entry;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "puddle", judge };

/// Water that stays: below the fitting's lip and in the hollows of the floor. Up to 4 mm a `note`,
/// over 6 mm under blocks a `care`. Common practice, no source.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        // Over the rim there is no fitting in the floor; its own rule says what stays.
        .filter(|v| matches!(v.tray.entry, Entry::Floor))
        .map(|v| {
            let lip = v.tray.lip.get().value;
            let lowest = v.tray.relief.lowest().min(0.0);
            let depth = lip - lowest;
            let (share_depth, _) = v.tray.relief.depth_and_share(lip);
            let floor = v.tray.shape.volume(m(1e-3)).value / 1e-3;
            let litres = share_depth * floor;
            let words = format!(
                "{}Up to {} stays in the deepest place, about {} in all.",
                v.who(),
                u.length(depth),
                u.volume(litres)
            );
            let standing = v.tray.blocks.as_ref().is_some_and(|b| b.base.get().value < 0.003);
            let place = Place::key(v.key("lip"));
            let f = if v.tray.drain.weep.is_some() || depth <= 0.0015 {
                Finding::new(Severity::Good, RULE.name, "Hardly a puddle", words)
            } else if depth > 0.006 && standing {
                Finding::new(Severity::Care, RULE.name, "A puddle stays under the blocks", words)
                    .mend("Deck the floor, shim it towards the fitting, or sink the fitting's lip flush.")
            } else {
                Finding::new(Severity::Note, RULE.name, "A puddle stays", words)
                    .mend("A flush fitting or 1 % of fall towards it empties the floor.")
            };
            f.at(place).measured(depth, 0.006, "m")
        })
        .collect()
}
