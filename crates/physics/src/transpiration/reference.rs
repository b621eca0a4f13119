//! Reference evapotranspiration of grass, by the day and by the hour.
//!
//! Source throughout: Allen et al., FAO Irrigation and Drainage Paper 56 (1998); equation numbers are its.

use std::f64::consts::PI;

/// Solar constant \[MJ/(m² min)\]. Source: FAO-56, eq. 21.
const SOLAR_MJ_M2_MIN: f64 = 0.0820;
/// Stefan–Boltzmann \[MJ/(K⁴ m² d)\]. Source: FAO-56, eq. 39.
const STEFAN_MJ_K4_M2_D: f64 = 4.903e-9;
/// Share of solar radiation that grass reflects. Source: FAO-56, eq. 38.
const ALBEDO: f64 = 0.23;

/// Relative distance to the sun and its declination \[rad\] on a day of the year. Eq. 23–24.
fn sun(day: f64) -> (f64, f64) {
    let year = 2.0 * PI * day / 365.0;
    (1.0 + 0.033 * year.cos(), 0.409 * (year - 1.39).sin())
}

/// Sunset hour angle ωs \[rad\]. Eq. 25. Beyond the polar circles the sun may not set or rise.
fn sunset(latitude_rad: f64, declination: f64) -> f64 {
    (-latitude_rad.tan() * declination.tan()).clamp(-1.0, 1.0).acos()
}

/// Radiation above the air in a day, Ra \[MJ/m²\]. Eq. 21.
///
/// Latitude \[rad\], positive north; day of the year from 1.
/// Evidence: `evidence/air/reference-et.toml`.
pub fn extraterrestrial_mj(latitude_rad: f64, day: f64) -> f64 {
    let (dr, delta) = sun(day);
    let ws = sunset(latitude_rad, delta);
    24.0 * 60.0 / PI
        * SOLAR_MJ_M2_MIN
        * dr
        * (ws * latitude_rad.sin() * delta.sin() + latitude_rad.cos() * delta.cos() * ws.sin())
}

/// Daylight hours N. Eq. 34.
///
/// Evidence: `evidence/air/reference-et.toml`.
pub fn daylight_hours(latitude_rad: f64, day: f64) -> f64 {
    24.0 / PI * sunset(latitude_rad, sun(day).1)
}

/// Clear-sky radiation Rso = (0.75 + 2·10⁻⁵ z) Ra \[MJ/m²\], altitude z \[m\]. Eq. 37.
///
/// Evidence: `evidence/air/reference-et.toml`.
pub fn clear_sky_mj(extraterrestrial_mj: f64, altitude_m: f64) -> f64 {
    (0.75 + 2e-5 * altitude_m) * extraterrestrial_mj
}

/// Net longwave loss Rnl \[MJ/(m² d)\] = σ (Tmax⁴ + Tmin⁴)/2 (0.34 − 0.14 √e) (1.35 Rs/Rso − 0.35), T \[K\], e \[kPa\]. Eq. 39.
///
/// Evidence: `evidence/air/reference-et.toml`.
pub fn net_longwave_mj(hot_degc: f64, cold_degc: f64, vapour_kpa: f64, clearness: f64) -> f64 {
    let fourth = |t: f64| (t + 273.16).powi(4);
    STEFAN_MJ_K4_M2_D
        * 0.5
        * (fourth(hot_degc) + fourth(cold_degc))
        * (0.34 - 0.14 * vapour_kpa.sqrt())
        * (1.35 * clearness.min(1.0) - 0.35)
}

/// Wind at 2 m from wind at a height z \[m\]: u 4.87/ln(67.8 z − 5.42). Eq. 47.
///
/// Evidence: `evidence/air/reference-et.toml`.
pub fn wind_at_2m(wind_m_s: f64, height_m: f64) -> f64 {
    wind_m_s * 4.87 / (67.8 * height_m - 5.42).ln()
}

/// 0.0023 (Tmean + 17.8) √(Tmax − Tmin) Ra \[mm/d\], Ra in mm of water. Eq. 52.
///
/// Evidence: `evidence/air/reference-et.toml`.
pub fn hargreaves_mm(hot_degc: f64, cold_degc: f64, extraterrestrial_mj: f64) -> f64 {
    0.0023 * (0.5 * (hot_degc + cold_degc) + 17.8) * (hot_degc - cold_degc).sqrt() * 0.408 * extraterrestrial_mj
}

fn saturation_kpa(t: f64) -> f64 {
    1e-3 * crate::air::saturation(crate::quantity::celsius(t)).value
}

fn slope_kpa(t: f64) -> f64 {
    1e-3 * crate::air::saturation_slope_pa_k(crate::quantity::celsius(t))
}

fn gamma_kpa(altitude_m: f64) -> f64 {
    1e-3 * crate::air::psychrometric_constant_pa_k(crate::air::pressure(crate::quantity::m(altitude_m)))
}

/// The weather of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Daily {
    /// Latitude \[rad\].
    pub latitude_rad: f64,
    /// Altitude \[m\].
    pub altitude_m: f64,
    /// Day of the year.
    pub day: f64,
    /// Highest temperature \[°C\].
    pub hot_degc: f64,
    /// Lowest temperature \[°C\].
    pub cold_degc: f64,
    /// Vapour pressure \[kPa\].
    pub vapour_kpa: f64,
    /// Wind at 2 m \[m/s\].
    pub wind_m_s: f64,
    /// Solar radiation Rs \[MJ/m²\].
    pub solar_mj: f64,
    /// Heat into the soil G \[MJ/m²\].
    pub soil_mj: f64,
}

impl Daily {
    /// Solar radiation from hours of sunshine n: (0.25 + 0.50 n/N) Ra. Eq. 35.
    ///
    /// Evidence: `evidence/air/reference-et.toml`.
    pub fn solar_by_sunshine_mj(latitude_rad: f64, day: f64, hours: f64) -> f64 {
        (0.25 + 0.5 * hours / daylight_hours(latitude_rad, day)) * extraterrestrial_mj(latitude_rad, day)
    }

    /// Net longwave loss of this day \[MJ/m²\].
    pub fn net_longwave_mj(&self) -> f64 {
        let clear = clear_sky_mj(extraterrestrial_mj(self.latitude_rad, self.day), self.altitude_m);
        net_longwave_mj(self.hot_degc, self.cold_degc, self.vapour_kpa, self.solar_mj / clear)
    }

    /// Net radiation Rn = 0.77 Rs − Rnl \[MJ/m²\]. Eq. 38–40.
    pub fn net_radiation_mj(&self) -> f64 {
        (1.0 - ALBEDO) * self.solar_mj - self.net_longwave_mj()
    }

    /// Reference evapotranspiration \[mm/d\]:
    /// [0.408 Δ (Rn − G) + γ 900/(T + 273) u₂ (es − ea)]/[Δ + γ (1 + 0.34 u₂)]. Eq. 6.
    ///
    /// Evidence: `evidence/air/reference-et.toml`.
    pub fn reference_mm(&self) -> f64 {
        let t = 0.5 * (self.hot_degc + self.cold_degc);
        let deficit = 0.5 * (saturation_kpa(self.hot_degc) + saturation_kpa(self.cold_degc)) - self.vapour_kpa;
        let (slope, gamma, u) = (slope_kpa(t), gamma_kpa(self.altitude_m), self.wind_m_s);
        (0.408 * slope * (self.net_radiation_mj() - self.soil_mj) + gamma * 900.0 / (t + 273.0) * u * deficit)
            / (slope + gamma * (1.0 + 0.34 * u))
    }
}

/// The weather of one hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hourly {
    /// Altitude \[m\].
    pub altitude_m: f64,
    /// Temperature \[°C\].
    pub air_degc: f64,
    /// Relative humidity \[-\].
    pub humidity: f64,
    /// Wind at 2 m \[m/s\].
    pub wind_m_s: f64,
    /// Solar radiation Rs \[MJ/m²\].
    pub solar_mj: f64,
    /// Rs over that of a clear sky \[-\]; at night that of the hours before sunset.
    pub clearness: f64,
    /// Whether it is day: the soil takes a tenth of Rn then, half of it at night.
    pub is_day: bool,
}

impl Hourly {
    /// Reference evapotranspiration \[mm/h\]. Eq. 53, soil heat by eq. 45–46.
    ///
    /// Evidence: `evidence/air/reference-et.toml`.
    pub fn reference_mm(&self) -> f64 {
        let t = self.air_degc;
        let es = saturation_kpa(t);
        let ea = es * self.humidity;
        let longwave = net_longwave_mj(t, t, ea, self.clearness) / 24.0;
        let rn = (1.0 - ALBEDO) * self.solar_mj - longwave;
        let soil = if self.is_day { 0.1 * rn } else { 0.5 * rn };
        let (slope, gamma, u) = (slope_kpa(t), gamma_kpa(self.altitude_m), self.wind_m_s);
        (0.408 * slope * (rn - soil) + gamma * 37.0 / (t + 273.0) * u * (es - ea)) / (slope + gamma * (1.0 + 0.34 * u))
    }
}
