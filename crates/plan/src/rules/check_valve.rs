use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "check-valve", judge };

/// A check valve shuts the way by which a floor-fed tray drains.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter(|v| s.rig.pumps[v.tray.pump].check_valve.get())
        .map(|v| {
            let path = s.rig.key_of_pump(v.tray.pump, "check_valve");
            let place = Place::key(path.clone());
            let weep = v.tray.drain.weep.as_ref();
            match weep {
                Some(w) => Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The weep hole drains behind the check valve",
                    format!("{}A hole of {} at floor level empties the tray.", v.who(), s.units().length(w.get().value)),
                )
                .at(place),
                None => {
                    let stays = v.tray.crest().map_or_else(|| "the flood".into(), |c| s.units().length(c.value));
                    Finding::new(
                        Severity::Stop,
                        RULE.name,
                        "The tray cannot drain",
                        format!("{}A check valve stands in the feed and no other drain is at floor level: {stays} of water stays on the roots.", v.who()),
                    )
                    .at(place)
                    .mend_by("Take the check valve out, or add a weep hole of 5 mm at floor level", "", Change { path, value: "false".into() })
                }
            }
        })
        .collect()
}
