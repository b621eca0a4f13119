//! The iterations.

use super::linear::{back, factor, gauss};
use super::solver::{Ask, Solver, Unsolved};

/// Most iterations before giving up.
const MOST_STEPS: usize = 100;
/// Residual over Σ|ν|m at which an answer is one \[-\].
const CLOSED: f64 = 1e-13;
/// The same where rounding lets it go no further.
const STALLED: f64 = 1e-12;
/// Largest step in ln a.
const LARGEST_STEP: f64 = 3.0;

impl Solver {
    pub(super) fn gammas(&mut self) {
        let i = self.ionic_strength;
        let root = i.sqrt();
        for (r, rule) in self.rules.iter().enumerate() {
            (self.ln_gamma[r], self.slope[r]) = rule.ln_gamma(root, i, self.a_dh, self.b_dh);
        }
    }

    /// Molalities at x, I and a_w, their sums by component, and the matrix. Gives Σm, ½Σz²m, ½Σz²m·dlnγ/dI.
    pub(super) fn evaluate(&mut self) -> (f64, f64, f64) {
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

    /// The quick way, and where it does not arrive the slow one and then the quick one again.
    pub(super) fn reach(&mut self, ask: &Ask<'_>) -> Result<(), Unsolved> {
        if self.newton(&[]).is_ok() {
            return Ok(());
        }
        self.guess(ask);
        self.walk()?;
        self.newton(&[])
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
                let miss = (self.totals[c] - self.sums[c] - solid).abs() / bound;
                if !miss.is_finite() {
                    return Err(Unsolved::Diverged);
                }
                off = off.max(miss);
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
            if !step.iter().all(|s| s.is_finite()) {
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

    pub(super) fn in_solids(&self, c: usize, solids: &[usize], amounts: &[f64]) -> f64 {
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

    /// Takes what is fixed out of the matrix.
    pub(super) fn hold_fixed(&mut self) {
        let n = self.comps.len();
        for c in (0..n).filter(|&c| self.fixed[c]) {
            for d in 0..n {
                self.matrix[c.max(d) * n + c.min(d)] = 0.0;
            }
            self.matrix[c * n + c] = 1.0;
            self.border[c] = 0.0;
        }
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
        self.hold_fixed();
        factor(&mut self.matrix, &mut self.scale, n).ok_or(Unsolved::Diverged)?;
        let back = |rhs: &mut [f64]| back(&self.matrix, &self.scale, n, rhs);
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
        let solved = gauss(&mut small, k + 1).ok_or(Unsolved::Diverged)?;
        let di = solved[k];
        for c in 0..n {
            u[c] += di * v[c] - w.iter().zip(&solved).map(|(column, a)| column[c] * a).sum::<f64>();
        }
        amounts.copy_from_slice(&solved[..k]);
        Ok((u, di))
    }
}
