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

use tidewright_physics::quantity::US_GALLON_M3;
use tidewright_plan::solution::mix::Dilution;
use tidewright_rig::units::{System, round_to};

/// Grams or millilitres, to what can be weighed.
pub(crate) fn amount(x: f64, unit: &str) -> String {
    let text = if x >= 100.0 { format!("{x:.0}") } else { round_to(x, 3) };
    format!("{text} {unit}")
}

/// mS/cm from S/m.
pub(crate) fn ms_cm(s_m: f64) -> String {
    format!("{:.2}", 10.0 * s_m)
}

/// Litres or gallons, to what a mark on a reservoir is good for.
pub(crate) fn volume(u: System, litres: f64) -> String {
    match u {
        System::Metric if litres < 20.0 => format!("{litres:.1} L"),
        System::Metric => format!("{litres:.0} L"),
        System::UsCustomary => format!("{:.1} US gal", 1e-3 * litres / US_GALLON_M3),
    }
}

/// How a dilution is made and taken.
pub(crate) fn dilution(d: &Dilution, unit: &str) -> String {
    let again = match d.tenfold {
        0 => String::new(),
        1 => ", of that 100 mL to 1000 mL".into(),
        n => format!(", of that {n} times 100 mL to 1000 mL"),
    };
    format!("{} of {} in {:.0} mL{again}", amount(d.take_ml, "mL"), amount(d.of, unit), d.into_ml)
}

/// With a capital at its head.
pub(crate) fn capital(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or_else(String::new, |f| f.to_uppercase().chain(c).collect())
}
