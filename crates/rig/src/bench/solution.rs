use crate::solution::{Feeding, Recipe, Salt, Water};
use crate::value::Value;
use std::sync::Arc;
use tidewright_physics::quantity::{Mass, ThermodynamicTemperature, Volume};

/// What goes into the water of a bench, and how it is mixed.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixing {
    /// Whether the bench file has a section on it: only then is it judged.
    pub stated: bool,
    /// Source water.
    pub water: Value<Water>,
    /// What a litre should hold at full strength.
    pub recipe: Value<Recipe>,
    /// What the crop takes up and bears.
    pub feeding: Feeding,
    /// Salts, acids, bases and chelates at hand.
    pub shelf: Arc<[Salt]>,
    /// All that the parts data know, to say what would help.
    pub known: Arc<[Salt]>,
    /// Ids of salts that the user puts into concentrate A.
    pub tank_a: Vec<String>,
    /// … and into B.
    pub tank_b: Vec<String>,
    /// Part of the recipe's full strength \[-\].
    pub strength: Value<f64>,
    /// pH to reach once the water has lost its surplus of carbon dioxide.
    pub ph: Value<f64>,
    /// Strength of concentrates A and B over the solution; 1 where salts are weighed straight into the reservoir.
    pub concentrate: Value<f64>,
    /// Volume of one tank of concentrate.
    pub tank: Value<Volume>,
    /// Coldest that a tank of concentrate gets.
    pub coldest: Value<ThermodynamicTemperature>,
    /// What the scale shows at the least.
    pub scale: Value<Mass>,
    /// How the reservoir is topped up.
    pub top_up: Value<TopUpWith>,
    /// Scale of the meter.
    pub meter: Value<MeterScale>,
    /// From closest (0) to cheapest (1).
    pub cheaper: Value<f64>,
}

/// With what a reservoir is topped up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TopUpWith {
    /// Source water.
    Plain,
    /// Solution of half the strength.
    Half,
    /// Solution of the same strength.
    Full,
}

impl TopUpWith {
    /// Part of the reservoir's strength.
    pub fn part(self) -> f64 {
        match self {
            Self::Plain => 0.0,
            Self::Half => 0.5,
            Self::Full => 1.0,
        }
    }

    /// As a bench file has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Half => "half",
            Self::Full => "full",
        }
    }
}

/// What a conductivity meter shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MeterScale {
    /// Conductivity in mS/cm.
    Conductivity,
    /// "ppm", 500 for each mS/cm.
    Ppm500,
    /// "ppm", 700 for each mS/cm.
    Ppm700,
}

impl MeterScale {
    /// A conductivity at 25 °C \[S/m\] as the meter shows it.
    pub fn shows(self, s_m: f64) -> String {
        let ms_cm = 10.0 * s_m;
        match self {
            Self::Conductivity => format!("{ms_cm:.2} mS/cm"),
            Self::Ppm500 => format!("{:.0} ppm (scale 500)", 500.0 * ms_cm),
            Self::Ppm700 => format!("{:.0} ppm (scale 700)", 700.0 * ms_cm),
        }
    }
}
