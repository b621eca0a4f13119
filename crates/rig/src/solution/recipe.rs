use super::amount::Counts;

/// What a litre should hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// Name in data and bench files.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Crops that are given it where nothing else is said.
    pub crops: Vec<String>,
    /// Targets, in the order of the analytes.
    pub targets: Vec<Target>,
    /// Where it comes from.
    pub source: String,
}

/// One target of a recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Name as the recipe has it, of [`super::amount::ANALYTES`].
    pub name: &'static str,
    /// What is counted.
    pub counts: Counts,
    /// Least \[mmol/L\].
    pub low: f64,
    /// Most \[mmol/L\].
    pub high: f64,
    /// How much a miss hurts.
    pub weight: f64,
}

impl Target {
    /// The middle of its span \[mmol/L\].
    pub fn middle(&self) -> f64 {
        0.5 * (self.low + self.high)
    }

    /// How far an amount \[mmol/L\] lies outside, negative below.
    pub fn miss(&self, amount: f64) -> f64 {
        if amount < self.low {
            amount - self.low
        } else if amount > self.high {
            amount - self.high
        } else {
            0.0
        }
    }
}
