use super::solver::Solver;
use std::f64::consts::LN_10;

/// A converged answer, still inside its solver.
#[derive(Clone, Copy, Debug)]
pub struct Answer<'s> {
    pub(super) s: &'s Solver,
}

impl Answer<'_> {
    /// pH, −log₁₀ of the activity of H⁺.
    pub fn ph(&self) -> f64 {
        -self.s.x[0] / LN_10
    }

    /// Ionic strength I = ½ Σ z² m \[mol/kg\].
    pub fn ionic_strength(&self) -> f64 {
        self.s.ionic_strength
    }

    /// Activity of water \[-\]: 1 − 0.017 Σ m. Source: Garrels & Christ, Solutions, Minerals, and Equilibria (1965), p. 66.
    pub fn water_activity(&self) -> f64 {
        self.s.ln_aw.exp()
    }

    /// Molality of a species of the system \[mol/kg\]; 0 where it takes no part.
    pub fn molality(&self, species: usize) -> f64 {
        self.s.species.binary_search(&species).map_or(0.0, |i| self.s.m[i])
    }

    /// Species that take part and their molalities \[mol/kg\].
    pub fn molalities(&self) -> impl Iterator<Item = (usize, f64)> {
        self.s.species.iter().copied().zip(self.s.m.iter().copied())
    }

    /// log₁₀ of the activity of a component; none where it takes no part.
    pub fn log_activity(&self, component: usize) -> Option<f64> {
        self.s.place.get(component).copied().flatten().map(|p| self.s.x[p] / LN_10)
    }

    /// Total of a component that is dissolved \[mol/kg\]: with a given pH the first tells how many protons that takes.
    pub fn dissolved(&self, component: usize) -> f64 {
        self.s.place.get(component).copied().flatten().map_or(0.0, |p| self.s.sums[p])
    }

    /// Saturation index log₁₀(IAP/K) of a solid; none where a component of it takes no part.
    pub fn saturation(&self, solid: usize) -> Option<f64> {
        self.s.ln_si(solid).map(|l| l / LN_10)
    }

    /// Partial pressure of carbon dioxide that would stand over this water \[atm\].
    pub fn carbon_dioxide_atm(&self) -> f64 {
        self.s.carbon.map_or(0.0, |c| (self.s.x[c] - self.s.ln_henry).exp())
    }

    /// Solids that have fallen out and their amounts \[mol/kg\].
    pub fn precipitated(&self) -> &[(usize, f64)] {
        &self.s.amounts
    }
}
