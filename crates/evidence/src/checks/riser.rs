//! Checks of `physics::hydraulics::riser`.

use super::{Results, flows, lengths};
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::hydraulics::riser;
use tidewright_physics::quantity::{INCH_M, m, m3_s};

pub(crate) const CHECKS: Checks = &[
    ("riser", rating),
    ("riser-crossover", crossover),
    ("orifice-rows", orifice_rows),
    ("self-venting", self_venting),
    ("gulping-number", gulping_number),
    ("stack-flow", stack_flow),
    ("vertical-jet", vertical_jet),
];

fn rating(given: &Given<'_>) -> Results {
    let (bore, head) = (given.length("bore")?, given.length("head")?);
    let weir = riser::weir(given.number("weir_coefficient")?, bore, head);
    let orifice = riser::orifice(given.number("orifice_coefficient")?, bore, head);
    let mut all = flows!("weir", weir);
    all.extend(flows!("orifice", orifice));
    all.push(("weir_controls", if weir < orifice { 1.0 } else { 0.0 }));
    Ok(all)
}

fn crossover(given: &Given<'_>) -> Results {
    let bore = given.length("bore")?;
    let (c_w, c_o) = (given.number("weir_coefficient")?, given.number("orifice_coefficient")?);
    let head = riser::crossover_head(c_w, c_o, bore);
    let mut all = lengths!("head", head);
    all.extend(flows!("flow", riser::weir(c_w, bore, head)));
    Ok(all)
}

fn orifice_rows(given: &Given<'_>) -> Results {
    let (bore, c_o) = (given.length("bore")?, given.number("orifice_coefficient")?);
    let (holes, heads) = (given.numbers("holes_in_row")?, given.numbers("heads_ft")?);
    if holes.len() != heads.len() {
        return Err("holes_in_row and heads_ft differ in length".to_owned());
    }
    let each = |(n, h): (&f64, &f64)| n * riser::orifice(c_o, bore, m(h * 12.0 * INCH_M)).value;
    Ok(flows!("flow", m3_s(holes.iter().zip(&heads).map(each).sum())))
}

fn self_venting(given: &Given<'_>) -> Results {
    Ok(flows!("flow", riser::self_venting_flow(given.length("bore")?)))
}

fn gulping_number(given: &Given<'_>) -> Results {
    Ok(vec![("gulping_number", riser::gulping_number(given.length("bore")?, given.flow("flow")?))])
}

fn stack_flow(given: &Given<'_>) -> Results {
    Ok(flows!("flow", riser::stack_flow(given.length("bore")?, given.number("fill")?)))
}

fn vertical_jet(given: &Given<'_>) -> Results {
    Ok(flows!("flow", riser::vertical_jet_flow(given.length("bore")?, given.length("height")?)))
}
