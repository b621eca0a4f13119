//! Electrical conductivity from species.

use super::activity::relative_permittivity;
use super::answer::Answer;
use super::system::{Mobility, System};
use crate::quantity::ThermodynamicTemperature;
use crate::water::dynamic_viscosity_pa_s;

/// Conductivity of water with ions at one temperature.
#[derive(Clone, Debug)]
pub struct Conductivity {
    /// λ at no ionic strength \[S cm² per equivalent\] and charge, by species of the system.
    ions: Vec<Option<(f64, f64)>>,
    relaxation: f64,
    drag: f64,
    four_b: f64,
}

impl Conductivity {
    /// Prepares a system at a temperature.
    pub fn new(system: &System, temperature: ThermodynamicTemperature) -> Self {
        let t = temperature.value;
        let et = relative_permittivity(temperature) * t;
        // Viscosity in poise, as the equation was published.
        let poise = 10.0 * dynamic_viscosity_pa_s(temperature);
        Self {
            ions: system
                .species
                .iter()
                .map(|s| {
                    s.mobility.filter(|_| s.charge != 0).map(|m| (limiting(m, temperature), f64::from(s.charge.abs())))
                })
                .collect(),
            relaxation: 8.204e5 / et.powf(1.5),
            drag: 0.5 * 82.5 / (poise * et.sqrt()),
            four_b: 4.0 * super::activity::debye_huckel(temperature).1,
        }
    }

    /// Electrical conductivity κ \[S/m\] at the temperature of the solution.
    ///
    /// κ = Σ λᵢ |zᵢ| mᵢ, λ = λ⁰ − (8.204·10⁵ (εT)^−1.5 λ⁰ + 41.25/(η √(εT))) z √I/(1 + 4 B √I), λ in S cm² per equivalent,
    /// η in poise. To I ≈ 0.1 mol/kg: within 0.5 % of KCl standards, 3 % of mixed solutions; in stocks it is a guess.
    /// Sources: Onsager's limiting law as in Robinson & Stokes, Electrolyte Solutions, 2nd ed. (1959), eq. 7.1 and 7.36, for
    /// one ion of a mixture, with 4 Å as the distance of closest approach.
    /// Evidence: `evidence/solution/conductivity.toml`.
    pub fn of(&self, answer: &Answer<'_>) -> f64 {
        let root = answer.ionic_strength().sqrt();
        let slow = root / (1.0 + self.four_b * root);
        let per_kg: f64 = answer
            .molalities()
            .filter_map(|(s, m)| self.ions[s].map(|ion| (ion, m)))
            .map(|((lambda, z), m)| (lambda - (self.relaxation * lambda + self.drag) * z * slow).max(0.0) * z * m)
            .sum();
        // mol/kg counted as mol/L: S cm²/mol · mol/L = 10⁻³ S/cm = 0.1 S/m.
        0.1 * per_kg
    }
}

/// Limiting conductivity λ⁰ \[S cm² per equivalent\] at a temperature.
///
/// λ(T) = λ₂₅ exp\[t (1/T − 1/298.15)\] µ₂₅/µ(T). Valid 0–50 °C.
/// Source: Appelo, Cement and Concrete Research 101 (2017) 102–113: Stokes–Einstein with an ion's own term.
/// Evidence: `evidence/solution/conductivity.toml`.
pub fn limiting(mobility: Mobility, temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value;
    let warm = dynamic_viscosity_pa_s(crate::quantity::celsius(25.0));
    mobility.at_25 * (mobility.t * (1.0 / t - 1.0 / 298.15)).exp() * warm / dynamic_viscosity_pa_s(temperature)
}
