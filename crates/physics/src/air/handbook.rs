//! Moist air as refrigeration and building engineers reckon it: for evaporation and for a room's meters.

use crate::numerics::root;
use crate::quantity::{Pressure, ThermodynamicTemperature, celsius};

/// Ratio of the molar masses of water and dry air \[-\].
const RATIO: f64 = 0.621_945;

/// Saturation pressure over liquid water: ln p = C₈/T + C₉ + C₁₀T + C₁₁T² + C₁₂T³ + C₁₃ ln T, p \[Pa\], T \[K\].
///
/// Valid 0–200 °C. Source: ASHRAE Handbook—Fundamentals (2017), ch. 1, eq. 6 (Hyland & Wexler 1983).
/// Evidence: `evidence/air/handbook.toml`.
pub fn saturation(temperature: ThermodynamicTemperature) -> Pressure {
    let t = temperature.value;
    let ln = -5.800_220_6e3 / t + 1.391_499_3 - 4.864_023_9e-2 * t + 4.176_476_8e-5 * t.powi(2)
        - 1.445_209_3e-8 * t.powi(3)
        + 6.545_967_3 * t.ln();
    crate::quantity::pa(ln.exp())
}

/// Humidity ratio of saturated air, W = 0.621945 p/(P − p) \[kg/kg\].
///
/// Source: ASHRAE Handbook—Fundamentals (2017), ch. 1, eq. 20.
/// Evidence: `evidence/air/handbook.toml`.
pub fn ratio_of(vapour: Pressure, pressure: Pressure) -> f64 {
    RATIO * vapour.value / (pressure.value - vapour.value)
}

/// Humidity ratio by both bulbs: W = \[(2501 − 2.326 t*) W_s* − 1.006 (t − t*)\]/(2501 + 1.86 t − 4.186 t*) \[kg/kg\].
///
/// Source: ASHRAE Handbook—Fundamentals (2017), ch. 1, eq. 33.
/// Evidence: `evidence/air/handbook.toml`.
pub fn ratio_by_bulbs(dry: ThermodynamicTemperature, wet: ThermodynamicTemperature, pressure: Pressure) -> f64 {
    let (t, w) = (dry.value - 273.15, wet.value - 273.15);
    let saturated = ratio_of(saturation(wet), pressure);
    ((2501.0 - 2.326 * w) * saturated - 1.006 * (t - w)) / (2501.0 + 1.86 * t - 4.186 * w)
}

/// Enthalpy 1.006 t + W (2501 + 1.86 t) \[kJ/kg of dry air\].
///
/// Source: ASHRAE Handbook—Fundamentals (2017), ch. 1, eq. 30.
/// Evidence: `evidence/air/handbook.toml`.
pub fn enthalpy_kj_kg(temperature: ThermodynamicTemperature, ratio: f64) -> f64 {
    let t = temperature.value - 273.15;
    1.006 * t + ratio * (2501.0 + 1.86 * t)
}

/// Temperature at which this vapour saturates, between 0 and 100 °C.
///
/// Evidence: `evidence/air/handbook.toml`.
pub fn dew_point(vapour: Pressure) -> Option<ThermodynamicTemperature> {
    root::bracketed(0.0, 100.0, 1e-9, |t| saturation(celsius(t)).value - vapour.value).map(celsius)
}

/// Wet bulb of air with this humidity ratio, between 0 °C and the dry bulb.
///
/// Evidence: `evidence/air/handbook.toml`.
pub fn wet_bulb(dry: ThermodynamicTemperature, ratio: f64, pressure: Pressure) -> Option<ThermodynamicTemperature> {
    root::bracketed(0.0, dry.value - 273.15, 1e-9, |t| ratio_by_bulbs(dry, celsius(t), pressure) - ratio).map(celsius)
}
