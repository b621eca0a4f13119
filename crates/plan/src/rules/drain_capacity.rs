use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;

pub(super) const RULE: Rule = Rule { name: "drain-capacity", judge };

/// Water over the crest beyond which the level is loud and unsteady \[m\]: one 25 mm overflow on a
/// big table stands 40–60 mm over. Common practice, no source.
const DEEP: f64 = 0.050;

/// The riser at the operating flow, rated vented (weir and orifice) and as a full falling pipe.
///
/// A drowned riser with a falling hose runs full and carries several times more: only what the full
/// pipe cannot carry is a `stop`, what the vented one cannot is a `care`.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let r = v.tray.drain.riser.as_ref()?;
            // The strongest pump of the band, as in the vented and primed runs.
            let flow = u.flow(v.runs.vented.flood(v.index).map_or(0.0, |f| f.last_flow_m3_s.max(0.0)));
            let name = format!("{} × {}", r.count.get(), u.length(r.bore.get().value));
            let vented = v.happened(&v.runs.vented, EventKind::RimOvertopped);
            let primed = v.happened(&v.runs.primed, EventKind::RimOvertopped);
            let place = Place::key(v.key("drain.riser_bore"));
            let crest = r.crest.height.get().value;
            let head = (v.runs.vented.highest_m[v.index] - crest).max(0.0);
            let f = if primed {
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "The riser cannot carry the pump",
                    format!("{}{flow} overtops the rim even with the riser ({name}) running full.", v.who()),
                )
                .mend("Take a wider riser, a second one, or throttle the pump.")
            } else if vented {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The riser carries the pump only when it runs full",
                    format!("{}{flow} overtops the rim if air gets into the riser ({name}).", v.who()),
                )
                .mend("Take a wider riser or a second one; do not count on a siphon.")
            } else if head > DEEP {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The riser drowns deep",
                    format!("{}At {flow} the water stands up to {} over the crest ({name}).", v.who(), u.length(head)),
                )
                .mend("Take a wider riser or a second overflow: it will also be quieter.")
            } else {
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The riser carries the pump",
                    format!("{}{flow} stands at most {} over the crest ({name}).", v.who(), u.length(head)),
                )
            };
            Some(f.at(place).measured(head, DEEP, "m"))
        })
        .collect()
}
