//! Checks of `physics::light` and `physics::packing`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::light::lamp::{Lamp, Plan, Throw, map};
use tidewright_physics::light::web::Web;
use tidewright_physics::{light, packing};

pub(crate) const CHECKS: Checks =
    &[("light", arithmetic), ("light-map", mapped), ("packing", packed), ("photometry", photometry)];

fn arithmetic(given: &Given<'_>) -> Results {
    let mut out = Vec::new();
    let hours = given.number_if("hours")?;
    let ppfd = given.number_if("ppfd")?;
    if let (Some(e), Some(h)) = (ppfd, hours) {
        out.push(("dli", light::dli_mol_m2_d(e, h)));
    }
    if let (Some(d), Some(h)) = (given.number_if("dli_wanted")?, hours) {
        out.push(("ppfd_wanted", light::ppfd_for_dli(d, h)));
    }
    if let (Some(e), Some(ppe)) = (ppfd, given.number_if("efficacy")?) {
        out.push(("power_w_m2", light::power_w_m2(e, ppe, given.number("arriving")?)));
    }
    if let Some(nm) = given.number_if("wavelength_nm")? {
        out.push(("photons_umol_j", light::photons_per_joule(nm)));
    }
    if let Some(angle) = given.number_if("beam_deg")? {
        out.push(("beam_exponent", light::exponent_of_beam(angle)));
    }
    let Some(height) = given.length_if("height")?.map(|h| h.value) else { return Ok(out) };
    if let Some(i) = given.number_if("intensity")? {
        out.push(("of_point", light::of_point(i, height, given.length("offset")?.value)));
    }
    if let Some(r) = given.length_if("radius")? {
        out.push(("on_disc", light::share_on_disc(r.value, height)));
    }
    if let Some(flux) = given.number_if("flux")? {
        if let Some(exponent) = given.number_if("exponent")? {
            out.push(("of_lamp", light::of_cosine_lamp(flux, exponent, height, given.length("offset")?.value)));
        }
        if let (Some(l), Some(w)) = (given.length_if("length")?, given.length_if("width")?) {
            let share = light::share_on_rectangle(l.value, w.value, height);
            out.extend([("on_rectangle", share), ("mean_on_rectangle", share * flux / (l.value * w.value))]);
        }
    }
    Ok(out)
}

fn mapped(given: &Given<'_>) -> Results {
    let angles: Vec<f64> = (0..=36).map(|k| 2.5 * f64::from(k)).collect();
    let throw = if given.number_if("web_lambert")?.is_some() {
        let candela = angles.iter().map(|a| 1000.0 * a.to_radians().cos().max(0.0)).collect();
        Throw::Web(Web::new(angles, vec![0.0], candela).ok_or("no web")?)
    } else {
        Throw::Cosine(1.0)
    };
    let side = |x: Option<tidewright_physics::quantity::Length>| x.map_or(0.0, |v| v.value);
    let lamp = Lamp {
        at_m: (0.0, 0.0),
        height_m: given.length("height")?.value,
        size_m: (side(given.length_if("panel_length")?), side(given.length_if("panel_width")?)),
        photons_umol_s: given.number("flux")?,
        throw,
    };
    let size = (given.length("length")?.value, given.length("width")?.value);
    let points = (given.number("points_along")? as usize, given.number("points_across")? as usize);
    let plan = Plan { size_m: size, round: given.number_if("round")?.is_some() };
    let m = map(&[lamp], plan, points, given.number_if("reflected")?.unwrap_or(0.0));
    Ok(vec![("mean", m.mean()), ("caught", m.caught_umol_s()), ("most", m.most()), ("least", m.least())])
}

fn packed(given: &Given<'_>) -> Results {
    let (l, w, s) = (given.length("length")?.value, given.length("width")?.value, given.length("spacing")?.value);
    Ok(vec![("square", packing::square(l, w, s) as f64), ("staggered", packing::staggered(l, w, s) as f64)])
}

/// A photometric file: read whole, or refused.
fn photometry(given: &Given<'_>) -> Results {
    let Ok(p) = tidewright_rig::photometry::read("lamp.ies", given.text("file")?) else {
        given.number_if("vertical_deg")?;
        given.number_if("horizontal_deg")?;
        return Ok(vec![("refused", 1.0)]);
    };
    let mut out = vec![
        ("refused", 0.0),
        ("lumens", p.web.lumens()),
        ("length_mm", 1e3 * p.size_m.0),
        ("width_mm", 1e3 * p.size_m.1),
    ];
    if let Some(v) = given.number_if("vertical_deg")? {
        out.push(("candela", p.web.candela(v, given.number("horizontal_deg")?)));
    }
    Ok(out)
}
