//! Heat of a vessel of water: what comes, what goes, how fast it follows the room.

use crate::quantity::{Area, Mass, Power, Pressure, ThermodynamicTemperature, Time, Velocity, kg, s, w};

/// Heat that a kilogram of water takes for a kelvin \[J/(kg K)\], 15–30 °C. Source: IAPWS-95, 4182–4186 (from memory).
pub const WATER_J_KG_K: f64 = 4183.0;

/// Heat to turn water into vapour λ = 2.501 − 0.002361 t \[MJ/kg\], t \[°C\], as J/kg.
///
/// Source: FAO Irrigation and Drainage Paper 56 (1998), annex 3 (after Harrison 1963).
/// Evidence: `evidence/air/heat.toml`.
pub fn latent_j_kg(temperature: ThermodynamicTemperature) -> f64 {
    1e6 * (2.501 - 0.002_361 * (temperature.value - 273.15))
}

/// Water that an open surface gives off: w = A (0.089 + 0.0782 v)(p_w − p_a)/λ, in kW and kPa; v \[m/s\] over the water.
///
/// Below nil where the air is wetter than the water is warm: dew. Quiet pools gave 0.74 of it (Smith, Löf & Jones 1998, abstract).
/// Source: ASHRAE Handbook—HVAC Applications, natatoriums (Carrier 1918; from memory).
/// Evidence: `evidence/air/heat.toml`.
pub fn evaporation_kg_s(area: Area, over: Velocity, of_water: Pressure, of_air: Pressure, latent_j_kg: f64) -> f64 {
    area.value * (0.089 + 0.0782 * over.value) * (of_water.value - of_air.value) / latent_j_kg
}

/// Measured over formula on quiet pools \[-\]. Source: Smith, Löf & Jones, Solar Energy 62 (1998) (abstract).
pub const QUIET_POOL: f64 = 0.74;

/// Time in which a vessel comes 63 % nearer to its room, τ = m c/UA; UA \[W/K\].
///
/// Evidence: `evidence/air/heat.toml`.
pub fn time_constant(water: Mass, ua_w_k: f64) -> Time {
    s(water.value * WATER_J_KG_K / ua_w_k)
}

/// How fast a power warms a mass of water that loses nothing \[K/s\].
///
/// Evidence: `evidence/air/heat.toml`.
pub fn adiabatic_k_s(power: Power, water: Mass) -> f64 {
    power.value / (water.value * WATER_J_KG_K)
}

/// Power that holds a vessel ΔT over its room beside other gains G: UA ΔT − G. Below nil is cooling.
///
/// Evidence: `evidence/air/heat.toml`.
pub fn holding(ua_w_k: f64, above_room_k: f64, gains: Power) -> Power {
    w(ua_w_k * above_room_k) - gains
}

/// Power that changes a mass of water by so many kelvins in a time, losses left out: m c ΔT/t.
///
/// Evidence: `evidence/air/heat.toml`.
pub fn bringing(water: Mass, change_k: f64, within: Time) -> Power {
    w(water.value * WATER_J_KG_K * change_k / within.value)
}

/// Mass of a volume of water, by its density.
pub fn mass_of(volume: crate::quantity::Volume, temperature: ThermodynamicTemperature) -> Mass {
    kg(volume.value * crate::water::density(temperature).value)
}
