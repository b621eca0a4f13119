//! What a nutrient solution is made from: amounts as people write them, salts, recipes, waters, and what crops take.

pub mod amount;
mod feeding;
pub mod keep;
mod recipe;
mod rows;
mod salt;
mod water;

pub use feeding::Feeding;
pub use recipe::{Recipe, Target};
pub(crate) use rows::{FeedingRow, RecipeRow, SaltRow, WaterRow};
pub use salt::Salt;
pub use water::{Ion, Water};

use tidewright_physics::chemistry::System;

/// Totals of a system from components and amounts \[mol/kg\]; names that it does not have are passed over.
pub fn totals(system: &System, parts: impl IntoIterator<Item = (impl AsRef<str>, f64)>) -> Vec<f64> {
    let mut all = vec![0.0; system.components.len()];
    for (name, amount) in parts {
        if let Some(c) = system.component(name.as_ref()) {
            all[c] += amount;
        }
    }
    all
}
