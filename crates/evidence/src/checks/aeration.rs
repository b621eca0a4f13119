//! Checks of `physics::oxygen`'s water side, `physics::aeration`, `physics::heat` and `physics::air::handbook`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::aeration::{AirLine, Curve, Port, density_kg_m3, least_work_w, operating_point};
use tidewright_physics::air::handbook;
use tidewright_physics::hydraulics::line::Line;
use tidewright_physics::oxygen::{bubbles, saturation, transfer};
use tidewright_physics::quantity::{celsius, kg, m_s, m2, mm, pa, s, w};
use tidewright_physics::{GRAVITY_M_S2, heat, oxygen, water};

pub(crate) const CHECKS: Checks = &[
    ("saturation", holds),
    ("transfer", moved),
    ("hours-to", hours),
    ("bubbles", bubble),
    ("air-line", line),
    ("air-point", point),
    ("handbook-air", moist),
    ("heat", warm),
];

/// Whether a value stands apart from what a known mistake gives, by more than rounding; how near it is to the right one, the
/// case's own tolerance says.
pub(crate) fn misses(value: f64, trap: f64) -> f64 {
    f64::from(u8::from((value - trap).abs() > 2e-4 * trap.abs()))
}

fn holds(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let mut pressure = pa(saturation::ATMOSPHERE_PA);
    if let Some(z) = given.length_if("altitude")? {
        pressure = saturation::standard_pressure(z);
        out.push(("pressure_pa", pressure.value));
    }
    if let Some(p) = given.number_if("pressure_atm")? {
        pressure = pa(p * saturation::ATMOSPHERE_PA);
    }
    let mut salinity = given.number_if("salinity_g_kg")?.unwrap_or(0.0);
    let Some(t) = given.number_if("water_degc")?.map(celsius) else { return Ok(out) };
    if let Some(sc) = given.number_if("conductance_us_cm")? {
        salinity = saturation::salinity_of_conductance_g_kg(sc);
        out.push(("salinity_of_conductance_g_kg", salinity));
    }
    let held = saturation::saturation_mg_l(t, salinity, pressure);
    out.push(("saturation_mg_l", held));
    out.push(("salt_factor", held / saturation::saturation_mg_l(t, 0.0, pressure)));
    if let Some(depth) = given.length_if("stone_depth")? {
        out.push(("under_bubbles_mg_l", saturation::under_bubbles_mg_l(t, salinity, pressure, depth)));
    }
    if let Some(trap) = given.number_if("not_mg_l")? {
        out.push(("misses_the_trap", misses(held, trap)));
    }
    Ok(out)
}

fn moved(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    if let (Some(end), Some(start), Some(k)) =
        (given.number_if("end_mg_l")?, given.number_if("start_mg_l")?, given.number_if("kla_1_h")?)
    {
        if let Some(t) = given.number_if("time_h")? {
            out.push(("oxygen_mg_l", transfer::step_response(end, start, k * t)));
        } else {
            let readings: Vec<(f64, f64)> = given
                .numbers("minutes")?
                .iter()
                .map(|t| (t / 60.0, transfer::step_response(end, start, k * t / 60.0)))
                .collect();
            let f = transfer::fit(&readings).ok_or("the readings do not tell")?;
            out.extend([
                ("fitted_1_h", f.kla_1_h),
                ("fitted_end_mg_l", f.end_mg_l),
                ("fitted_start_mg_l", f.start_mg_l),
            ]);
        }
    }
    if let Some(x) = given.number_if("nmol_g_s")? {
        out.push(("use_mg_g_h", transfer::use_mg_g_h(x)));
    }
    let Some(t) = given.number_if("water_degc")?.map(celsius) else { return Ok(out) };
    out.push(("temperature_factor", transfer::temperature_factor(t)));
    if let Some(sotr) = given.number_if("sotr")? {
        let shares = (given.number("alpha")?, given.number("beta")?);
        let c = oxygen::saturation_mg_l(t);
        out.push(("field_rate", transfer::field_rate(sotr, shares, t, c, given.number("now_mg_l")?)));
    }
    if let Some(fall) = given.length_if("fall")? {
        let shape = (given.number("quality")?, given.number("shape")?);
        out.push(("deficit_ratio", transfer::deficit_ratio_of_fall(fall, t, shape)));
    }
    Ok(out)
}

fn hours(given: &Given<'_>) -> Results {
    let used = given.number("use_mg_h")? / given.number("volume_l")?;
    let t = transfer::hours_to(
        given.number("threshold_mg_l")?,
        given.number("start_mg_l")?,
        given.number("saturation_mg_l")?,
        given.number("rate_1_h")?,
        used,
    );
    Ok(vec![("hours", t), ("never", f64::from(u8::from(t.is_infinite())))])
}

fn bubble(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let diameter = given.length_if("diameter")?;
    if let (Some(d), Some(rho)) = (diameter, given.number_if("density_kg_m3")?) {
        if let Some(sigma) = given.number_if("sigma_n_m")? {
            let u = bubbles::rise_clean_m_s(d, sigma, rho);
            out.push(("clean_m_s", u));
            if let Some(beside) = given.length_if("beside")? {
                let slowest = [d - beside, d + beside].iter().all(|x| bubbles::rise_clean_m_s(*x, sigma, rho) > u);
                out.push(("slowest_here", f64::from(u8::from(slowest))));
            }
        }
        if let Some(mu) = given.number_if("viscosity_pa_s")? {
            out.push(("creeping_rigid_mm_s", 1e3 * bubbles::rise_creeping_m_s(d, rho, mu, false)));
            out.push(("creeping_mobile_mm_s", 1e3 * bubbles::rise_creeping_m_s(d, rho, mu, true)));
        }
    }
    let Some(t) = given.number_if("water_degc")?.map(celsius) else { return Ok(out) };
    out.push(("diffusivity_m2_s", bubbles::diffusivity_m2_s(t)));
    out.push(("tension_mn_m", 1e3 * water::surface_tension_n_m(t)));
    if let Some(pore) = given.length_if("pore")? {
        out.push(("opening_kpa", 1e-3 * bubbles::opening_pressure_pa(pore, t)));
    }
    if let Some(orifice) = given.length_if("orifice")? {
        out.push(("from_orifice_mm", 1e3 * bubbles::from_orifice(orifice, t).value));
    }
    let Some(d) = diameter else { return Ok(out) };
    let rise = given.number_if("rise_m_s")?.unwrap_or_else(|| bubbles::rise_contaminated_m_s(d, t));
    out.push(("contaminated_m_s", rise));
    if let Some(film) = given.text_if("film")? {
        let kl = match film {
            "rigid" => bubbles::film_rigid_m_s(rise, d, t),
            _ => bubbles::film_mobile_m_s(rise, d, t),
        };
        let a = bubbles::surface_per_volume_1_m(
            given.flow("flow")?,
            given.length("depth")?,
            d,
            rise,
            given.volume("volume")?,
        );
        out.extend([("film_1e4_m_s", 1e4 * kl), ("surface_1_m", a), ("kla_1_h", 3600.0 * kl * a)]);
    }
    Ok(out)
}

fn line(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let air = pa(saturation::ATMOSPHERE_PA);
    if let Some(gauge) = given.number_if("gauge_kpa")? {
        return Ok(vec![("least_work_w", least_work_w(given.flow("flow")?, pa(1e3 * gauge), air))]);
    }
    let t = celsius(given.number("air_degc")?);
    if let Some(depth) = given.length_if("depth")? {
        return Ok(vec![("head_pa", water::density(t).value * GRAVITY_M_S2 * depth.value)]);
    }
    let flow = given.flow("flow")?;
    out.push(("oxygen_fed_g_h", 3600.0 * flow.value * oxygen::in_air_g_m3(t)));
    if let Some(bore) = given.length_if("bore")? {
        let line = AirLine { bore, length: given.length("length")? };
        let (v, re) = line.speed_and_reynolds(flow, t, air);
        out.extend([
            ("drop_pa", line.begin_pa(flow, air.value, t, air) - air.value),
            ("speed_m_s", v),
            ("reynolds", re),
            ("density_kg_m3", density_kg_m3(t, air)),
        ]);
    }
    Ok(out)
}

fn point(given: &Given<'_>) -> Results {
    let (bore, length) = (given.length("bore")?, given.length("length")?);
    if let Some(head) = given.length_if("head")? {
        let nu = water::kinematic_viscosity_m2_s(celsius(given.number("water_degc")?));
        let line = Line { bore, length, roughness: mm(0.0015), loss: 1.5, viscosity_m2_s: nu };
        let flow = line.flow(head).value * 3.6e6;
        let within = flow >= given.number("low_l_h")? && flow <= given.number("high_l_h")?;
        return Ok(vec![("siphon_l_h", flow), ("within", f64::from(u8::from(within)))]);
    }
    let t = celsius(22.0);
    let port = Port {
        line: AirLine { bore, length },
        water_pa: water::density(t).value * GRAVITY_M_S2 * given.length("depth")?.value,
        opening_pa: 1e3 * given.number_if("opening_kpa")?.unwrap_or(0.0),
        resistance_pa_s_m3: 0.0,
        valve_pa: 0.0,
    };
    let curve = Curve::Line { max_pressure: pa(1e3 * given.number("max_kpa")?), open_flow: given.flow("open")? };
    // Closed ports are none.
    given.number("closed")?;
    let ports = vec![port; given.number("ports")? as usize];
    let at = operating_point(&curve, 1.0, &ports, t, pa(saturation::ATMOSPHERE_PA));
    let total = at.total().value;
    let first = at.flows.first().map_or(0.0, |f| f.value);
    Ok(vec![("total_l_h", 3.6e6 * total), ("share_of_first", if total > 0.0 { first / total } else { 0.0 })])
}

fn moist(given: &Given<'_>) -> Results {
    let t = celsius(given.number("air_degc")?);
    let air = pa(saturation::ATMOSPHERE_PA);
    let full = handbook::saturation(t);
    let mut out = vec![("saturation_pa", full.value)];
    let mut ratio = None;
    if let Some(wet) = given.number_if("wet_bulb_degc")? {
        ratio = Some(handbook::ratio_by_bulbs(t, celsius(wet), air));
    }
    if let Some(rh) = given.number_if("humidity")? {
        ratio = Some(handbook::ratio_of(full * rh, air));
        out.push(("deficit_pa", full.value * (1.0 - rh)));
        out.extend(handbook::dew_point(full * rh).map(|d| ("dew_point_degc", d.value - 273.15)));
    }
    if let Some(x) = ratio {
        out.extend([("ratio", x), ("enthalpy_kj_kg", handbook::enthalpy_kj_kg(t, x))]);
        out.extend(handbook::wet_bulb(t, x, air).map(|d| ("wet_bulb_degc", d.value - 273.15)));
    }
    Ok(out)
}

fn warm(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let mass = given.number_if("mass_kg")?.map(kg);
    let power = given.number_if("power_w")?.map(w);
    let ua = given.number_if("ua_w_k")?;
    if let (Some(p), Some(mass)) = (power, mass) {
        out.push(("adiabatic_k_h", 3600.0 * heat::adiabatic_k_s(p, mass)));
    }
    if let (Some(mass), Some(ua)) = (mass, ua) {
        out.push(("tau_h", heat::time_constant(mass, ua).value / 3600.0));
    }
    if let (Some(p), Some(ua)) = (power, ua) {
        out.push(("rise_k", p.value / ua));
        if let Some(above) = given.number_if("above_room_k")? {
            out.push(("holding_w", heat::holding(ua, above, p).value));
        }
    }
    if let (Some(mass), Some(change)) = (mass, given.number_if("change_k")?) {
        out.push(("bringing_w", heat::bringing(mass, change, s(3600.0 * given.number("within_h")?)).value));
    }
    let Some(t) = given.number_if("water_degc")?.map(celsius) else { return Ok(out) };
    let air = celsius(given.number("air_degc")?);
    let (of_water, of_air) = (handbook::saturation(t), handbook::saturation(air) * given.number("humidity")?);
    let latent = heat::latent_j_kg(t);
    let over = m_s(given.number("over_m_s")?);
    let given_off = heat::evaporation_kg_s(m2(given.number("area_m2")?), over, of_water, of_air, latent);
    out.extend([
        ("evaporated_g_h", 3.6e6 * given_off),
        ("latent_w", latent * given_off),
        ("quiet_g_h", 3.6e6 * heat::QUIET_POOL * given_off),
        ("quiet_w", heat::QUIET_POOL * latent * given_off),
    ]);
    Ok(out)
}
