//! Alkalinity: acid that a water takes up to where its carbonate is carbon dioxide and its phosphate H₂PO₄⁻.

use super::solver::{Ask, Carbon, Hydrogen, Solver, Unsolved};
use super::system::System;

/// Alkalinity \[eq/kg\] of a set of totals.
///
/// Alk = 2 P − H: the excess of protons, counted down from CO₂, H₂PO₄⁻, NH₄⁺, B(OH)₃ and MoO₄²⁻. For waters without much
/// of a chelate, whose own protons are not counted.
/// Source: Stumm & Morgan, Aquatic Chemistry, 3rd ed. (1996), section 4.4 (reference level at the end point), from memory.
/// Evidence: `evidence/solution/acid.toml`.
pub fn of(system: &System, totals: &[f64]) -> f64 {
    let phosphate = system.component("PO4").map_or(0.0, |p| totals[p]);
    2.0 * phosphate - totals[System::H]
}

/// Sets the protons of a set of totals so that they have this alkalinity \[eq/kg\].
pub fn set(system: &System, totals: &mut [f64], alkalinity: f64) {
    let phosphate = system.component("PO4").map_or(0.0, |p| totals[p]);
    totals[System::H] = 2.0 * phosphate - alkalinity;
}

/// Total carbon \[mol/kg\] of a water of known pH and protons (that is, alkalinity).
///
/// Secant on the protons that the pH takes, linear in carbon but for ion pairs and ionic strength.
///
/// # Errors
/// Where no carbon gives this pH with these protons, or an equation does not converge.
pub fn carbon_at(solver: &mut Solver, system: &System, totals: &[f64], ph: f64) -> Result<f64, Unsolved> {
    let Some(c) = system.component("CO2") else { return Err(Unsolved::Component) };
    let mut at = totals.to_vec();
    let mut miss = |carbon: f64| -> Result<f64, Unsolved> {
        at[c] = carbon;
        let ask = Ask { totals: &at, hydrogen: Hydrogen::Ph(ph), carbon: Carbon::Closed };
        Ok(solver.solve(&ask)?.dissolved(System::H) - totals[System::H])
    };
    let scale = (-totals[System::H]).abs().max(1e-6);
    let (mut a, mut b) = (0.0, scale);
    let (mut fa, mut fb) = (miss(a)?, miss(b)?);
    for _ in 0..40 {
        let slope = (fb - fa) / (b - a);
        if slope == 0.0 || !slope.is_finite() {
            return Err(Unsolved::Diverged);
        }
        let next = b - fb / slope;
        if !(next.is_finite() && next < 20.0) {
            return Err(Unsolved::Diverged);
        }
        if next < 0.0 {
            // Not even without carbon are there so few protons.
            return if fa <= 0.0 { Err(Unsolved::Totals) } else { Ok(0.0) };
        }
        (a, fa, b) = (b, fb, next);
        fb = miss(b)?;
        if fb.abs() <= 1e-13 * scale || (b - a).abs() <= 1e-14 * scale {
            return Ok(b);
        }
    }
    Err(Unsolved::Diverged)
}

/// Protons \[mol/kg\] to add so that a solution has a pH.
///
/// # Errors
/// Where an equation does not converge.
pub fn protons_to(solver: &mut Solver, totals: &[f64], ph: f64, carbon: Carbon) -> Result<f64, Unsolved> {
    let ask = Ask { totals, hydrogen: Hydrogen::Ph(ph), carbon };
    Ok(solver.solve_near(&ask)?.dissolved(System::H) - totals[System::H])
}

/// Buffer capacity β \[mol/(kg pH)\]: strong base that raises the pH by one, at this pH.
///
/// β = −dH/dpH by central difference of 0.01. Source: Van Slyke, J. Biol. Chem. 52 (1922) 525–570, eq. 1.
/// Evidence: `evidence/solution/buffer.toml`.
///
/// # Errors
/// Where an equation does not converge.
pub fn buffer_capacity(solver: &mut Solver, totals: &[f64], ph: f64, carbon: Carbon) -> Result<f64, Unsolved> {
    const STEP: f64 = 0.01;
    let low = protons_to(solver, totals, ph - STEP, carbon)?;
    let high = protons_to(solver, totals, ph + STEP, carbon)?;
    Ok((low - high) / (2.0 * STEP))
}
