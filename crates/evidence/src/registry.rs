//! The check functions by name.

use crate::checks;
use crate::given::Given;

/// A check: reads all inputs of a case, calls the functions under test, gives back quantities whose
/// names carry their units. It may give more than a case expects.
pub type Check = fn(&Given<'_>) -> Result<Vec<(&'static str, f64)>, String>;

/// Checks of one domain, by name.
pub(crate) type Checks = &'static [(&'static str, Check)];

const DOMAINS: &[Checks] = &[
    checks::water::CHECKS,
    checks::geometry::CHECKS,
    checks::friction::CHECKS,
    checks::line::CHECKS,
    checks::fittings::CHECKS,
    checks::riser::CHECKS,
    checks::outflow::CHECKS,
    checks::pump::CHECKS,
    checks::media::CHECKS,
    checks::fit::CHECKS,
    checks::flood::CHECKS,
    checks::roots::CHECKS,
    checks::air::CHECKS,
    checks::oxygen::CHECKS,
    checks::aeration::CHECKS,
    checks::climate::CHECKS,
    checks::light::CHECKS,
    checks::structure::CHECKS,
    checks::solution::CHECKS,
    checks::drift::CHECKS,
    checks::mixing::CHECKS,
    checks::trade::CHECKS,
];

/// The check of this name.
pub fn check(name: &str) -> Option<Check> {
    DOMAINS.iter().flat_map(|d| d.iter()).find(|(n, _)| *n == name).map(|(_, c)| *c)
}

/// All names, in the order of the domains.
pub fn names() -> impl Iterator<Item = &'static str> {
    DOMAINS.iter().flat_map(|d| d.iter()).map(|(name, _)| *name)
}
