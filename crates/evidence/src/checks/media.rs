//! Checks of `physics::media`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::media::{Hydraulic, Porous, Retention, fibre_bed_ks_m_s};
use tidewright_physics::quantity::mm;

pub(crate) const CHECKS: Checks = &[
    ("retention", content),
    ("container-capacity", capacity),
    ("flooded-content", flooded),
    ("conductivity", conductivity),
    ("fibre-bed", fibre_bed),
];

fn retention(given: &Given<'_>) -> Result<Retention, String> {
    let second = match given.number_if("second_share")? {
        None => None,
        Some(share) => Some((share, given.number("second_alpha_per_m")?, given.number("second_n")?)),
    };
    Ok(Retention {
        theta_r: given.number("theta_r")?,
        theta_s: given.number("theta_s")?,
        alpha_per_m: given.number("alpha_per_m")?,
        n: given.number("n")?,
        second,
    })
}

fn content(given: &Given<'_>) -> Results {
    let (medium, suction) = (retention(given)?, given.length("suction")?);
    Ok(vec![("water_content", medium.water_content(suction)), ("saturation", medium.saturation(suction))])
}

/// Content and conductivity over Ks at a suction.
fn conductivity(given: &Given<'_>) -> Results {
    let medium = Hydraulic { retention: retention(given)?, ks_m_s: 1.0, connection: 0.5 };
    let at = medium.at(-given.length("suction")?.value);
    Ok(vec![("content", at.content), ("relative_conductivity", at.conductivity)])
}

fn fibre_bed(given: &Given<'_>) -> Results {
    let diameter = mm(1e-3 * given.number("fibre_um")?);
    Ok(vec![("ks_m_s", fibre_bed_ks_m_s(diameter, given.number("porosity")?, given.number("viscosity_m2_s")?))])
}

fn capacity(given: &Given<'_>) -> Results {
    let medium = retention(given)?;
    let mean = medium.container_capacity(given.length("height")?);
    Ok(vec![
        ("mean_content", mean),
        ("air_filled", medium.theta_s - mean),
        ("mean_saturation", (mean - medium.theta_r) / (medium.theta_s - medium.theta_r)),
    ])
}

/// Content of a block with water standing at a level, and how much of its volume one flood changes.
fn flooded(given: &Given<'_>) -> Results {
    let (medium, height) = (retention(given)?, given.length("height")?);
    let mean = medium.flooded_content(height, given.length("level")?);
    Ok(vec![("mean_content", mean), ("exchange", mean - medium.container_capacity(height))])
}
