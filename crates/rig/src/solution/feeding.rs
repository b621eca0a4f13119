use super::amount::{ANALYTES, Counts};
use super::{Recipe, Target};

/// What a crop takes up with its water, and what it bears.
#[derive(Clone, Debug, PartialEq)]
pub struct Feeding {
    /// The crop.
    pub crop: String,
    /// Taken up over water taken up, by component \[mmol/L\].
    pub uptake: Vec<(String, f64)>,
    /// Sodium: taken up at the limit, and the limit in the root zone \[mmol/L\].
    pub sodium: (f64, f64),
    /// Chloride: the same.
    pub chloride: (f64, f64),
    /// Conductivity at 25 °C in which it is run \[mS/cm\].
    pub ec: (f64, f64),
    /// pH in which it is run.
    pub ph: (f64, f64),
    /// Greatest share of nitrogen as ammonium \[-\].
    pub ammonium: f64,
    /// Where it comes from.
    pub source: String,
}

impl Feeding {
    /// Uptake concentration of a component \[mmol/L\].
    pub fn uptake_of(&self, component: &str) -> f64 {
        self.uptake.iter().filter(|(c, _)| c == component).map(|(_, x)| x).sum()
    }

    /// A recipe of what the crop takes up: topped up with it, a reservoir keeps its ratios.
    pub fn as_recipe(&self) -> Recipe {
        let targets = ANALYTES
            .iter()
            .filter_map(|a| {
                let Counts::Component(c) = a.counts else { return None };
                // The first name of a component in the list is its ion; elements stand for those without.
                let first = ANALYTES.iter().find(|b| b.counts == a.counts)?;
                let amount = self.uptake_of(c);
                (first.name == a.name && amount > 0.0).then_some(Target {
                    name: a.name,
                    counts: a.counts,
                    low: amount,
                    high: amount,
                    weight: 1.0,
                })
            })
            .collect();
        Recipe {
            id: format!("{}-top-up", self.crop),
            name: format!("what {} takes up, as a top-up", self.crop),
            crops: Vec::new(),
            targets,
            source: self.source.clone(),
        }
    }

    /// Cations less anions taken up, which leave as protons \[meq/L\] (negative: as bicarbonate), and the sum of both.
    pub fn protons_left(&self) -> (f64, f64) {
        let charge = |c: &str| match c {
            "Ca" | "Mg" | "Mn" | "Zn" | "Cu" => 2.0,
            "K" | "Na" | "NH4" => 1.0,
            "NO3" | "PO4" | "Cl" => -1.0,
            "SO4" | "MoO4" => -2.0,
            _ => 0.0,
        };
        self.uptake.iter().fold((0.0, 0.0), |(net, all), (c, x)| (net + charge(c) * x, all + charge(c).abs() * x))
    }
}
