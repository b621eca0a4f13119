use super::Rule;
use crate::survey::Survey;
use tidewright_physics::hydraulics::line::Line;
use tidewright_physics::quantity::{m, mm};
use tidewright_physics::water;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;

pub(super) const RULE: Rule = Rule { name: "return-backs-up", judge };

/// The return must carry the flow full and be no narrower than the riser; 1.3 times it leaves room for slime (common practice, no source).
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let nu = water::kinematic_viscosity_m2_s(s.rig.site.water_temperature.get());
    s.each()
        .filter_map(|v| {
            let r = v.tray.drain.riser.as_ref()?;
            let back = &v.tray.drain.back;
            let line = Line {
                bore: back.bore.get(),
                length: back.length.get().max(mm(10.0)),
                roughness: m(1.5e-6),
                loss: 2.4,
                viscosity_m2_s: nu,
            };
            let carries = line.flow((back.drop.get() + r.crest.height.get()).max(mm(1.0))).value * r.count.get();
            let flow = v.flow();
            let narrow = back.bore.get() < r.bore.get() * 0.98;
            let words = format!(
                "{}Full, the return carries {} on a fall of {} from the floor; {} comes.",
                v.who(),
                u.flow(carries),
                u.length(back.drop.get().value),
                u.flow(flow)
            );
            let f = if carries < flow {
                let spills = v.happened(&v.runs.primed, EventKind::RimOvertopped);
                Finding::new(
                    if spills { Severity::Stop } else { Severity::Care },
                    RULE.name,
                    "The return backs up",
                    words,
                )
                .mend("Give the return more fall or a wider bore all the way.")
            } else if carries < 1.3 * flow {
                Finding::new(Severity::Care, RULE.name, "The return has little to spare", words)
                    .mend("Give it more fall or a wider bore; roots and slime will narrow it.")
            } else if narrow {
                Finding::new(Severity::Note, RULE.name, "The return is narrower than the riser", words)
                    .mend("The same bore all the way does not trap roots.")
            } else {
                Finding::new(Severity::Good, RULE.name, "The return carries the flow", words)
            };
            Some(f.at(Place::key(v.key("drain.return_bore"))).measured(flow, carries, "m3/s"))
        })
        .collect()
}
