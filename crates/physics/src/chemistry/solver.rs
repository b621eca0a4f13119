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
use super::initial::{Forms, acidity};
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

/// Most iterations before giving up.
const MOST_STEPS: usize = 200;
/// Residual over Σ|ν|m at which an answer is one \[-\].
const CLOSED: f64 = 1e-13;
/// The same where rounding lets it go no further.
const STALLED: f64 = 1e-12;
/// Largest step in ln a.
const LARGEST_STEP: f64 = 3.0;

/// A solid whose components are all here: ln K, parts by place, water.
type Dissolving = (f64, Vec<(usize, f64)>, f64);

/// A system at one temperature, made for some of its components.
#[derive(Clone, Debug)]
pub struct Solver {
    a_dh: f64,
    b_dh: f64,
    /// Components of the system that take part, H first.
    pub(super) comps: Vec<usize>,
    /// Place among `comps` of each component of the system.
    pub(super) place: Vec<Option<usize>>,
    /// Species of the system that take part.
    pub(super) species: Vec<usize>,
    ln_k: Vec<f64>,
    z2: Vec<f64>,
    water: Vec<f64>,
    rule_of: Vec<usize>,
    rules: Vec<Rule>,
    starts: Vec<usize>,
    parts: Vec<(usize, f64)>,
    /// Species of each component, and its count in them.
    holders: Vec<Vec<(usize, f64)>>,
    forms: Vec<Forms>,
    hydroxide: Option<usize>,
    chelates: bool,
    pub(super) carbon: Option<usize>,
    pub(super) ln_henry: f64,
    /// Solids of the system: ln K, and parts by place where all their components take part.
    pub(super) solids: Vec<Option<Dissolving>>,
    pub(super) charges: Vec<i32>,
    // The state.
    pub(super) x: Vec<f64>,
    pub(super) m: Vec<f64>,
    ln_gamma: Vec<f64>,
    slope: Vec<f64>,
    pub(super) ionic_strength: f64,
    pub(super) ln_aw: f64,
    pub(super) amounts: Vec<(usize, f64)>,
    // Room to work in.
    pub(super) sums: Vec<f64>,
    scale: Vec<f64>,
    matrix: Vec<f64>,
    border: Vec<f64>,
    touch: Vec<f64>,
    fixed: Vec<bool>,
    totals: Vec<f64>,
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
        self.newton(&[])?;
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
            self.newton(&[])?;
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

    pub(super) fn guess(&mut self, ask: &Ask<'_>) {
        let charged: f64 = self.totals.iter().zip(&self.charges).skip(1).map(|(t, z)| f64::from(z * z) * t).sum();
        self.ionic_strength = (0.4 * charged).clamp(1e-7, 10.0);
        self.ln_aw = 0.0;
        self.gammas();
        for f in &mut self.forms {
            f.clear();
        }
        let mut oh = 0.0;
        for i in 0..self.species.len() {
            let parts = &self.parts[self.starts[i]..self.starts[i + 1]];
            let k = (self.ln_k[i] - self.ln_gamma[self.rule_of[i]]).exp();
            match *parts {
                [(c, n)] if c != 0 && n == 1.0 => self.forms[c].push(k, 0),
                [(c, n), (0, h)] | [(0, h), (c, n)] if n == 1.0 && h.fract() == 0.0 => self.forms[c].push(k, h as i32),
                _ if Some(i) == self.hydroxide => oh = k,
                _ => {}
            }
        }
        let h = match ask.hydrogen {
            Hydrogen::Ph(ph) => 10f64.powf(-ph),
            Hydrogen::Total => {
                let parts: Vec<(f64, &Forms)> = (1..self.comps.len())
                    .map(|c| {
                        // Where air gives the carbon its total is what the guess of acidity needs: bicarbonate to match.
                        let open = self.fixed[c] && Some(c) == self.carbon;
                        (if open { (-self.totals[0]).max(0.0) } else { self.totals[c] }, &self.forms[c])
                    })
                    .collect();
                acidity(self.totals[0], ((-self.ln_gamma[self.rule_of[0]]).exp(), oh), &parts)
            }
        };
        self.x[0] = h.ln();
        for c in 1..self.comps.len() {
            if !self.fixed[c] {
                self.x[c] = self.forms[c].ln_activity(self.totals[c], h);
            }
        }
        if self.chelates {
            self.one_by_one();
        }
    }

    /// Brings strong complexes into the range of Newton's method: each component in turn is scaled to its total.
    fn one_by_one(&mut self) {
        for i in 0..self.m.len() {
            let parts = &self.parts[self.starts[i]..self.starts[i + 1]];
            let ln_m: f64 =
                self.ln_k[i] - self.ln_gamma[self.rule_of[i]] + parts.iter().map(|&(p, n)| n * self.x[p]).sum::<f64>();
            self.m[i] = ln_m.min(300.0).exp();
        }
        for _ in 0..12 {
            let mut worst = 0.0_f64;
            for c in (1..self.comps.len()).filter(|&c| !self.fixed[c]) {
                let holders = &self.holders[c];
                let held: f64 = holders.iter().map(|&(i, n)| n * self.m[i]).sum();
                let factor = self.totals[c] / held;
                for &(i, n) in holders {
                    self.m[i] *= if n == 1.0 { factor } else { factor.powf(n) };
                }
                let off = factor.ln();
                self.x[c] += off;
                worst = worst.max(off.abs());
            }
            if worst < 0.5 {
                break;
            }
        }
    }

    fn gammas(&mut self) {
        let i = self.ionic_strength;
        let root = i.sqrt();
        for (r, rule) in self.rules.iter().enumerate() {
            (self.ln_gamma[r], self.slope[r]) = rule.ln_gamma(root, i, self.a_dh, self.b_dh);
        }
    }

    /// Molalities at x, I and a_w, their sums by component, and the matrix. Gives Σm, ½Σz²m, ½Σz²m·dlnγ/dI.
    fn evaluate(&mut self) -> (f64, f64, f64) {
        let n = self.comps.len();
        self.sums.fill(0.0);
        self.scale.fill(0.0);
        self.matrix.fill(0.0);
        self.border.fill(0.0);
        self.touch.fill(0.0);
        let (mut all, mut strength, mut bend) = (0.0, 0.0, 0.0);
        for i in 0..self.m.len() {
            let parts = &self.parts[self.starts[i]..self.starts[i + 1]];
            let rule = self.rule_of[i];
            let mut ln_m = self.ln_k[i] - self.ln_gamma[rule] + self.water[i] * self.ln_aw;
            for &(c, nu) in parts {
                ln_m += nu * self.x[c];
            }
            let m = ln_m.min(60.0).exp();
            self.m[i] = m;
            let half = 0.5 * self.z2[i] * m;
            let slope = self.slope[rule];
            all += m;
            strength += half;
            bend += half * slope;
            for (k, &(c, nu)) in parts.iter().enumerate() {
                let nm = nu * m;
                self.sums[c] += nm;
                self.scale[c] += nm.abs();
                self.border[c] += nm * slope;
                self.touch[c] += nu * half;
                for &(d, mu) in &parts[..=k] {
                    let (row, col) = if c >= d { (c, d) } else { (d, c) };
                    self.matrix[row * n + col] += nm * mu;
                }
            }
        }
        (all, strength, bend)
    }

    /// Iterates with these solids at equilibrium; their amounts are left in `amounts`.
    pub(super) fn newton(&mut self, solids: &[usize]) -> Result<(), Unsolved> {
        let n = self.comps.len();
        let mut amounts = vec![0.0; solids.len()];
        let mut best = f64::INFINITY;
        let mut since_best = 0;
        for _ in 0..MOST_STEPS {
            self.gammas();
            let (all, strength, bend) = self.evaluate();
            let aw = (1.0 - 0.017 * all).clamp(0.5, 1.0).ln();
            let mut off = (strength / self.ionic_strength - 1.0).abs().max((aw - self.ln_aw).abs());
            for c in (0..n).filter(|&c| !self.fixed[c]) {
                let solid: f64 = self.in_solids(c, solids, &amounts);
                let bound = self.scale[c].max(solid.abs());
                off = off.max((self.totals[c] - self.sums[c] - solid).abs() / bound);
            }
            for &s in solids {
                off = off.max(self.ln_si(s).unwrap_or(0.0).abs());
            }
            if !off.is_finite() {
                return Err(Unsolved::Diverged);
            }
            since_best = if off < 0.5 * best { 0 } else { since_best + 1 };
            best = best.min(off);
            if off <= CLOSED || (off <= STALLED && since_best >= 2) {
                self.amounts = solids.iter().copied().zip(amounts).collect();
                return Ok(());
            }
            self.ln_aw = aw;
            let (step, strength_step) = self.step(solids, &mut amounts, strength, bend)?;
            let largest = step.iter().fold(0.0_f64, |a, s| a.max(s.abs()));
            if !largest.is_finite() {
                return Err(Unsolved::Diverged);
            }
            let damp = if largest > LARGEST_STEP { LARGEST_STEP / largest } else { 1.0 };
            for (x, s) in self.x.iter_mut().zip(&step) {
                *x += damp * s;
            }
            self.ionic_strength = if largest > 0.7 {
                // Far away the strength of the moment leads better than its slope.
                (0.5 * (self.ionic_strength + strength)).clamp(1e-9, 30.0)
            } else {
                (self.ionic_strength + strength_step)
                    .clamp(0.3 * self.ionic_strength, 3.0 * self.ionic_strength)
                    .clamp(1e-9, 30.0)
            };
        }
        Err(Unsolved::Diverged)
    }

    fn in_solids(&self, c: usize, solids: &[usize], amounts: &[f64]) -> f64 {
        solids
            .iter()
            .zip(amounts)
            .filter_map(|(&s, n)| self.solids[s].as_ref().map(|(_, of, _)| (of, n)))
            .flat_map(|(of, n)| of.iter().filter(|p| p.0 == c).map(move |p| p.1 * n))
            .sum()
    }

    /// ln of ion activity product over constant of a solid; none where a component of it is not here.
    pub(super) fn ln_si(&self, solid: usize) -> Option<f64> {
        let (ln_k, of, water) = self.solids.get(solid)?.as_ref()?;
        Some(of.iter().map(|&(c, n)| n * self.x[c]).sum::<f64>() + water * self.ln_aw - ln_k)
    }

    /// One Newton step: changes of x and of I; amounts of solids come whole.
    fn step(
        &mut self,
        solids: &[usize],
        amounts: &mut [f64],
        strength: f64,
        bend: f64,
    ) -> Result<(Vec<f64>, f64), Unsolved> {
        let n = self.comps.len();
        let k = solids.len();
        for c in 0..n {
            if self.fixed[c] {
                for d in 0..n {
                    self.matrix[c.max(d) * n + c.min(d)] = 0.0;
                }
                self.matrix[c * n + c] = 1.0;
                self.border[c] = 0.0;
            }
        }
        super::solids::factor(&mut self.matrix, &mut self.scale, n).ok_or(Unsolved::Diverged)?;
        let back = |rhs: &mut [f64]| super::solids::back(&self.matrix, &self.scale, n, rhs);
        let mut u: Vec<f64> = (0..n).map(|c| if self.fixed[c] { 0.0 } else { self.totals[c] - self.sums[c] }).collect();
        back(&mut u);
        let mut v = self.border.clone();
        back(&mut v);
        let touch = |x: &[f64]| -> f64 { (0..n).filter(|&c| !self.fixed[c]).map(|c| self.touch[c] * x[c]).sum() };
        let miss = strength - self.ionic_strength;
        if k == 0 {
            let d = 1.0 + bend - touch(&v);
            let di = (miss + touch(&u)) / d;
            for (a, b) in u.iter_mut().zip(&v) {
                *a += di * b;
            }
            return Ok((u, di));
        }
        let w: Vec<Vec<f64>> = solids
            .iter()
            .map(|&s| {
                let mut column = vec![0.0; n];
                if let Some((_, of, _)) = &self.solids[s] {
                    for &(c, nu) in of.iter().filter(|p| !self.fixed[p.0]) {
                        column[c] = nu;
                    }
                }
                back(&mut column);
                column
            })
            .collect();
        // Unknowns: amounts of the solids, then dI.
        let mut small = vec![0.0; (k + 1) * (k + 2)];
        let width = k + 2;
        for (row, &s) in solids.iter().enumerate() {
            let Some((_, of, _)) = &self.solids[s] else { return Err(Unsolved::Component) };
            let dot = |x: &[f64]| -> f64 { of.iter().filter(|p| !self.fixed[p.0]).map(|&(c, nu)| nu * x[c]).sum() };
            for (col, column) in w.iter().enumerate() {
                small[row * width + col] = -dot(column);
            }
            small[row * width + k] = dot(&v);
            small[row * width + k + 1] = -self.ln_si(s).unwrap_or(0.0) - dot(&u);
        }
        for (col, column) in w.iter().enumerate() {
            small[k * width + col] = touch(column);
        }
        small[k * width + k] = 1.0 + bend - touch(&v);
        small[k * width + k + 1] = miss + touch(&u);
        let solved = super::solids::gauss(&mut small, k + 1).ok_or(Unsolved::Diverged)?;
        let di = solved[k];
        for c in 0..n {
            u[c] += di * v[c] - w.iter().zip(&solved).map(|(column, a)| column[c] * a).sum::<f64>();
        }
        amounts.copy_from_slice(&solved[..k]);
        Ok((u, di))
    }
}
