//! Moist air: vapour pressures, humidity, psychrometrics, as crop science writes them.

pub mod handbook;

use crate::quantity::{Length, Pressure, ThermodynamicTemperature};
use uom::si::pressure::pascal;

fn pa(x: f64) -> Pressure {
    Pressure::new::<pascal>(x)
}

fn celsius_of(t: ThermodynamicTemperature) -> f64 {
    t.value - 273.15
}

/// Saturation vapour pressure e° = 0.6108 exp[17.27 t/(t + 237.3)] kPa, t in °C.
///
/// Valid 0–60 °C within 0.1 % of IAPWS-IF97 between 5 and 30 °C.
/// Source: Allen et al., FAO Irrigation and Drainage Paper 56 (1998), eq. 11.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn saturation(temperature: ThermodynamicTemperature) -> Pressure {
    let t = celsius_of(temperature);
    pa(610.8 * (17.27 * t / (t + 237.3)).exp())
}

/// Slope of the saturation curve Δ = 4098 e°/(t + 237.3)² \[Pa/K\], t in °C.
///
/// Source: FAO-56, eq. 13.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn saturation_slope_pa_k(temperature: ThermodynamicTemperature) -> f64 {
    let t = celsius_of(temperature);
    4098.0 * saturation(temperature).value / (t + 237.3).powi(2)
}

/// Air pressure at an altitude z \[m\]: 101.3 [(293 − 0.0065 z)/293]^5.26 kPa.
///
/// Source: FAO-56, eq. 7.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn pressure(altitude: Length) -> Pressure {
    pa(101_300.0 * ((293.0 - 0.0065 * altitude.value) / 293.0).powf(5.26))
}

/// Psychrometric constant γ = 0.000665 P \[Pa/K\].
///
/// Source: FAO-56, eq. 8.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn psychrometric_constant_pa_k(pressure: Pressure) -> f64 {
    0.665e-3 * pressure.value
}

/// Mean saturation and actual vapour pressure of a day by its extremes: (e°(hot) + e°(cold))/2 and
/// (e°(cold) RH_max + e°(hot) RH_min)/2.
///
/// Source: FAO-56, eq. 12 and 17.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn vapour_of_day(
    hot: ThermodynamicTemperature,
    cold: ThermodynamicTemperature,
    (least, most): (f64, f64),
) -> (Pressure, Pressure) {
    let (warm, cool) = (saturation(hot).value, saturation(cold).value);
    (pa(0.5 * (warm + cool)), pa(0.5 * (cool * most + warm * least)))
}

/// Vapour pressure from a wet and a dry bulb: e = e°(t_wet) − a P (t_dry − t_wet), a = 0.000662 1/K for ventilated
/// instruments.
///
/// Source: FAO-56, eq. 15–16.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn vapour_pressure_by_bulbs(
    dry: ThermodynamicTemperature,
    wet: ThermodynamicTemperature,
    pressure: Pressure,
) -> Pressure {
    pa(saturation(wet).value - 0.000_662 * pressure.value * (dry.value - wet.value))
}

/// Vapour pressure deficit e°(t) (1 − RH), RH relative humidity \[-\].
///
/// Source: FAO-56, eq. 10 and 11.
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn deficit(temperature: ThermodynamicTemperature, relative_humidity: f64) -> Pressure {
    saturation(temperature) * (1.0 - relative_humidity)
}

/// Temperature at which air of this vapour pressure e \[kPa\] is saturated:
/// t = 237.3 ln(e/0.6108)/[17.27 − ln(e/0.6108)], eq. 11 of FAO-56 turned round.
///
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn dew_point(vapour: Pressure) -> ThermodynamicTemperature {
    let x = (vapour.value / 610.8).ln();
    crate::quantity::celsius(237.3 * x / (17.27 - x))
}

/// Humidity ratio w = 0.622 e/(P − e) \[kg vapour per kg dry air\].
///
/// Source: ASHRAE Handbook—Fundamentals, ch. 1 (from memory).
/// Evidence: `evidence/air/psychrometrics.toml`.
pub fn humidity_ratio(vapour: Pressure, pressure: Pressure) -> f64 {
    0.621_945 * vapour.value / (pressure.value - vapour.value)
}
