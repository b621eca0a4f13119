//! Electrical conductivity from species.

use super::activity::{debye_huckel, relative_permittivity};
use super::answer::Answer;
use super::system::{Mobility, System};
use crate::quantity::ThermodynamicTemperature;
use crate::water::{density, dynamic_viscosity_pa_s};

/// Distance of closest approach of ions \[Å\], where a row has none of its own. Fitted between 3.6 and 4.6 to KCl standards.
const CLOSEST: f64 = 3.8;

/// One ion's way of conducting at a temperature.
#[derive(Clone, Copy, Debug)]
struct Ion {
    /// λ⁰ \[S cm² per equivalent\].
    limiting: f64,
    /// |z|.
    charge: f64,
    /// a B \[(kg/mol)^½\].
    apart: f64,
}

/// Conductivity of water with ions at one temperature.
#[derive(Clone, Debug)]
pub struct Conductivity {
    /// By species of the system.
    ions: Vec<Option<Ion>>,
    relaxation: f64,
    drag: f64,
    kg_l: f64,
}

impl Conductivity {
    /// Prepares a system at a temperature.
    pub fn new(system: &System, temperature: ThermodynamicTemperature) -> Self {
        let t = temperature.value;
        let et = relative_permittivity(temperature) * t;
        // Viscosity in poise, as the equation was published.
        let poise = 10.0 * dynamic_viscosity_pa_s(temperature);
        let b = debye_huckel(temperature).1;
        let ion = |m: Mobility, charge: i32| Ion {
            limiting: limiting(m, temperature),
            charge: f64::from(charge.abs()),
            apart: m.apart.unwrap_or(CLOSEST) * b,
        };
        Self {
            ions: system
                .species
                .iter()
                .map(|s| s.mobility.filter(|_| s.charge != 0).map(|m| ion(m, s.charge)))
                .collect(),
            relaxation: 8.204e5 / et.powf(1.5),
            drag: 0.5 * 82.5 / (poise * et.sqrt()),
            kg_l: 1e-3 * density(temperature).value,
        }
    }

    /// Electrical conductivity κ \[S/m\] at the temperature of the solution.
    ///
    /// κ = ρ_w Σ λᵢ |zᵢ| mᵢ, λ = (λ⁰ − D z s)(1 − R z s), s = √I/(1 + a B √I), D = 41.25/(η √(εT)), R = 8.204·10⁵ (εT)^−1.5; λ in
    /// S cm² per equivalent, η in poise, ρ_w in kg/L, a 3.8 Å or the row's own. To I ≈ 0.1 mol/kg: within 0.5 % of KCl standards
    /// and 3 % of mixed solutions by an independent program; in stocks it is a guess.
    /// Sources: Onsager's limiting law, drag and relaxation, as in Robinson & Stokes, Electrolyte Solutions, 2nd ed. (1959),
    /// eq. 7.1 and 7.36, for one ion of a mixture.
    /// Evidence: `evidence/solution/conductivity.toml`.
    pub fn of(&self, answer: &Answer<'_>) -> f64 {
        let root = answer.ionic_strength().sqrt();
        let per_kg: f64 = answer
            .molalities()
            .filter_map(|(s, m)| self.ions[s].map(|ion| (ion, m)))
            .map(|(ion, m)| {
                let slow = ion.charge * root / (1.0 + ion.apart * root);
                let lambda = (ion.limiting - self.drag * slow) * (1.0 - self.relaxation * slow);
                lambda.max(0.0) * ion.charge * m
            })
            .sum();
        // S cm²/mol · mol/L = 10⁻³ S/cm = 0.1 S/m.
        0.1 * self.kg_l * per_kg
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
