//! The solution: from a recipe, a water and a shelf to grams, acid, tanks, and what it will look like.

pub mod acid;
pub mod crust;
pub mod mix;
pub mod outlook;
mod problem;
pub mod recipe;
pub mod tanks;
mod weigh;
mod why;
pub use why::{Why, helper as why_helper};

use tidewright_physics::chemistry::System;
use tidewright_rig::solution::amount::Counts;

/// The chemistry that ships.
pub fn system() -> &'static System {
    tidewright_rig::chemistry::shipped()
}

/// A solid as people know it.
pub fn solid_words(name: &str) -> &str {
    match name {
        "gypsum" => "gypsum (calcium sulphate)",
        "calcite" => "lime (calcite)",
        "brushite" => "calcium phosphate (brushite)",
        "newberyite" => "magnesium phosphate",
        "struvite" => "magnesium ammonium phosphate",
        "syngenite" => "potassium calcium sulphate",
        "arcanite" => "potassium sulphate",
        "epsomite" => "Epsom salt",
        "iron hydroxide" => "rust (iron hydroxide)",
        other => other,
    }
}

/// mmol/L of what a target counts in a set of totals \[mol/L\].
pub fn counted(totals: &[f64], counts: Counts) -> f64 {
    let of = |name: &str| system().component(name).map_or(0.0, |c| 1e3 * totals[c]);
    match counts {
        Counts::Component(c) => of(c),
        Counts::Nitrogen => of("NO3") + of("NH4"),
        Counts::Hardness => of("Ca") + of("Mg"),
        Counts::Alkalinity | Counts::Nothing => 0.0,
    }
}
