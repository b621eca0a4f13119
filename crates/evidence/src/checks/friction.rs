//! Checks of `physics::hydraulics::friction`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::hydraulics::friction;

pub(crate) const CHECKS: Checks =
    &[("friction-churchill", churchill), ("friction-colebrook", colebrook), ("friction-serghides", serghides)];

fn re_and_roughness(given: &Given<'_>) -> Result<(f64, f64), String> {
    Ok((given.number("re")?, given.number("relative_roughness")?))
}

fn churchill(given: &Given<'_>) -> Results {
    let (re, roughness) = re_and_roughness(given)?;
    let (_, slope) = friction::churchill_with_slope(re, roughness);
    Ok(vec![("friction_factor", friction::churchill(re, roughness)), ("log_slope", slope)])
}

fn colebrook(given: &Given<'_>) -> Results {
    let (re, roughness) = re_and_roughness(given)?;
    Ok(vec![("friction_factor", friction::colebrook(re, roughness))])
}

fn serghides(given: &Given<'_>) -> Results {
    let (re, roughness) = re_and_roughness(given)?;
    Ok(vec![("friction_factor", friction::serghides(re, roughness))])
}
