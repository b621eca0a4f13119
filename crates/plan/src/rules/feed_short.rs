use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::Entry;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "feed-short", judge };

/// A hose cannot be shorter than the way it bridges.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let pump = &s.rig.pumps[v.tray.pump];
            let length =
                pump.feed.length.get().value + v.tray.branch.as_ref().map_or(0.0, |b| b.hose.length.get().value);
            let over = match &v.tray.entry {
                Entry::Floor => v.tray.outlet_height(),
                Entry::OverRim { bend, .. } => bend.get(),
            };
            let top = (v.tray.elevation.get() + over).value;
            let rise = top - s.rig.reservoir.elevation.get().value - pump.inlet_height.get().value;
            (length < rise).then(|| {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The hose is shorter than its way",
                    format!(
                        "{}The feed is {} long; straight up it has to bridge {}.",
                        v.who(),
                        u.distance(length),
                        u.distance(rise)
                    ),
                )
                .at(Place::key(s.rig.key_of_feed(v.tray.pump, "length")))
                .measured(length, rise, "m")
                .mend("Measure along the hose, bends included, and give that length.")
            })
        })
        .collect()
}
