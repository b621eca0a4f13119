use super::Rule;
use crate::survey::Survey;
use tidewright_physics::hydraulics::pump::Curve;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "operating-range", judge };

/// A curve given by points says nothing past its last one.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let pump = &s.rig.pumps[v.tray.pump];
            let Curve::Points(_) = pump.curve.borrowed() else { return None };
            let trays = s.rig.trays_of(v.tray.pump).count() as f64;
            let last = pump.curve.borrowed().open_flow().value;
            let flow = v.band(Figure::FirstFlow).high * trays;
            (flow > last).then(|| {
                let u = s.units();
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "Flow beyond the pump's last point",
                    format!("{}Up to {} is asked; the curve ends at {}.", v.who(), u.flow(flow), u.flow(last)),
                )
                .at(Place::key(s.rig.key_of_pump(v.tray.pump, "curve")))
                .measured(flow, last, "m3/s")
                .mend("Add a point of the curve with more flow and less head, or a bucket test at this lift.")
            })
        })
        .collect()
}
