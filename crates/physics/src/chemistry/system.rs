//! Components, species and solids, as rows of data give them.

use super::constant::LogK;
use crate::quantity::ThermodynamicTemperature;

/// Limiting conductivity of an ion and how it changes with temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mobility {
    /// At 25 °C and no ionic strength \[S cm² per equivalent\].
    pub at_25: f64,
    /// t of λ(T) = λ₂₅ exp\[t (1/T − 1/298.15)\] µ₂₅/µ(T) \[K\].
    pub t: f64,
    /// Distance of closest approach \[Å\], where it has one of its own.
    pub apart: Option<f64>,
}

/// What species are made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    /// Name, as species name it.
    pub name: String,
    /// The element (or ligand) it is counted as.
    pub element: String,
}

/// A dissolved species. Components are species too, and stand first, in their order.
#[derive(Clone, Debug, PartialEq)]
pub struct Species {
    /// Name.
    pub name: String,
    /// Charge.
    pub charge: i32,
    /// Components and their count in one formula unit.
    pub of: Vec<(usize, f64)>,
    /// Water in one formula unit.
    pub water: f64,
    /// Constants of the steps by which it forms from components, each with its factor.
    pub steps: Vec<(f64, LogK)>,
    /// a \[Å\] and b \[kg/mol\] of Truesdell and Jones.
    pub size: Option<(f64, f64)>,
    /// How it conducts, where that is known.
    pub mobility: Option<Mobility>,
}

/// A solid, or a gas over the water.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// Name.
    pub name: String,
    /// Its formula.
    pub formula: String,
    /// Components and their count in one formula unit.
    pub of: Vec<(usize, f64)>,
    /// Water in one formula unit.
    pub water: f64,
    /// Constants of the steps by which it dissolves into components.
    pub steps: Vec<(f64, LogK)>,
    /// Not worth a warning: slow to form, or its constant is not trusted.
    pub quiet: bool,
    /// How far published constants differ \[log₁₀ units\].
    pub doubt: f64,
}

/// Components, what they form, and the constants.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct System {
    /// Components; the first is H, the excess of protons.
    pub components: Vec<Component>,
    /// Species, components first.
    pub species: Vec<Species>,
    /// Solids.
    pub solids: Vec<Solid>,
    /// Carbon dioxide over the water: log₁₀ of its activity in water over its partial pressure in atm.
    pub carbon_dioxide: Vec<(f64, LogK)>,
}

/// Σ factor · log₁₀ K(T).
pub(super) fn sum(steps: &[(f64, LogK)], temperature: ThermodynamicTemperature) -> f64 {
    steps.iter().map(|(factor, k)| factor * k.at(temperature)).sum()
}

impl System {
    /// Index of the excess of protons.
    pub const H: usize = 0;

    /// A component by name.
    pub fn component(&self, name: &str) -> Option<usize> {
        self.components.iter().position(|c| c.name == name)
    }

    /// A species by name.
    pub fn species(&self, name: &str) -> Option<usize> {
        self.species.iter().position(|s| s.name == name)
    }

    /// A solid by name.
    pub fn solid(&self, name: &str) -> Option<usize> {
        self.solids.iter().position(|s| s.name == name)
    }

    /// Charge of a component.
    pub fn charge(&self, component: usize) -> i32 {
        self.species.get(component).map_or(0, |s| s.charge)
    }

    /// Charge of a set of totals \[mol/kg\]: 0 for every mixture of salts, acids and water.
    pub fn charge_of(&self, totals: &[f64]) -> f64 {
        totals.iter().enumerate().map(|(i, t)| f64::from(self.charge(i)) * t).sum()
    }
}
