//! Oxygen that a solution holds in contact with air, with its salt and the pressure on it.

use crate::quantity::{Length, Pressure, ThermodynamicTemperature};
use crate::{GRAVITY_M_S2, water};

/// One standard atmosphere \[Pa\], exact.
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// Oxygen in water of salinity S at a pressure P of moist air \[mg/L\]:
/// C = C₀(T) e^(−S (0.017674 − 10.754/T + 2140.7/T²)) · P (1 − u/P)(1 − θP)/\[(1 − u)(1 − θ)\], P and u in atm, T \[K\],
/// S \[g/kg\].
///
/// Valid 0–40 °C, 0–40 g/kg, 0.5–1.1 atm; P is the pressure at the place, not that which weather reports bring to sea level.
/// Source: Benson & Krause, Limnol. Oceanogr. 29 (1984) 620–632, form used by USGS (Office of Water Quality TM 2011.03) and
/// Standard Methods 4500-O.
/// Evidence: `evidence/oxygen/saturation.toml`.
pub fn saturation_mg_l(temperature: ThermodynamicTemperature, salinity_g_kg: f64, pressure: Pressure) -> f64 {
    let t = temperature.value;
    let salt = (-salinity_g_kg * (0.017_674 - 10.754 / t + 2140.7 / (t * t))).exp();
    let p = pressure.value / ATMOSPHERE_PA;
    let (u, theta) = (vapour_atm(temperature), theta(temperature));
    let pressed = (p - u) * (1.0 - theta * p) / ((1.0 - u) * (1.0 - theta));
    super::saturation_mg_l(temperature) * salt * pressed
}

/// Vapour pressure in that equation, u = exp(11.8571 − 3840.70/T − 216961/T²) \[atm\].
fn vapour_atm(temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value;
    (11.8571 - 3840.70 / t - 216_961.0 / (t * t)).exp()
}

/// θ = 0.000975 − 1.426·10⁻⁵ t + 6.436·10⁻⁸ t² \[1/atm\], **t in °C**: with kelvins C is 0.04 % too high at 0.75 atm.
fn theta(temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value - 273.15;
    0.000_975 - 1.426e-5 * t + 6.436e-8 * t * t
}

/// Salinity by conductance at 25 °C: S = 5.572·10⁻⁴ κ + 2.02·10⁻⁹ κ² \[g/kg\], κ \[µS/cm\].
///
/// A relation of sea salt: a nutrient solution has another mix, but up to 3 mS/cm the whole effect on oxygen is 1 %.
/// Source: USGS Office of Water Quality TM 2011.03.
/// Evidence: `evidence/oxygen/saturation.toml`.
pub fn salinity_of_conductance_g_kg(us_cm: f64) -> f64 {
    5.572e-4 * us_cm + 2.02e-9 * us_cm * us_cm
}

/// The same below a depth of water, as bubbles meet it: pressure at half the depth that they rise through \[mg/L\].
///
/// Source: mid-depth correction of clean-water tests, ASCE/EWRI 2 (from memory).
/// Evidence: `evidence/oxygen/saturation.toml`.
pub fn under_bubbles_mg_l(
    temperature: ThermodynamicTemperature,
    salinity_g_kg: f64,
    pressure: Pressure,
    depth: Length,
) -> f64 {
    let column = water::density(temperature).value * GRAVITY_M_S2 * 0.5 * depth.value;
    saturation_mg_l(temperature, salinity_g_kg, pressure + crate::quantity::pa(column))
}

/// Pressure of the standard atmosphere P = 101325 (1 − 2.25577·10⁻⁵ h)^5.25588 \[Pa\], h \[m\] above the sea.
///
/// Valid −500 to 11 000 m. Source: ASHRAE Handbook—Fundamentals (2017), ch. 1, eq. 3 and table 1.
/// Evidence: `evidence/oxygen/saturation.toml`.
pub fn standard_pressure(altitude: Length) -> Pressure {
    crate::quantity::pa(ATMOSPHERE_PA * (1.0 - 2.255_77e-5 * altitude.value).powf(5.255_88))
}
