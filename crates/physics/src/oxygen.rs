//! Oxygen in water, in air, and in the pores of a medium.

pub mod bubbles;
pub mod saturation;
pub mod transfer;

use crate::quantity::{Length, ThermodynamicTemperature};

/// Oxygen in dry air \[-\] by volume. Source: NIST/CODATA composition of dry air (from memory).
pub const SHARE_OF_AIR: f64 = 0.2095;
/// Molar mass of O₂ \[g/mol\].
pub const MOLAR_MASS_G: f64 = 31.998;
/// Gas constant \[J/(mol K)\], exact since 2019.
const GAS: f64 = 8.314_462_618;

/// Oxygen that fresh water holds in contact with moist air at 101.325 kPa \[mg/L\]:
/// ln C = −139.34411 + 1.575701·10⁵/T − 6.642308·10⁷/T² + 1.243800·10¹⁰/T³ − 8.621949·10¹¹/T⁴, T \[K\].
///
/// Valid 0–40 °C. Source: Benson & Krause, Limnol. Oceanogr. 29 (1984) 620–632, form used by USGS.
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn saturation_mg_l(temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value;
    (-139.344_11 + 1.575_701e5 / t - 6.642_308e7 / t.powi(2) + 1.243_800e10 / t.powi(3) - 8.621_949e11 / t.powi(4))
        .exp()
}

/// Oxygen in a volume of dry air at 101.325 kPa \[g/m³\], by the gas law.
///
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn in_air_g_m3(temperature: ThermodynamicTemperature) -> f64 {
    SHARE_OF_AIR * 101_325.0 / (GAS * temperature.value) * MOLAR_MASS_G
}

/// Diffusivity of O₂ in air D₀ = 1.820·10⁻⁵ (T/273.15)^1.81 \[m²/s\].
///
/// Source: Massman, Atmos. Environ. 32 (1998) 1111–1127 (from memory).
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn diffusivity_in_air_m2_s(temperature: ThermodynamicTemperature) -> f64 {
    1.820e-5 * (temperature.value / 273.15).powf(1.81)
}

/// Relative diffusivity of gas Dp/D₀ \[-\] at air-filled porosity ε and pore space φ: the likely one, ε^2.5/φ.
///
/// Source: Moldrup et al., Soil Sci. Soc. Am. J. 64 (2000) 1588–1594; fits growing media best by Schmitz, Anlauf
/// & Rehrmann, Am. J. Plant Sci. 4 (2013) 955–964 (abstract).
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn relative_diffusivity(air_filled: f64, pore_space: f64) -> f64 {
    air_filled.max(0.0).powf(2.5) / pore_space
}

/// The same at its low end: ε^(10/3)/φ².
///
/// Source: Millington & Quirk, Trans. Faraday Soc. 57 (1961) 1200–1207 (from memory).
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn relative_diffusivity_low(air_filled: f64, pore_space: f64) -> f64 {
    air_filled.max(0.0).powf(10.0 / 3.0) / pore_space.powi(2)
}

/// Factor on the use of oxygen per 10 K, usual \[-\]. From 1.4 (small lettuce, HortScience 39:854, abstract) to 2.2.
pub const USUAL_Q10: f64 = 2.0;

/// Oxygen that roots use with air in plenty \[g per g dry mass and second\]: 40 nmol/(g s) at 22 °C, Q₁₀ for the rest.
///
/// Valid 10–32 °C; herbs that grow fast lie between 20 and 60 nmol/(g s).
/// Source: Lambers, Chapin & Pons, *Plant Physiological Ecology*, 2008 (from memory).
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn root_use_g_g_s(temperature: ThermodynamicTemperature, q10: f64) -> f64 {
    const AT_22_MOL_G_S: f64 = 40e-9;
    AT_22_MOL_G_S * MOLAR_MASS_G * q10.powf((temperature.value - 295.15) / 10.0)
}

/// Most that roots spread evenly through a slab can use, open above and closed below, before its base has none:
/// R = 2 Dp C₀/L² \[g/(m³ s)\], Dp \[m²/s\], C₀ in the air above \[g/m³\], L the slab's height.
///
/// Source: steady diffusion with uniform use (closed form; Crank, *The Mathematics of Diffusion*, from memory).
/// Evidence: `evidence/oxygen/pores.toml`.
pub fn most_used_in_slab_g_m3_s(dp_m2_s: f64, above_g_m3: f64, height: Length) -> f64 {
    2.0 * dp_m2_s * above_g_m3 / height.value.powi(2)
}
