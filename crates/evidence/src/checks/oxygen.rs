//! Checks of `physics::oxygen`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::oxygen;
use tidewright_physics::quantity::celsius;

pub(crate) const CHECKS: Checks = &[("pores", pores)];

fn pores(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let mut shares = None;
    if let (Some(air), Some(space)) = (given.number_if("air_filled")?, given.number_if("pore_space")?) {
        let (low, likely) = (oxygen::relative_diffusivity_low(air, space), oxygen::relative_diffusivity(air, space));
        out.extend([("low", low), ("likely", likely)]);
        shares = Some((low, likely));
    }
    let Some(t) = given.number_if("air_degc")?.map(celsius) else { return Ok(out) };
    let (free, above) = (oxygen::diffusivity_in_air_m2_s(t), oxygen::in_air_g_m3(t));
    out.extend([("diffusivity_m2_s", free), ("in_air_g_m3", above), ("saturation_mg_l", oxygen::saturation_mg_l(t))]);
    if let (Some((low, likely)), Some(height)) = (shares, given.length_if("height")?) {
        let most = |share: f64| 3600.0 * oxygen::most_used_in_slab_g_m3_s(share * free, above, height);
        out.extend([("most_used_low_g_m3_h", most(low)), ("most_used_g_m3_h", most(likely))]);
    }
    if let Some(litres) = given.number_if("drawn_l")? {
        out.push(("drawn_mg", litres * above));
    }
    Ok(out)
}
