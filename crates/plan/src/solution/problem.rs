//! The convex problem of a recipe: its rows, the protons that the pH asks for, both ends of the price.

use super::recipe::{Wanted, lens, mixed, price, scale, scaled};
use super::{counted, system};
use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, SupportedConeT, ZeroConeT,
};
use tidewright_physics::chemistry::{Carbon, OPEN_AIR_ATM, alkalinity};
use tidewright_rig::solution::Salt;
use tidewright_rig::solution::amount::Counts;

/// No target is overshot by more than this for the sake of another, or of the pH.
const OVERSHOOT: f64 = 0.5;
/// A target may lie this far off for the sake of price.
const FOR_PRICE: f64 = 0.05;
/// Scale of the row of protons [mmol/L]: a few hundredths of a pH in a solution with phosphate.
const PROTONS: f64 = 0.05;

/// Protons to spare in totals, in mol: less their alkalinity.
fn spare(totals: &[f64]) -> f64 {
    -alkalinity::of(system(), totals)
}

/// A row of the problem: what a mmol/L of each salt brings, the span left beside the water, its scale and weight.
pub(super) struct Line {
    of: Vec<f64>,
    low: f64,
    high: f64,
    scale: f64,
    weight: f64,
}

pub(super) fn rows(wanted: &Wanted<'_>) -> Vec<Line> {
    scaled(wanted)
        .map(|t| {
            let here = counted(wanted.water, t.counts);
            Line {
                of: wanted.shelf.iter().map(|s| brings(s, t.counts)).collect(),
                low: t.low - here,
                high: t.high - here,
                scale: scale(&t),
                weight: t.weight.max(1e-6),
            }
        })
        .collect()
}

/// Of what is counted, in one mole of a salt.
pub(super) fn brings(salt: &Salt, counts: Counts) -> f64 {
    match counts {
        Counts::Component(c) => salt.gives(c),
        Counts::Nitrogen => salt.gives("NO3") + salt.gives("NH4"),
        Counts::Hardness => salt.gives("Ca") + salt.gives("Mg"),
        Counts::Alkalinity | Counts::Nothing => 0.0,
    }
}

/// Amounts [mmol/L] and the prices of both ends.
pub(super) type Amounts = (Vec<f64>, (Option<f64>, Option<f64>));

pub(super) fn amounts(wanted: &Wanted<'_>, rows: &[Line]) -> Result<Amounts, String> {
    const ROUNDS: usize = 6;
    const ENOUGH: f64 = 1e-3 * PROTONS;
    // Protons that the pH asks for, beyond those of the water and of phosphate as H2PO4: first none.
    let mut protons = None;
    let mut problem = Problem::new(wanted, rows);
    if wanted.ph.is_some() {
        protons = Some(-1e3 * spare(wanted.water));
    }
    problem.rough = wanted.ph.is_some();
    let mut x = problem.closest(protons, None)?;
    if let Some(ph) = wanted.ph {
        let mut lens = lens(wanted);
        for _ in 0..ROUNDS {
            let mix = mixed(wanted, &x);
            let more = lens
                .protons_to(&mix, ph, Carbon::Open(OPEN_AIR_ATM))
                .map_err(|e| format!("the pH cannot be reckoned: {e}"))?;
            let now = 1e3 * (spare(&mix) + more - spare(wanted.water));
            let moved = protons.is_none_or(|p| (p - now).abs() > ENOUGH);
            protons = Some(now);
            if !moved {
                break;
            }
            x = problem.closest(protons, None)?;
        }
        problem.rough = false;
        x = problem.closest(protons, None)?;
    }
    let closest = price(wanted, &x);
    let (Some(dear), true) = (closest, wanted.shelf.iter().all(|s| s.price.is_some() || s.gives.is_empty())) else {
        return Ok((x, (closest, None)));
    };
    // The cheapest may miss by a twentieth what the closest meets, and no more than it where that misses by more.
    let allow: Vec<f64> =
        problem.misses(&x, protons).iter().map(|m| m.abs().max(FOR_PRICE) * (1.0 + 1e-6) + 1e-9).collect();
    let Ok(cheap) = problem.cheapest(protons, &allow) else { return Ok((x, (closest, None))) };
    let low = price(wanted, &cheap).unwrap_or(dear).min(dear);
    if wanted.cheaper > 0.0 {
        let bound = dear + wanted.cheaper.min(1.0) * (low - dear);
        x = if wanted.cheaper >= 1.0 { cheap } else { problem.closest(protons, Some((bound, &allow)))? };
    }
    Ok((x, (closest, Some(low))))
}

/// Amounts with the protons that the pH asks of another solution [mol/L] of this water; one search.
pub(super) fn roughly(wanted: &Wanted<'_>, like: &[f64]) -> Option<Vec<f64>> {
    let rows = rows(wanted);
    let mut problem = Problem::new(wanted, &rows);
    problem.rough = true;
    let protons = match wanted.ph {
        None => None,
        Some(ph) => {
            let more = lens(wanted).protons_to(like, ph, Carbon::Open(OPEN_AIR_ATM)).ok()?;
            Some(1e3 * (spare(like) + more - spare(wanted.water)))
        }
    };
    problem.closest(protons, None).ok()
}

struct Problem<'p> {
    wanted: &'p Wanted<'p>,
    rows: &'p [Line],
    /// Size of each salt's amount [mmol/L], to make the problem round.
    size: Vec<f64>,
    /// Whether slivers may stay, as while the protons are being found.
    rough: bool,
}

impl<'p> Problem<'p> {
    fn new(wanted: &'p Wanted<'p>, rows: &'p [Line]) -> Self {
        let size = (0..wanted.shelf.len())
            .map(|j| {
                let s = rows.iter().filter(|r| r.of[j] > 0.0).map(|r| r.scale / r.of[j]).fold(f64::INFINITY, f64::min);
                if s.is_finite() { s } else { 1.0 }
            })
            .collect();
        Self { wanted, rows, size, rough: false }
    }

    fn protons_of(&self, j: usize) -> f64 {
        self.wanted.shelf[j].spare_protons()
    }

    /// Misses of all rows, over their scales; protons last where they count.
    fn misses(&self, x: &[f64], protons: Option<f64>) -> Vec<f64> {
        let mut all: Vec<f64> = self
            .rows
            .iter()
            .map(|r| {
                let sum: f64 = r.of.iter().zip(x).map(|(a, x)| a * x).sum();
                if sum < r.low {
                    (sum - r.low) / r.scale
                } else if sum > r.high {
                    (sum - r.high) / r.scale
                } else {
                    0.0
                }
            })
            .collect();
        if let Some(p) = protons {
            let sum: f64 = (0..x.len()).map(|j| self.protons_of(j) * x[j]).sum();
            all.push((sum - p) / PROTONS);
        }
        all
    }

    /// The closest, or the closest below a price within what may be missed.
    fn closest(&mut self, protons: Option<f64>, below: Option<(f64, &[f64])>) -> Result<Vec<f64>, String> {
        self.run(protons, below.map(|b| b.0), below.map(|b| b.1), false)
    }

    fn cheapest(&mut self, protons: Option<f64>, allow: &[f64]) -> Result<Vec<f64>, String> {
        self.run(protons, None, Some(allow), true)
    }

    fn run(
        &self,
        protons: Option<f64>,
        most: Option<f64>,
        allow: Option<&[f64]>,
        by_price: bool,
    ) -> Result<Vec<f64>, String> {
        let n = self.wanted.shelf.len();
        let m = self.rows.len() + usize::from(protons.is_some());
        let mut equal = Table::default();
        let mut below = Table::default();
        for (i, row) in self.rows.iter().enumerate() {
            let parts: Vec<(usize, f64)> = (0..n).map(|j| (j, row.of[j] * self.size[j] / row.scale)).collect();
            let with =
                |sign: f64| parts.iter().map(|&(j, v)| (j, sign * v)).chain([(n + i, -sign)]).collect::<Vec<_>>();
            if row.high - row.low < 1e-12 * row.scale {
                equal.push(with(1.0), row.low / row.scale);
            } else {
                below.push(with(1.0), row.high / row.scale);
                below.push(with(-1.0), -row.low / row.scale);
            }
        }
        // Nothing is brought to half above its target for the sake of another, the pH included.
        for row in self.rows {
            let most = (OVERSHOOT + row.high / row.scale).max(0.0);
            below.push((0..n).map(|j| (j, row.of[j] * self.size[j] / row.scale)).collect(), most);
        }
        if let Some(p) = protons {
            let parts = (0..n).map(|j| (j, self.protons_of(j) * self.size[j] / PROTONS)).chain([(n + m - 1, -1.0)]);
            equal.push(parts.collect(), p / PROTONS);
        }
        for j in 0..n {
            below.push(vec![(j, -1.0)], 0.0);
        }
        // NH4 ≤ share (NH4 + NO3), the water's own counted; where that is too much by itself, no salt adds to it.
        let share = self.wanted.ammonium;
        let nitrogen = |v: f64, total: f64| v - share * total;
        let own = nitrogen(
            counted(self.wanted.water, Counts::Component("NH4")),
            counted(self.wanted.water, Counts::Nitrogen),
        );
        let rates: Vec<(usize, f64)> = (0..n)
            .map(|j| {
                let s = &self.wanted.shelf[j];
                (j, nitrogen(s.gives("NH4"), s.gives("NH4") + s.gives("NO3")) * self.size[j])
            })
            .collect();
        below.push(rates, (-own).max(0.0));
        let cost: Vec<f64> = (0..n)
            .map(|j| {
                let s = &self.wanted.shelf[j];
                s.price.unwrap_or(0.0) * s.grams_per_mol() * self.size[j] * 1e-3
            })
            .collect();
        let unit = cost.iter().copied().fold(1e-9, f64::max);
        if let Some(most) = most {
            below.push(cost.iter().enumerate().map(|(j, c)| (j, c / unit)).collect(), most / unit);
        }
        if let Some(allow) = allow {
            for (i, a) in allow.iter().enumerate() {
                below.push(vec![(n + i, 1.0)], *a);
                below.push(vec![(n + i, -1.0)], *a);
            }
        }
        let mut curve = vec![0.0; n + m];
        let mut slope = vec![0.0; n + m];
        for (i, row) in self.rows.iter().enumerate() {
            curve[n + i] = if by_price { 0.0 } else { 2.0 * row.weight };
        }
        if protons.is_some() {
            curve[n + m - 1] = if by_price { 0.0 } else { 2.0 };
        }
        for j in 0..n {
            // A breath of price tells salts apart that do equally well.
            slope[j] = if by_price { cost[j] / unit } else { 1e-7 * (cost[j] / unit + 0.01) };
        }
        let z = solve_cone(n + m, &curve, &slope, equal.clone(), below.clone())?;
        // Slivers of a salt, which nobody weighs, are left out and the rest found again.
        const SLIVER: f64 = 0.01;
        let slivers: Vec<usize> = if self.rough { Vec::new() } else { (0..n).collect() };
        let slivers: Vec<usize> = slivers.into_iter().filter(|&j| z[j] > 0.0 && z[j] < SLIVER).collect();
        let z = if slivers.iter().all(|&j| z[j] < 1e-6) {
            z
        } else {
            for j in slivers {
                below.push(vec![(j, 1.0)], 0.0);
            }
            solve_cone(n + m, &curve, &slope, equal, below).unwrap_or(z)
        };
        Ok((0..n)
            .map(|j| if z[j] > 2e-4 && !self.wanted.shelf[j].gives.is_empty() { z[j] * self.size[j] } else { 0.0 })
            .collect())
    }
}

#[derive(Clone, Default)]
struct Table {
    rows: Vec<Vec<(usize, f64)>>,
    right: Vec<f64>,
}

impl Table {
    fn push(&mut self, row: Vec<(usize, f64)>, right: f64) {
        self.rows.push(row);
        self.right.push(right);
    }
}

fn solve_cone(n: usize, curve: &[f64], slope: &[f64], equal: Table, below: Table) -> Result<Vec<f64>, String> {
    let cones: Vec<SupportedConeT<f64>> = [ZeroConeT(equal.rows.len()), NonnegativeConeT(below.rows.len())]
        .into_iter()
        .filter(|c| !matches!(c, ZeroConeT(0) | NonnegativeConeT(0)))
        .collect();
    let right: Vec<f64> = equal.right.into_iter().chain(below.right).collect();
    let (mut at, mut to, mut value) = (Vec::new(), Vec::new(), Vec::new());
    for (r, row) in equal.rows.into_iter().chain(below.rows).enumerate() {
        for (c, v) in row.into_iter().filter(|(_, v)| *v != 0.0) {
            at.push(r);
            to.push(c);
            value.push(v);
        }
    }
    let a = CscMatrix::new_from_triplets(right.len(), n, at, to, value);
    let on: Vec<usize> = (0..n).filter(|&i| curve[i] != 0.0).collect();
    let p = CscMatrix::new_from_triplets(n, n, on.clone(), on.clone(), on.iter().map(|&i| curve[i]).collect());
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-10,
        tol_gap_rel: 1e-10,
        tol_feas: 1e-10,
        ..DefaultSettings::default()
    };
    let mut solver = DefaultSolver::new(&p, slope, &a, &right, &cones, settings)
        .map_err(|e| format!("the recipe cannot be set up: {e}"))?;
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => Ok(solver.solution.x.clone()),
        other => Err(format!("the search for amounts did not converge ({other:?})")),
    }
}
