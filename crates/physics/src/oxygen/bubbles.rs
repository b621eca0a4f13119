//! Single bubbles: how fast they rise, how much oxygen they give.
//!
//! The state of a bubble's surface matters more than its size: with traces of dirt it is rigid, clean it is mobile. Nothing
//! here switches at one size; callers show both ends. Single bubbles leave out that a plume lifts water with it and that bubbles
//! merge, so their answer is the upper one.

use crate::quantity::{Length, ThermodynamicTemperature, Volume, VolumeRate};
use crate::{GRAVITY_M_S2, water};

/// Density of air at room pressure \[kg/m³\]: it hardly matters beside water's.
const AIR_KG_M3: f64 = 1.2;

/// Rise of a bubble with a contaminated surface \[m/s\]: U = µ/(ρd) M^−0.149 (J − 0.857), J = 0.94 H^0.757 for 2 < H ≤ 59.3
/// and 3.42 H^0.441 above, H = (4/3) Eo M^−0.149 (µ/0.9 mPa·s)^−0.14, Eo = gΔρd²/σ, M = gµ⁴Δρ/(ρ²σ³).
///
/// Scatter about 15 %; below H = 2 (0.7 mm) the rigid sphere of Schiller & Naumann stands in.
/// Source: Grace, Wairegi & Nguyen, Trans. IChemE 54 (1976) 167–173; Clift, Grace & Weber, *Bubbles, Drops, and Particles* (1978), eq. 7-5…7-7.
/// Evidence: `evidence/air/bubbles.toml`.
pub fn rise_contaminated_m_s(diameter: Length, temperature: ThermodynamicTemperature) -> f64 {
    let (rho, mu) = (water::density(temperature).value, water::dynamic_viscosity_pa_s(temperature));
    let sigma = water::surface_tension_n_m(temperature);
    let (d, delta) = (diameter.value, rho - AIR_KG_M3);
    let eo = GRAVITY_M_S2 * delta * d * d / sigma;
    let morton = GRAVITY_M_S2 * mu.powi(4) * delta / (rho * rho * sigma.powi(3));
    let h = 4.0 / 3.0 * eo * morton.powf(-0.149) * (mu / 0.9e-3).powf(-0.14);
    if h <= 2.0 {
        return rise_rigid_sphere_m_s(d, rho, mu, delta);
    }
    let j = if h <= 59.3 { 0.94 * h.powf(0.757) } else { 3.42 * h.powf(0.441) };
    mu / (rho * d) * morton.powf(-0.149) * (j - 0.857)
}

/// Rigid sphere with the drag of Schiller & Naumann (1933), C_D = 24/Re (1 + 0.15 Re^0.687), by fixed point.
fn rise_rigid_sphere_m_s(d: f64, rho: f64, mu: f64, delta: f64) -> f64 {
    let stokes = GRAVITY_M_S2 * delta * d * d / (18.0 * mu);
    let mut u = stokes;
    for _ in 0..60 {
        let re = rho * u * d / mu;
        u = 0.5 * (u + stokes / (1.0 + 0.15 * re.powf(0.687)));
    }
    u
}

/// Rise of a clean bubble larger than 2 mm \[m/s\]: U² = 2.14 σ/(ρd) + 0.505 g d.
///
/// Below 2 mm it runs away (0.40 m/s at 1 mm): never asked there. σ \[N/m\], ρ \[kg/m³\].
/// Source: Mendelson, AIChE J. 13 (1967) 250–253; constants of Clift, Grace & Weber (1978) (from memory).
/// Evidence: `evidence/air/bubbles.toml`.
pub fn rise_clean_m_s(diameter: Length, sigma_n_m: f64, density_kg_m3: f64) -> f64 {
    let d = diameter.value;
    (2.14 * sigma_n_m / (density_kg_m3 * d) + 0.505 * 9.81 * d).sqrt()
}

/// Rise of a very small bubble \[m/s\]: rigid, U = gρd²/18µ (Stokes), or mobile, gρd²/12µ (Hadamard–Rybczynski); Re below 1.
///
/// Source: Clift, Grace & Weber (1978), ch. 3 (from memory).
/// Evidence: `evidence/air/bubbles.toml`.
pub fn rise_creeping_m_s(diameter: Length, density_kg_m3: f64, viscosity_pa_s: f64, mobile: bool) -> f64 {
    let by = if mobile { 12.0 } else { 18.0 };
    9.81 * density_kg_m3 * diameter.value.powi(2) / (by * viscosity_pa_s)
}

/// Diffusivity of oxygen in water \[m²/s\]: 10^(−4.410 + 773.8/T − (506.4/T)²) cm²/s.
///
/// Good to 15 %. Source: fit of Han & Bartels, J. Phys. Chem. 100 (1996) 5597–5602 (from memory).
/// Evidence: `evidence/air/bubbles.toml`.
pub fn diffusivity_m2_s(temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value;
    1e-4 * 10f64.powf(-4.410 + 773.8 / t - (506.4 / t).powi(2))
}

/// Film coefficient of a rigid bubble kL = 0.6 (U/d)^½ D^⅔ ν^−⅙ \[m/s\].
///
/// Source: Frössling (1938), as in Alves, Vasconcelos & Orvalho, Chem. Eng. Sci. 60 (2005) (abstract) for dirty bubbles.
/// Evidence: `evidence/air/bubbles.toml`.
pub fn film_rigid_m_s(rise_m_s: f64, diameter: Length, temperature: ThermodynamicTemperature) -> f64 {
    let (d, nu) = (diffusivity_m2_s(temperature), water::kinematic_viscosity_m2_s(temperature));
    0.6 * (rise_m_s / diameter.value).sqrt() * d.powf(2.0 / 3.0) * nu.powf(-1.0 / 6.0)
}

/// Film coefficient of a mobile bubble kL = 2 √(D U/(π d)) \[m/s\].
///
/// Source: Higbie, Trans. AIChE 31 (1935) 365–389 (from memory).
/// Evidence: `evidence/air/bubbles.toml`.
pub fn film_mobile_m_s(rise_m_s: f64, diameter: Length, temperature: ThermodynamicTemperature) -> f64 {
    2.0 * (diffusivity_m2_s(temperature) * rise_m_s / (std::f64::consts::PI * diameter.value)).sqrt()
}

/// Bubble surface in a volume of water a = 6 Q H/(d U V) \[1/m\], Q at the pressure of mid-depth.
///
/// Evidence: `evidence/air/bubbles.toml`.
pub fn surface_per_volume_1_m(flow: VolumeRate, depth: Length, diameter: Length, rise_m_s: f64, volume: Volume) -> f64 {
    6.0 * flow.value * depth.value / (diameter.value * rise_m_s * volume.value)
}

/// Bubble that leaves a quiet orifice d = (6 σ d₀/(ρ g))^⅓.
///
/// Source: Tate's law, by balance of weight and surface tension.
/// Evidence: `evidence/air/bubbles.toml`.
pub fn from_orifice(orifice: Length, temperature: ThermodynamicTemperature) -> Length {
    let x = 6.0 * water::surface_tension_n_m(temperature) * orifice.value
        / (water::density(temperature).value * GRAVITY_M_S2);
    crate::quantity::m(x.cbrt())
}

/// Pressure that opens a wet pore 4σ/d \[Pa\].
///
/// Source: Young–Laplace, wetted round pore.
/// Evidence: `evidence/air/bubbles.toml`.
pub fn opening_pressure_pa(pore: Length, temperature: ThermodynamicTemperature) -> f64 {
    4.0 * water::surface_tension_n_m(temperature) / pore.value
}
