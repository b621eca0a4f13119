//! Checks of `physics::oxygen` and of oxygen in `sim::block`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use std::sync::Arc;
use tidewright_physics::media::{Hydraulic, Retention};
use tidewright_physics::oxygen;
use tidewright_physics::quantity::celsius;
use tidewright_sim::block::{Breath, Column, Layer, Oxygen};

pub(crate) const CHECKS: Checks = &[("pores", pores), ("oxygen-column", column)];

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

/// Oxygen in the cells of a column at rest: until a closed saturated one has a share left, or the base of a slab in the end.
fn column(given: &Given<'_>) -> Results {
    const CELLS: usize = 200;
    let temperature = celsius(given.number("air_degc")?);
    let use_g_m3_s = given.number("use_g_m3_h")? / 3600.0;
    let pores = given.number_if("pore_space")?.unwrap_or(0.95);
    let air = given.number_if("air_filled")?.unwrap_or(0.0);
    // A tall column where its ends are not meant.
    let height = given.length_if("height")?.map_or(1.0, |h| h.value);
    // A medium that holds one content at the suction of this column: what it does otherwise does not matter.
    let retention = Retention { theta_r: pores - air, theta_s: pores, alpha_per_m: 1e4, n: 4.0, second: None };
    let medium = Hydraulic { retention, ks_m_s: 1e-4, connection: 0.5 };
    let head = if air > 0.0 { -1.0 } else { 0.1 };
    let block = Column::resting(&[Layer::even(Arc::new(medium), height, CELLS)]).with_heads(|_| head);
    let mut oxygen = Oxygen::fresh(&block, temperature);
    let breath = Breath {
        temperature,
        demand_g_m2_s: vec![use_g_m3_s * height / CELLS as f64; CELLS],
        level_m: None,
        sides_per_m2: None,
        low: false,
        brought: 1.0,
    };
    let fresh = oxygen::in_air_g_m3(temperature);
    if let Some(share) = given.number_if("until_share")? {
        let step = 0.001 * 9.0 / use_g_m3_s;
        let mut t = 0.0;
        while oxygen.gas_g_m3()[CELLS / 2] > share * fresh {
            oxygen.advance(&block, step, &breath);
            t += step;
        }
        return Ok(vec![("time_s", t)]);
    }
    for _ in 0..4000 {
        oxygen.advance(&block, 60.0, &breath);
    }
    Ok(vec![("base_share", oxygen.gas_g_m3()[0] / fresh)])
}
