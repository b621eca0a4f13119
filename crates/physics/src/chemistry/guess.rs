//! Where Newton's method starts.

use super::initial::{Forms, Known, acidity};
use super::solver::{Ask, Hydrogen, Solver};

impl Solver {
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
                let parts: Vec<(Known, &Forms)> = (1..self.comps.len())
                    .map(|c| {
                        let known =
                            if self.fixed[c] { Known::Activity(self.x[c].exp()) } else { Known::Total(self.totals[c]) };
                        (known, &self.forms[c])
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
}
