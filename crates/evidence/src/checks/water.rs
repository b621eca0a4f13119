//! Checks of `physics::water`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::water;

pub(crate) const CHECKS: Checks = &[
    ("water-density", density),
    ("water-viscosity", viscosity),
    ("water-kinematic-viscosity", kinematic_viscosity),
    ("water-vapour-pressure", vapour_pressure),
];

fn density(given: &Given<'_>) -> Results {
    Ok(vec![("density_kg_m3", water::density(given.temperature("temperature")?).value)])
}

fn viscosity(given: &Given<'_>) -> Results {
    Ok(vec![("viscosity_upa_s", water::dynamic_viscosity_pa_s(given.temperature("temperature")?) * 1e6)])
}

fn kinematic_viscosity(given: &Given<'_>) -> Results {
    Ok(vec![("kinematic_viscosity_m2_s", water::kinematic_viscosity_m2_s(given.temperature("temperature")?))])
}

fn vapour_pressure(given: &Given<'_>) -> Results {
    Ok(vec![("pressure_kpa", water::vapour_pressure(given.temperature("temperature")?).value / 1e3)])
}
