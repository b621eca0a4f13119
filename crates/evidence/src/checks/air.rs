//! Checks of `physics::air` and `physics::transpiration`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::air;
use tidewright_physics::quantity::{Pressure, celsius, m};
use tidewright_physics::transpiration::{
    Canopy, Daily, Hourly, LATENT_HEAT_J_KG, daylight_hours, extraterrestrial_mj, hargreaves_mm, photons_to_watts,
    wind_at_2m,
};

pub(crate) const CHECKS: Checks = &[
    ("moist-air", moist_air),
    ("reference-day", reference_day),
    ("reference-hour", reference_hour),
    ("canopy", canopy),
    ("light-sum", light_sum),
    ("water-of-heat", water_of_heat),
];

fn kpa(p: Pressure) -> f64 {
    1e-3 * p.value
}

fn moist_air(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let altitude = given.number_if("altitude_m")?.map(|z| air::pressure(m(z)));
    let stated = given.number_if("pressure_kpa")?.map(|p| air::pressure(m(0.0)) * (p / kpa(air::pressure(m(0.0)))));
    let pressure = altitude.or(stated);
    if let Some(p) = pressure {
        out.push(("pressure_kpa", kpa(p)));
        out.push(("gamma_kpa_k", 1e-3 * air::psychrometric_constant_pa_k(p)));
    }
    if let (Some(hot), Some(cold)) = (given.number_if("hot_degc")?, given.number_if("cold_degc")?) {
        let humidities = (given.number("humidity_least")?, given.number("humidity_most")?);
        let (full, held) = air::vapour_of_day(celsius(hot), celsius(cold), humidities);
        out.extend([("vapour_kpa", kpa(held)), ("deficit_kpa", kpa(full) - kpa(held))]);
    }
    if let Some(t) = given.number_if("air_degc")?.map(celsius) {
        out.push(("saturation_kpa", kpa(air::saturation(t))));
        if let (Some(wet), Some(p)) = (given.number_if("wet_bulb_degc")?, pressure) {
            out.push(("vapour_kpa", kpa(air::vapour_pressure_by_bulbs(t, celsius(wet), p))));
        }
        if let Some(rh) = given.number_if("humidity")? {
            let e = air::saturation(t) * rh;
            out.push(("deficit_kpa", kpa(air::deficit(t, rh))));
            out.push(("dew_point_degc", air::dew_point(e).value - 273.15));
            out.extend(pressure.map(|p| ("humidity_ratio", air::humidity_ratio(e, p))));
        }
    }
    Ok(out)
}

fn reference_day(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let mut wind = given.number_if("wind_m_s")?;
    if let (Some(u), Some(z)) = (wind, given.number_if("wind_height_m")?) {
        wind = Some(wind_at_2m(u, z));
        out.push(("wind_2m_m_s", wind_at_2m(u, z)));
    }
    let Some(latitude) = given.number_if("latitude_deg")?.map(f64::to_radians) else { return Ok(out) };
    let day = given.number("day")?;
    let above = extraterrestrial_mj(latitude, day);
    out.extend([("extraterrestrial_mj", above), ("daylight_h", daylight_hours(latitude, day))]);
    let (Some(hot), Some(cold)) = (given.number_if("hot_degc")?, given.number_if("cold_degc")?) else { return Ok(out) };
    let solar = match (given.number_if("sunshine_h")?, given.number_if("krs")?) {
        (Some(hours), _) => Daily::solar_by_sunshine_mj(latitude, day, hours),
        // Eq. 50: from the span of temperature.
        (None, Some(k)) => k * (hot - cold).sqrt() * above,
        (None, None) => return Err("neither `sunshine_h` nor `krs` is given".into()),
    };
    let weather = Daily {
        latitude_rad: latitude,
        altitude_m: given.number("altitude_m")?,
        day,
        hot_degc: hot,
        cold_degc: cold,
        vapour_kpa: given.number("vapour_kpa")?,
        wind_m_s: wind.unwrap_or(2.0),
        solar_mj: solar,
        soil_mj: given.number_if("soil_mj")?.unwrap_or(0.0),
    };
    out.extend([
        ("solar_mj", solar),
        ("net_longwave_mj", weather.net_longwave_mj()),
        ("net_radiation_mj", weather.net_radiation_mj()),
        ("hargreaves_mm", hargreaves_mm(hot, cold, above)),
        ("reference_mm", weather.reference_mm()),
    ]);
    Ok(out)
}

fn reference_hour(given: &Given<'_>) -> Results {
    let hour = Hourly {
        altitude_m: given.number("altitude_m")?,
        air_degc: given.number("air_degc")?,
        humidity: given.number("humidity")?,
        wind_m_s: given.number("wind_m_s")?,
        solar_mj: given.number("solar_mj")?,
        clearness: given.number("clearness")?,
        is_day: given.number("is_day")? > 0.5,
    };
    Ok(vec![("reference_mm_h", hour.reference_mm())])
}

fn canopy(given: &Given<'_>) -> Results {
    let flux = Canopy {
        air: given.temperature("air")?,
        humidity: given.number("humidity")?,
        photons_umol_m2_s: given.number("photons_umol_m2_s")?,
        photons_umol_j: given.number("photons_umol_j")?,
        leaf_area: given.number("leaf_area")?,
        cover: given.number("cover")?,
        reflected: given.number("reflected")?,
        air_resistance_s_m: given.number("air_resistance_s_m")?,
    }
    .flux();
    Ok(vec![
        ("leaf_resistance_s_m", flux.leaf_resistance_s_m),
        ("radiation_w_m2", flux.radiation_w_m2),
        ("latent_w_m2", flux.latent_w_m2),
        ("sensible_w_m2", flux.sensible_w_m2),
        ("warmer_k", flux.warmer_k),
        ("water_g_m2_h", flux.water_kg_m2_s() * 3.6e6),
    ])
}

fn light_sum(given: &Given<'_>) -> Results {
    let photons = given.number("photons_umol_m2_s")?;
    Ok(vec![
        ("dli_mol_m2", photons * given.number("lit_h")? * 3600.0 * 1e-6),
        ("energy_w_m2", photons_to_watts(photons, given.number("photons_umol_j")?)),
    ])
}

fn water_of_heat(given: &Given<'_>) -> Results {
    Ok(vec![("water_mm", given.number("latent_w_m2")? * given.number("lit_h")? * 3600.0 / LATENT_HEAT_J_KG)])
}
