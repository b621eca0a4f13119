//! Pure water at atmospheric pressure: density, viscosity, vapour pressure.
//!
//! Nutrient salts at 1–3 g/L change these by well under 1 % (common practice, no source).

use crate::quantity::{MassDensity, Pressure, ThermodynamicTemperature};
use uom::si::{mass_density::kilogram_per_cubic_meter, pressure::pascal};

/// Density ρ \[kg/m³\] of air-free water at 0.101325 MPa.
///
/// ρ = Σ aᵢ tⁱ / (1 + b t), t in °C. Valid 0–100 °C.
/// Source: Kell, J. Chem. Eng. Data 20 (1975) 97–105, eq. 16.
/// Evidence: `evidence/water/density.toml`.
pub fn density(temperature: ThermodynamicTemperature) -> MassDensity {
    let t = temperature.value - 273.15;
    let top = 999.839_52
        + t * (16.945_176 + t * (-7.987_040_1e-3 + t * (-46.170_461e-6 + t * (105.563_02e-9 - t * 280.542_53e-12))));
    MassDensity::new::<kilogram_per_cubic_meter>(top / (1.0 + 16.879_850e-3 * t))
}

/// Dynamic viscosity µ \[Pa·s\] of liquid water at 0.1 MPa.
///
/// µ = 10⁻⁶ Σ aᵢ (T/300 K)^bᵢ. Valid 253.15–383.15 K.
/// Source: IAPWS SR6-08(2011), eq. 7 and table 5.
/// Evidence: `evidence/water/viscosity.toml`.
pub fn dynamic_viscosity_pa_s(temperature: ThermodynamicTemperature) -> f64 {
    let x = temperature.value / 300.0;
    1e-6 * (280.68 * x.powf(-1.9) + 511.45 * x.powf(-7.7) + 61.131 * x.powf(-19.6) + 0.459_03 * x.powf(-40.0))
}

/// Kinematic viscosity ν = µ/ρ \[m²/s\]. Valid 0–100 °C.
///
/// Evidence: `evidence/water/kinematic-viscosity.toml`.
pub fn kinematic_viscosity_m2_s(temperature: ThermodynamicTemperature) -> f64 {
    dynamic_viscosity_pa_s(temperature) / density(temperature).value
}

/// Saturation pressure of water vapour p_v \[Pa\].
///
/// The backward form of the saturation line, a quadratic in √√p. Valid 273.15–647.096 K.
/// Source: IAPWS-IF97 (2007), region 4, eq. 30 and table 34.
/// Evidence: `evidence/water/vapour-pressure.toml`.
pub fn vapour_pressure(temperature: ThermodynamicTemperature) -> Pressure {
    const N: [f64; 10] = [
        0.116_705_214_527_67e4,
        -0.724_213_167_032_06e6,
        -0.170_738_469_400_92e2,
        0.120_208_247_024_70e5,
        -0.323_255_503_223_33e7,
        0.149_151_086_135_30e2,
        -0.482_326_573_615_91e4,
        0.405_113_405_420_57e6,
        -0.238_555_575_678_49,
        0.650_175_348_447_98e3,
    ];
    let t = temperature.value;
    let theta = t + N[8] / (t - N[9]);
    let a = theta * theta + N[0] * theta + N[1];
    let b = N[2] * theta * theta + N[3] * theta + N[4];
    let c = N[5] * theta * theta + N[6] * theta + N[7];
    let root = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    Pressure::new::<pascal>(root.powi(4) * 1e6)
}

/// Surface tension of water against its vapour σ = 235.8·10⁻³ τ^1.256 (1 − 0.625 τ) \[N/m\], τ = 1 − T/647.096 K.
///
/// Valid 0.01–370 °C. Salts of a nutrient solution change it by less than 0.5 %; soap halves it.
/// Source: IAPWS R1-76(2014) (from memory).
/// Evidence: `evidence/air/bubbles.toml`.
pub fn surface_tension_n_m(temperature: ThermodynamicTemperature) -> f64 {
    let tau = 1.0 - temperature.value / 647.096;
    235.8e-3 * tau.powf(1.256) * (1.0 - 0.625 * tau)
}
