//! Speciation: Newton's method on ln of activities, ionic strength as one more unknown.
//!
//! Unknowns x = ln a of every component, and I. Residuals: Σ ν m − total for each component, ½ Σ z² m − I, and for solids at
//! equilibrium Σ ν x = ln K. The matrix Σ ν ν' m is that of a convex function, symmetric and positive definite; ionic strength
//! and solids border it. Nothing is answered that has not converged.
//!
//! Source of the formulation: Smith & Missen, Chemical Reaction Equilibrium Analysis (1982), ch. 6 (optimised stoichiometry in
//! ln a); the solution here is our own. Evidence: `evidence/solution/speciation.toml`, `evidence/solution/laws.toml`.

use super::activity::{Model, Rule, debye_huckel};
use super::answer::Answer;
use super::initial::Forms;
use super::system::{System, sum};
use crate::quantity::ThermodynamicTemperature;
use std::f64::consts::LN_10;

/// What is known of the protons.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hydrogen {
    /// Their excess, the first of the totals.
    Total,
    /// The pH; how many protons that takes is part of the answer.
    Ph(f64),
}

/// What is known of the carbon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Carbon {
    /// A closed bottle: its total.
    Closed,
    /// Air over it: partial pressure of carbon dioxide \[atm\].
    Open(f64),
}

/// One question.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask<'t> {
    /// Total of each component of the system \[mol/kg\]; that of H is the excess of protons.
    pub totals: &'t [f64],
    /// Protons.
    pub hydrogen: Hydrogen,
    /// Carbon.
    pub carbon: Carbon,
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsolved {
    /// A total that is negative (but for protons), not finite, or above 20 mol/kg.
    Totals,
    /// A component that this solver was not made for.
    Component,
    /// The equations did not converge.
    Diverged,
}

impl std::fmt::Display for Unsolved {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Totals => "an amount is negative, not a number, or more than 20 mol/kg",
            Self::Component => "a component that this solution was not set up for",
            Self::Diverged => "the equations did not converge",
        })
    }
}

impl std::error::Error for Unsolved {}

/// A solid whose components are all here: ln K, parts by place, water.
type Dissolving = (f64, Vec<(usize, f64)>, f64);

/// A system at one temperature, made for some of its components.
#[derive(Clone, Debug)]
pub struct Solver {
    pub(super) a_dh: f64,
    pub(super) b_dh: f64,
    /// Components of the system that take part, H first.
    pub(super) comps: Vec<usize>,
    /// Place among `comps` of each component of the system.
    pub(super) place: Vec<Option<usize>>,
    /// Species of the system that take part.
    pub(super) species: Vec<usize>,
    pub(super) ln_k: Vec<f64>,
    pub(super) z2: Vec<f64>,
    pub(super) water: Vec<f64>,
    pub(super) rule_of: Vec<usize>,
    pub(super) rules: Vec<Rule>,
    pub(super) starts: Vec<usize>,
    pub(super) parts: Vec<(usize, f64)>,
    /// Species of each component, and its count in them.
    pub(super) holders: Vec<Vec<(usize, f64)>>,
    pub(super) forms: Vec<Forms>,
    pub(super) hydroxide: Option<usize>,
    pub(super) chelates: bool,
    pub(super) carbon: Option<usize>,
    pub(super) ln_henry: f64,
    /// Solids of the system: ln K, and parts by place where all their components take part.
    pub(super) solids: Vec<Option<Dissolving>>,
    pub(super) charges: Vec<i32>,
    // The state.
    pub(super) x: Vec<f64>,
    pub(super) m: Vec<f64>,
    pub(super) ln_gamma: Vec<f64>,
    pub(super) slope: Vec<f64>,
    pub(super) ionic_strength: f64,
    pub(super) ln_aw: f64,
    pub(super) amounts: Vec<(usize, f64)>,
    // Room to work in.
    pub(super) sums: Vec<f64>,
    pub(super) scale: Vec<f64>,
    pub(super) matrix: Vec<f64>,
    pub(super) border: Vec<f64>,
    pub(super) touch: Vec<f64>,
    pub(super) fixed: Vec<bool>,
    pub(super) totals: Vec<f64>,
}

impl Solver {
    /// Makes a solver for those components for which `present` says so; H always is.
    pub fn new(
        system: &System,
        temperature: ThermodynamicTemperature,
        model: Model,
        present: impl Fn(usize) -> bool,
    ) -> Self {
        let comps: Vec<usize> = (0..system.components.len()).filter(|&c| c == System::H || present(c)).collect();
        let mut place = vec![None; system.components.len()];
        for (i, &c) in comps.iter().enumerate() {
            place[c] = Some(i);
        }
        let all = |of: &[(usize, f64)]| -> Option<Vec<(usize, f64)>> {
            of.iter().map(|&(c, n)| place[c].map(|p| (p, n))).collect()
        };
        let (a_dh, b_dh) = debye_huckel(temperature);
        let n = comps.len();
        let mut s = Self {
            a_dh,
            b_dh,
            species: Vec::new(),
            ln_k: Vec::new(),
            z2: Vec::new(),
            water: Vec::new(),
            rule_of: Vec::new(),
            rules: Vec::new(),
            starts: vec![0],
            parts: Vec::new(),
            holders: vec![Vec::new(); n],
            forms: vec![Forms::default(); n],
            hydroxide: None,
            chelates: false,
            carbon: system.component("CO2").and_then(|c| place[c]),
            ln_henry: LN_10 * sum(&system.carbon_dioxide, temperature),
            solids: system
                .solids
                .iter()
                .map(|s| all(&s.of).map(|of| (LN_10 * sum(&s.steps, temperature), of, s.water)))
                .collect(),
            charges: comps.iter().map(|&c| system.charge(c)).collect(),
            x: vec![0.0; n],
            m: Vec::new(),
            ln_gamma: Vec::new(),
            slope: Vec::new(),
            ionic_strength: 0.0,
            ln_aw: 0.0,
            amounts: Vec::new(),
            sums: vec![0.0; n],
            scale: vec![0.0; n],
            matrix: vec![0.0; n * n],
            border: vec![0.0; n],
            touch: vec![0.0; n],
            fixed: vec![false; n],
            totals: vec![0.0; n],
            comps,
            place: Vec::new(),
        };
        for (i, sp) in system.species.iter().enumerate() {
            let Some(of) = all(&sp.of) else { continue };
            let rule = Rule::of(model, sp.charge, sp.size);
            let index = s.rules.iter().position(|r| *r == rule).unwrap_or_else(|| {
                s.rules.push(rule);
                s.rules.len() - 1
            });
            if of == [(0, -1.0)] && sp.water == 1.0 {
                s.hydroxide = Some(s.species.len());
            }
            s.chelates |=
                of.len() > 1 && sum(&sp.steps, temperature) > 10.0 && of.iter().filter(|p| p.0 != 0).count() > 1;
            for &(c, nu) in &of {
                s.holders[c].push((s.species.len(), nu));
            }
            s.species.push(i);
            s.ln_k.push(LN_10 * sum(&sp.steps, temperature));
            s.z2.push(f64::from(sp.charge * sp.charge));
            s.water.push(sp.water);
            s.rule_of.push(index);
            s.parts.extend(of);
            s.starts.push(s.parts.len());
        }
        s.m = vec![0.0; s.species.len()];
        s.ln_gamma = vec![0.0; s.rules.len()];
        s.slope = vec![0.0; s.rules.len()];
        s.place = place;
        s
    }

    /// Solves from a guess of its own: the same question has the same answer to the last bit.
    ///
    /// # Errors
    /// Where there is no converged answer.
    pub fn solve(&mut self, ask: &Ask<'_>) -> Result<Answer<'_>, Unsolved> {
        self.prepare(ask)?;
        self.guess(ask);
        self.reach(ask)?;
        Ok(Answer { s: self })
    }

    /// Solves from the last answer, which is quicker where little has changed.
    ///
    /// # Errors
    /// Where there is no converged answer.
    pub fn solve_near(&mut self, ask: &Ask<'_>) -> Result<Answer<'_>, Unsolved> {
        if self.ionic_strength <= 0.0 {
            return self.solve(ask);
        }
        self.prepare(ask)?;
        if self.newton(&[]).is_err() {
            self.guess(ask);
            self.reach(ask)?;
        }
        Ok(Answer { s: self })
    }

    pub(super) fn prepare(&mut self, ask: &Ask<'_>) -> Result<(), Unsolved> {
        const MOST: f64 = 20.0;
        let known = ask.totals.iter().enumerate().all(|(c, t)| {
            t.is_finite() && if c == System::H { t.abs() <= 2.0 * MOST } else { (0.0..=MOST).contains(t) }
        });
        let finite = match ask.hydrogen {
            Hydrogen::Ph(ph) => (-2.0..=16.0).contains(&ph),
            Hydrogen::Total => true,
        } && match ask.carbon {
            Carbon::Open(p) => p > 1e-12 && p <= 100.0,
            Carbon::Closed => true,
        };
        if !known || !finite || ask.totals.len() != self.place.len() {
            return Err(Unsolved::Totals);
        }
        if ask.totals.iter().zip(&self.place).any(|(t, p)| *t > 0.0 && p.is_none()) {
            return Err(Unsolved::Component);
        }
        self.amounts.clear();
        for (p, &c) in self.comps.iter().enumerate() {
            // What is not there at all is carried as next to nothing: 1e-20 mol/kg.
            self.totals[p] = if c == System::H { ask.totals[c] } else { ask.totals[c].max(1e-20) };
            self.fixed[p] = false;
        }
        if let Hydrogen::Ph(ph) = ask.hydrogen {
            self.fixed[0] = true;
            self.x[0] = -LN_10 * ph;
        }
        if let (Carbon::Open(pressure), Some(c)) = (ask.carbon, self.carbon) {
            self.fixed[c] = true;
            self.x[c] = self.ln_henry + pressure.ln();
        }
        Ok(())
    }
}
