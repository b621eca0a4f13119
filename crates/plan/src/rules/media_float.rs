use super::Rule;
use crate::survey::Survey;
use tidewright_physics::water;
use tidewright_rig::bench::Moisture;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "media-float", judge };

/// Archimedes: what weighs less than the water it pushes aside floats. m/A = ρ_dry H against ρ w.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let rho = water::density(s.rig.site.water_temperature.get()).value;
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref()?;
            if b.start.get() == Moisture::Moist {
                return None;
            }
            let depth = (v.band(Figure::HighestWater).likely - b.base.get().value).clamp(0.0, b.total_height().value);
            let weight = b.medium.dry_density * b.total_height().value;
            let lift = rho * depth;
            // Blocks stand upright only while they weigh more than the water around them lifts.
            (lift > weight).then(|| {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "Dry blocks float",
                    format!(
                        "{}Dry {} weighs {:.0} kg/m³: it lifts off at {} of water and drifts or tips.",
                        v.who(),
                        b.medium.name,
                        b.medium.dry_density,
                        u.length(weight / rho)
                    ),
                )
                .at(Place::key(v.key("blocks.start")))
                .measured(lift, weight, "kg/m2")
                .mend("Soak before the first flood, or hold them down with a grid until they are heavy.")
            })
        })
        .collect()
}
