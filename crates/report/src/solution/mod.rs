//! The solution as text and pages: water report, weigh-out sheet, acid, drift, salt in the blocks.

pub mod acid;
pub mod bars;
pub mod drift;
pub mod hazards;
pub mod json;
pub mod page;
pub mod salt;
pub mod sheet;
pub mod water;

use tidewright_rig::units::round_to;

/// Grams or millilitres, to what can be weighed.
pub(crate) fn amount(x: f64, unit: &str) -> String {
    let text = if x >= 100.0 { format!("{x:.0}") } else { round_to(x, 3) };
    format!("{text} {unit}")
}

/// mS/cm from S/m.
pub(crate) fn ms_cm(s_m: f64) -> String {
    format!("{:.2}", 10.0 * s_m)
}

/// The first words of a salt's name, without what follows a comma.
pub(crate) fn short(name: &str) -> &str {
    name.split([',', '(']).next().unwrap_or(name).trim()
}

/// With a capital at its head.
pub(crate) fn capital(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or_else(String::new, |f| f.to_uppercase().chain(c).collect())
}
