use super::Rule;
use crate::survey::Survey;
use tidewright_physics::hydraulics::pump::vortex_submergence;
use tidewright_physics::quantity::{l_h, mm};
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;

pub(super) const RULE: Rule = Rule { name: "submergence", judge };

/// Water over the cage against a vortex: 20–40 mm up to 1 m³/h, 40–70 mm for 2–4 m³/h (common
/// practice, no source). The published form was made for large intakes and is far too strict here;
/// it is told, and judges nothing.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let lost = s.day.any(EventKind::PrimeLost);
    s.rig
        .pumps
        .iter()
        .enumerate()
        .filter(|_| !lost)
        .map(|(i, p)| {
            let over = s.day.lowest_reservoir_m - p.inlet_height.get().value;
            let flow = s.each().filter(|v| v.tray.pump == i).map(|v| v.flow()).sum::<f64>();
            let wish = if flow > l_h(1500.0).value { 0.055 } else { 0.040 };
            let book = vortex_submergence(mm(20.0), tidewright_physics::quantity::m3_s(flow)).value;
            let words = format!(
                "Lowest water stands {} over the pump's cage; {} is usual for this flow (a formula for large intakes asks {}).",
                u.length(over), u.length(wish), u.length(book)
            );
            let f = if over < 0.0 {
                Finding::new(Severity::Stop, RULE.name, "The pump's cage comes out of the water", words).mend("Fill higher, or stand the pump lower.")
            } else if over < 0.030 {
                Finding::new(Severity::Care, RULE.name, "Little water over the pump", words).mend("Fill higher, or lay the pump flat on the floor.")
            } else if over < wish {
                Finding::new(Severity::Note, RULE.name, "A vortex may form over the pump", words).mend("Fill a little higher if the pump slurps.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Enough water over the pump", words)
            };
            f.at(Place::key(s.rig.key_of_pump(i, "inlet_height"))).measured(over, wish, "m")
        })
        .collect()
}
