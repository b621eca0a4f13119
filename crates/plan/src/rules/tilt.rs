use super::Rule;
use crate::survey::Survey;
use tidewright_physics::quantity::mm;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "tilt", judge };

/// 0.5–2 % of fall towards the drain is good; a corner that floods less than a third of its block is not.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let tilt = v.tray.tilt.get().value;
            if tilt < 0.0005 {
                return None;
            }
            let (length, _) = v.tray.shape.plan_at(mm(0.0));
            let fall = 100.0 * tilt / length.value;
            let reach = v.band(Figure::HighestWater).likely - if v.tray.tilts_to_drain.get() { tilt } else { 0.0 };
            let third = v.tray.blocks.as_ref().map(|b| b.base.get().value + b.height.get().value / 3.0);
            let words = format!(
                "{}It stands {} out of level, {fall:.1} % towards {}; the high end floods {}.",
                v.who(),
                u.length(tilt),
                if v.tray.tilts_to_drain.get() { "the drain" } else { "the far end" },
                u.length(reach)
            );
            let place = Place::key(v.key("tilt"));
            let f = if third.is_some_and(|t| reach < t) {
                Finding::new(Severity::Care, RULE.name, "A corner is hardly flooded", words).mend("Shim the low end.")
            } else if v.tray.tilts_to_drain.get() && fall <= 2.0 {
                Finding::new(Severity::Good, RULE.name, "It falls towards the drain", words)
            } else {
                Finding::new(Severity::Note, RULE.name, "Out of level", words)
                    .mend("Shim it: 0.5 to 2 % towards the drain empties the floor.")
            };
            Some(f.at(place).measured(fall, 2.0, "%"))
        })
        .collect()
}
