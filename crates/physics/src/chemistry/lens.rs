//! What a solution looks like to a grower: pH, conductivity, what is about to fall out.

use super::conductivity::Conductivity;
use super::solver::{Ask, Carbon, Hydrogen, Solver, Unsolved};
use super::system::System;
use super::{Model, alkalinity};
use crate::quantity::{ThermodynamicTemperature, celsius};

/// Carbon dioxide of open air \[atm\], 420 ppm. Source: NOAA Global Monitoring Laboratory, mean of 2023 (from memory).
pub const OPEN_AIR_ATM: f64 = 4.2e-4;

/// Looks at solutions of the same components at one temperature, and at 25 °C to compare conductivities.
#[derive(Clone, Debug)]
pub struct Lens<'s> {
    system: &'s System,
    solver: Solver,
    conducts: Conductivity,
    at_25: Option<(Solver, Conductivity)>,
}

/// What is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// pH.
    pub ph: f64,
    /// Ionic strength \[mol/kg\].
    pub ionic_strength: f64,
    /// Conductivity at its own temperature \[S/m\].
    pub ec: f64,
    /// Conductivity of the same water warmed to 25 °C \[S/m\].
    pub ec_25: f64,
    /// Carbon dioxide that would stand over it \[atm\].
    pub carbon_dioxide_atm: f64,
    /// Saturation indices by solid of the system, where all its components are here.
    pub saturation: Vec<Option<f64>>,
}

impl<'s> Lens<'s> {
    /// For those components that are present in these totals; more can be added with further sets.
    pub fn new(system: &'s System, temperature: ThermodynamicTemperature, model: Model, all: &[&[f64]]) -> Self {
        let carbon = system.component("CO2");
        let present = |c: usize| Some(c) == carbon || all.iter().any(|t| t.get(c).is_some_and(|x| *x > 0.0));
        let warm = celsius(25.0);
        let same = (temperature.value - warm.value).abs() < 1e-9;
        Self {
            system,
            solver: Solver::new(system, temperature, model, present),
            conducts: Conductivity::new(system, temperature),
            at_25: (!same).then(|| (Solver::new(system, warm, model, present), Conductivity::new(system, warm))),
        }
    }

    /// Looks at one solution.
    ///
    /// # Errors
    /// Where an equation does not converge, or a component is here that no set had.
    pub fn see(&mut self, totals: &[f64], carbon: Carbon) -> Result<Seen, Unsolved> {
        let ask = Ask { totals, hydrogen: Hydrogen::Total, carbon };
        let answer = self.solver.solve_near(&ask)?;
        let ec = self.conducts.of(&answer);
        let seen = Seen {
            ph: answer.ph(),
            ionic_strength: answer.ionic_strength(),
            ec,
            ec_25: ec,
            carbon_dioxide_atm: answer.carbon_dioxide_atm(),
            saturation: (0..self.system.solids.len()).map(|s| answer.saturation(s)).collect(),
        };
        let Some((solver, conducts)) = &mut self.at_25 else { return Ok(seen) };
        let warm = solver.solve_near(&ask)?;
        Ok(Seen { ec_25: conducts.of(&warm), ..seen })
    }

    /// Protons \[mol/kg\] to add for a pH.
    ///
    /// # Errors
    /// As [`Self::see`].
    pub fn protons_to(&mut self, totals: &[f64], ph: f64, carbon: Carbon) -> Result<f64, Unsolved> {
        alkalinity::protons_to(&mut self.solver, totals, ph, carbon)
    }

    /// The solver at the temperature of the solution.
    pub fn solver(&mut self) -> &mut Solver {
        &mut self.solver
    }
}
