use super::Rule;
use crate::survey::Survey;
use tidewright_physics::hydraulics::riser::self_venting_flow;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "gulping", judge };

/// How far the level breathes when a riser gulps \[m\]. Common practice: ±3–10 mm.
const BREATH: f64 = 0.006;

/// Self-venting flow, J* = V/√(gd) ≤ 0.3 (Hills 1983).
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let r = v.tray.drain.riser.as_ref()?;
            let quiet = self_venting_flow(r.bore.get()).value * r.count.get();
            let flow = v.flow();
            let place = Place::key(v.key("drain.riser_bore"));
            if flow <= quiet || v.tray.drain.back.vented.get() {
                return Some(
                    Finding::new(Severity::Good, RULE.name, "The riser runs quietly", if flow <= quiet { format!("{}{} falls quietly; up to {} would.", v.who(), u.flow(flow), u.flow(quiet)) } else { format!("{}{} falls past its vent.", v.who(), u.flow(flow)) })
                        .at(place)
                        .measured(flow, quiet, "m3/s"),
                );
            }
            let wets = v.tops().is_some_and(|t| v.band(Figure::HighestWater).likely + BREATH > t.value && v.band(Figure::HighestWater).high <= t.value);
            let severity = if wets { Severity::Care } else { Severity::Note };
            Some(
                Finding::new(
                    severity,
                    RULE.name,
                    if wets { "The riser gulps, and that wets the tops" } else { "The riser will gulp" },
                    format!("{}{} is {:.1} × what falls quietly through {}: noise, and a level that breathes by about {} either way.", v.who(), u.flow(flow), flow / quiet, u.length(r.bore.get().value), u.length(BREATH)),
                )
                .at(place)
                .measured(flow, quiet, "m3/s")
                .mend("A vent tube beside the riser, a wider riser, or a throttled pump makes it quiet."),
            )
        })
        .collect()
}
