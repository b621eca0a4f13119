//! What a crop drinks: outdoors by the reference evapotranspiration, under lamps by the canopy's own balance.

mod canopy;
mod reference;

pub use canopy::{Canopy, CanopyFlux, photons_to_watts};
pub use reference::{
    Daily, Hourly, clear_sky_mj, daylight_hours, extraterrestrial_mj, hargreaves_mm, net_longwave_mj, wind_at_2m,
};

/// Latent heat of vaporisation λ \[J/kg\], taken constant. Source: FAO-56, box 1.
pub const LATENT_HEAT_J_KG: f64 = 2.45e6;
