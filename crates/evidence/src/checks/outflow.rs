//! Checks of `physics::hydraulics::outflow`.

use super::{Results, geometry::area_over_height};
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::geometry::AreaPolynomial;
use tidewright_physics::hydraulics::{line::area_of, outflow};
use tidewright_physics::quantity::Length;

pub(crate) const CHECKS: Checks =
    &[("drain-upright", upright), ("drain-orifice", through_orifice), ("drain-hose", through_hose)];

fn levels(given: &Given<'_>) -> Result<(Length, Length), String> {
    Ok((given.length("from_level")?, given.length("to_level")?))
}

fn upright(given: &Given<'_>) -> Results {
    let vessel = AreaPolynomial::upright(given.area("area")?);
    let (from, to) = levels(given)?;
    let time = outflow::through_orifice(&vessel, given.area("opening_area")?, given.number("coefficient")?, from, to);
    Ok(vec![("time_s", time.value)])
}

fn through_orifice(given: &Given<'_>) -> Results {
    let (vessel, opening) = (area_over_height(given)?, area_of(given.length("bore")?));
    let (from, to) = levels(given)?;
    let time = outflow::through_orifice(&vessel, opening, given.number("coefficient")?, from, to);
    Ok(vec![("time_s", time.value)])
}

fn through_hose(given: &Given<'_>) -> Results {
    let (vessel, hose) = (area_over_height(given)?, area_of(given.length("bore")?));
    let (from, to) = levels(given)?;
    let time = outflow::through_hose(&vessel, hose, given.number("total_loss")?, given.length("drop")?, from, to);
    Ok(vec![("time_s", time.value)])
}
