//! Checks of `physics::hydraulics::fittings`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::hydraulics::fittings;

pub(crate) const CHECKS: Checks = &[
    ("sharp-contraction", sharp_contraction),
    ("sudden-expansion", sudden_expansion),
    ("barbed-insert", barbed_insert),
    ("loss-on-bore", on_bore),
];

fn sharp_contraction(given: &Given<'_>) -> Results {
    Ok(vec![("loss", fittings::sharp_contraction(given.length("from_bore")?, given.length("to_bore")?))])
}

fn sudden_expansion(given: &Given<'_>) -> Results {
    Ok(vec![("loss", fittings::sudden_expansion(given.length("from_bore")?, given.length("to_bore")?))])
}

fn barbed_insert(given: &Given<'_>) -> Results {
    Ok(vec![("loss", fittings::barbed_insert(given.length("hose_bore")?, given.length("insert_bore")?))])
}

fn on_bore(given: &Given<'_>) -> Results {
    let (from, to) = (given.length("given_on_bore")?, given.length("wanted_on_bore")?);
    Ok(vec![("loss", fittings::on_bore(given.number("loss")?, from, to))])
}
