use super::Rule;
use crate::survey::Survey;
use tidewright_physics::hydraulics::riser::{ORIFICE_COEFFICIENT, orifice};
use tidewright_physics::quantity::m;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "open-flow", judge };

/// The riser against the pump's open flow, which it never gives at this lift: worth knowing, no more.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let r = v.tray.drain.riser.as_ref()?;
            let pump = &s.rig.pumps[v.tray.pump];
            let open = pump.curve.borrowed().open_flow().value;
            let room = m((v.tray.rim() - r.crest.height.get()).value);
            let carries = r.count.get() * orifice(ORIFICE_COEFFICIENT, r.bore.get(), room).value;
            let words = format!(
                "{}The pump's open flow is {}; brim-full the riser takes {}.",
                v.who(),
                u.flow(open),
                u.flow(carries)
            );
            let f = if carries < open {
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "Open flow beyond the riser",
                    format!("{words} At this lift the pump gives {}.", u.flow(v.flow())),
                )
            } else {
                Finding::new(Severity::Good, RULE.name, "The riser takes even the open flow", words)
            };
            Some(f.at(Place::key(v.key("drain.riser_bore"))).measured(open, carries, "m3/s"))
        })
        .collect()
}
