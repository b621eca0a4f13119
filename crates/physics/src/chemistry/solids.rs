//! Solids at equilibrium: which of several fall out.

use super::answer::Answer;
use super::solver::{Ask, Solver, Unsolved};

impl Solver {
    /// Solves and lets those solids fall out that would, several at once.
    ///
    /// Min over x of Σ m(x) − Σ T x under Σ ν x ≤ ln K for each solid: a convex problem whose multipliers are the amounts.
    /// The set of solids at equilibrium is found by adding the most oversaturated and dropping what would have to dissolve.
    ///
    /// # Errors
    /// Where there is no converged answer.
    pub fn settle(&mut self, ask: &Ask<'_>, solids: &[usize]) -> Result<Answer<'_>, Unsolved> {
        const ROUNDS: usize = 60;
        const OVER: f64 = 1e-10;
        const TRIES: usize = 2;
        self.prepare(ask)?;
        self.guess(ask);
        self.reach(ask)?;
        let mut active: Vec<usize> = Vec::new();
        let mut barred: Vec<usize> = Vec::new();
        let mut tries = 0;
        for _ in 0..ROUNDS {
            let most =
                self.amounts.iter().filter(|(_, n)| *n < 0.0).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(s, _)| *s);
            if let Some(s) = most {
                active.retain(|a| *a != s);
            } else {
                let next = solids
                    .iter()
                    .filter(|s| !active.contains(s) && !barred.contains(s))
                    .filter_map(|&s| Some((s, self.ln_si(s)?)))
                    .filter(|(_, si)| *si > OVER)
                    .max_by(|a, b| a.1.total_cmp(&b.1));
                match next {
                    None if barred.iter().all(|&s| self.ln_si(s).is_none_or(|si| si <= OVER)) => {
                        return Ok(Answer { s: self });
                    }
                    // Those that waited have another try now that the rest has settled, and then there is no answer.
                    None if tries < TRIES => {
                        tries += 1;
                        barred.clear();
                        continue;
                    }
                    None => return Err(Unsolved::Diverged),
                    Some((s, _)) => active.push(s),
                }
            }
            let kept = (self.x.clone(), self.ionic_strength, self.ln_aw);
            if self.newton(&active).is_ok() {
                continue;
            }
            (self.x, self.ionic_strength, self.ln_aw) = kept.clone();
            let Some(newcomer) = active.pop() else { return Err(Unsolved::Diverged) };
            let near = most.is_none() && self.draw_near(&active, newcomer);
            active.push(newcomer);
            if near && self.newton(&active).is_ok() {
                continue;
            }
            // Two solids that cannot both be at equilibrium: the newcomer takes the place of one that is there, or waits.
            if let Some(without) = (0..active.len().saturating_sub(1)).find_map(|k| {
                let mut rest = active.clone();
                rest.remove(k);
                (self.x, self.ionic_strength, self.ln_aw) = kept.clone();
                rest.pop();
                let near = self.newton(&rest).is_ok() && self.draw_near(&rest, newcomer);
                rest.push(newcomer);
                (near && self.newton(&rest).is_ok()).then_some(rest)
            }) {
                active = without;
                continue;
            }
            active.pop();
            (self.x, self.ionic_strength, self.ln_aw) = kept;
            if barred.len() >= solids.len() {
                return Err(Unsolved::Diverged);
            }
            barred.push(newcomer);
            self.newton(&active)?;
        }
        Err(Unsolved::Diverged)
    }

    /// Takes a solid out of the totals bit by bit until it is about at saturation, and leaves x there.
    fn draw_near(&mut self, active: &[usize], newcomer: usize) -> bool {
        const HALVINGS: usize = 24;
        const ABOUT: f64 = 0.02;
        let Some((_, of, _)) = self.solids[newcomer].clone() else { return false };
        let kept = self.totals.clone();
        let most = of
            .iter()
            .filter(|(c, n)| *c != 0 && *n > 0.0 && !self.fixed[*c])
            .map(|&(c, n)| (kept[c] - self.in_solids(c, active, &self.amounts_of(active))) / n)
            .fold(f64::INFINITY, f64::min);
        let (mut low, mut high) = (0.0, most);
        let mut found = false;
        for _ in 0..HALVINGS {
            let amount = 0.5 * (low + high);
            for &(c, n) in of.iter().filter(|p| !self.fixed[p.0]) {
                self.totals[c] = kept[c] - n * amount;
            }
            let before = (self.x.clone(), self.ionic_strength, self.ln_aw);
            if self.newton(active).is_err() {
                (self.x, self.ionic_strength, self.ln_aw) = before;
                high = amount;
                continue;
            }
            let si = self.ln_si(newcomer).unwrap_or(0.0);
            if si.abs() < ABOUT {
                found = true;
                break;
            }
            if si > 0.0 {
                low = amount;
            } else {
                high = amount;
            }
        }
        self.totals = kept;
        found
    }

    fn amounts_of(&self, active: &[usize]) -> Vec<f64> {
        active.iter().map(|s| self.amounts.iter().find(|a| a.0 == *s).map_or(0.0, |a| a.1)).collect()
    }
}
