//! The slow way for the few solutions that Newton's method with everything at once does not reach.
//!
//! With activity coefficients held still, F(x) = Σ m(x) − Σ T x is convex and its gradient the mass balances: Newton's method
//! with a line search cannot fail. Ionic strength follows from outside, half a step at a time.

use super::linear::{back, factor};
use super::solver::{Solver, Unsolved};

const OUTER: usize = 60;
const INNER: usize = 120;
/// Close enough for the quick way to end it.
const NEAR: f64 = 1e-8;

impl Solver {
    /// Brings x and I near the answer.
    pub(super) fn walk(&mut self) -> Result<(), Unsolved> {
        for _ in 0..OUTER {
            self.gammas();
            self.descend()?;
            let strength: f64 = 0.5 * self.z2.iter().zip(&self.m).map(|(z2, m)| z2 * m).sum::<f64>();
            let off = (strength / self.ionic_strength).ln();
            self.ionic_strength = (self.ionic_strength * (0.5 * off).exp()).clamp(1e-9, 30.0);
            self.ln_aw = (1.0 - 0.017 * self.m.iter().sum::<f64>()).clamp(0.5, 1.0).ln();
            if off.abs() < 1e-3 {
                return Ok(());
            }
        }
        Err(Unsolved::Diverged)
    }

    fn descend(&mut self) -> Result<(), Unsolved> {
        let n = self.comps.len();
        let mut f = self.objective();
        for _ in 0..INNER {
            self.evaluate();
            let free: Vec<usize> = (0..n).filter(|&c| !self.fixed[c]).collect();
            let worst = free
                .iter()
                .map(|&c| (self.totals[c] - self.sums[c]).abs() / self.scale[c].max(1e-300))
                .fold(0.0_f64, f64::max);
            if worst < NEAR {
                return Ok(());
            }
            self.hold_fixed();
            let rhs: Vec<f64> =
                (0..n).map(|c| if self.fixed[c] { 0.0 } else { self.totals[c] - self.sums[c] }).collect();
            factor(&mut self.matrix, &mut self.scale, n).ok_or(Unsolved::Diverged)?;
            let mut step = rhs.clone();
            back(&self.matrix, &self.scale, n, &mut step);
            let slope: f64 = -rhs.iter().zip(&step).map(|(a, b)| a * b).sum::<f64>();
            let largest = step.iter().fold(0.0_f64, |a, s| a.max(s.abs()));
            if !step.iter().all(|s| s.is_finite()) {
                return Err(Unsolved::Diverged);
            }
            let from = self.x.clone();
            let mut part = (20.0 / largest).min(1.0);
            loop {
                for c in 0..n {
                    self.x[c] = from[c] + part * step[c];
                }
                let then = self.objective();
                if then <= f + 1e-4 * part * slope || part < 1e-10 {
                    f = then;
                    break;
                }
                part *= 0.5;
            }
        }
        Ok(())
    }

    /// Σ m − Σ T x over what is not fixed.
    fn objective(&self) -> f64 {
        let mut sum = 0.0;
        for i in 0..self.m.len() {
            let parts = &self.parts[self.starts[i]..self.starts[i + 1]];
            let ln_m: f64 = self.ln_k[i] - self.ln_gamma[self.rule_of[i]]
                + self.water[i] * self.ln_aw
                + parts.iter().map(|&(p, n)| n * self.x[p]).sum::<f64>();
            sum += ln_m.min(600.0).exp();
        }
        sum - (0..self.x.len()).filter(|&c| !self.fixed[c]).map(|c| self.totals[c] * self.x[c]).sum::<f64>()
    }
}
