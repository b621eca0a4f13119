//! Checks of `physics::structure`.

use super::Results;
use super::aeration::misses;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::quantity::INCH_M;
use tidewright_physics::structure::{self, Beam, Section};

pub(crate) const CHECKS: Checks = &[("section", section), ("beam", beam), ("post", post)];

fn section(given: &Given<'_>) -> Results {
    let s = match given.length_if("outside")? {
        Some(d) => Section::pipe(d.value, given.length("wall")?.value),
        None => Section::rectangle(given.length("width")?.value, given.length("height")?.value),
    };
    let i = s.second_moment_m4 / INCH_M.powi(4);
    let mut out =
        vec![("i_in4", i), ("s_in3", s.modulus_m3 / INCH_M.powi(3)), ("area_in2", s.area_m2 / INCH_M.powi(2))];
    if let Some(trap) = given.number_if("not_in4")? {
        out.push(("misses_the_trap", misses(i, trap)));
    }
    Ok(out)
}

fn second_moment(given: &Given<'_>) -> Result<f64, String> {
    match given.length_if("pipe_outside")? {
        Some(d) => Ok(Section::pipe(d.value, given.length("pipe_wall")?.value).second_moment_m4),
        None => given.number("i_m4"),
    }
}

fn beam(given: &Given<'_>) -> Results {
    let (span, e, i) = (given.length("span")?.value, 1e9 * given.number("e_gpa")?, second_moment(given)?);
    let mut out = Vec::new();
    let even = given.number_if("load_n_m")?.unwrap_or(0.0);
    let sag = 1e3 * structure::sag_even_m(even, span, e, i);
    out.extend([("sag_mm", sag), ("moment_even_n_m", structure::moment_even_n_m(even, span))]);
    if let Some(trap) = given.number_if("not_mm")? {
        out.push(("misses_the_trap", misses(sag, trap)));
    }
    if let Some(p) = given.number_if("middle_n")? {
        out.push(("sag_middle_mm", 1e3 * structure::sag_middle_m(p, span, e, i)));
    }
    if let Some(limit) = given.number_if("limit")? {
        out.push(("span_for_limit_m", structure::span_for_sag_m(even, limit, e, i)));
    }
    if let Some(from) = given.length_if("longer_from")? {
        let to = given.length("longer_to")?.value;
        let sags: Vec<f64> = (0..60)
            .map(|k| structure::sag_even_m(even, from.value + (to - from.value) * f64::from(k) / 59.0, e, i))
            .collect();
        out.push(("always_more", f64::from(u8::from(sags.windows(2).all(|w| w[1] > w[0])))));
        return Ok(out);
    }
    if given.text_if("places_m").is_err() {
        let points = given.numbers("places_m")?.into_iter().zip(given.numbers("loads_n")?).collect();
        let b = Beam { span_m: span, even_n_m: even, points };
        let (left, right) = b.reactions_n();
        out.extend([
            ("left_n", left),
            ("right_n", right),
            ("moment_n_m", b.greatest_moment_n_m()),
            ("general_sag_mm", 1e3 * b.greatest_sag_m(e, i)),
        ]);
    }
    Ok(out)
}

fn post(given: &Given<'_>) -> Results {
    if let Some(mass) = given.number_if("floor_mass_kg")? {
        return Ok(vec![("on_floor_kpa", 1e-3 * structure::on_floor_pa(mass, given.number("area_m2")?))]);
    }
    if let Some(mass) = given.number_if("mass_kg")? {
        let (base, height) = (given.length("base")?.value, given.length("height")?.value);
        return Ok(vec![("tipping_n", structure::tipping_n(mass, base, height))]);
    }
    let (e, i) = (1e9 * given.number("e_gpa")?, second_moment(given)?);
    Ok(vec![("buckling_n", structure::buckling_n(e, i, given.length("length")?.value, given.number("k")?))])
}
