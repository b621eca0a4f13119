//! Which salts, and how much of each: a convex problem with the shelf as its variables.
//!
//! Minimise Σ w (d/s)² over x ≥ 0, where d is by how much what water and salts bring lies outside a target's span, and s the
//! target. Protons are a row of their own: what the pH asks for once the water has lost its surplus of carbon dioxide. The
//! share of ammonium is bounded. Between closest and cheapest the cost is bounded.
//!
//! Source of the formulation: weighted least squares under bounds, Lawson & Hanson, Solving Least Squares Problems (1974), ch. 23;
//! solved by an interior-point library. Evidence: `evidence/solution/recipes.toml`.

use super::problem::{amounts, roughly, rows};
use super::why::{self, Why};
use super::{counted, system};
use tidewright_physics::chemistry::{Carbon, Lens, Model, OPEN_AIR_ATM, Seen};
use tidewright_physics::quantity::ThermodynamicTemperature;
use tidewright_rig::solution::{Recipe, Salt, Target};

/// A question.
#[derive(Clone, Debug)]
pub struct Wanted<'a> {
    /// What a litre should hold.
    pub recipe: &'a Recipe,
    /// Part of it \[-\].
    pub strength: f64,
    /// The water's totals \[mol/L\].
    pub water: &'a [f64],
    /// Salts at hand.
    pub shelf: &'a [Salt],
    /// pH to reach under open air; none leaves it where it falls.
    pub ph: Option<f64>,
    /// Greatest share of nitrogen as ammonium \[-\].
    pub ammonium: f64,
    /// From closest (0) to cheapest (1).
    pub cheaper: f64,
    /// Temperature of the solution.
    pub temperature: ThermodynamicTemperature,
}

/// One target and what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// The target at this strength.
    pub target: Target,
    /// What the solution holds \[mmol/L\].
    pub amount: f64,
    /// What the water alone brings \[mmol/L\].
    pub from_water: f64,
    /// How far it lies outside the span, over the target \[-\].
    pub miss: f64,
    /// Why it could not be met, where it was not.
    pub why: Option<Why>,
}

/// Another gram of a salt in 100 L.
#[derive(Clone, Debug, PartialEq)]
pub struct Margin {
    /// Which salt of the shelf.
    pub salt: usize,
    /// What the gram costs.
    pub price: Option<f64>,
    /// What it adds to the typical miss \[-\]; negative: it would improve.
    pub miss: f64,
}

/// An answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// Salts taken: place on the shelf and amount \[mmol/L\].
    pub salts: Vec<(usize, f64)>,
    /// What the solution holds \[mol/L\].
    pub totals: Vec<f64>,
    /// Targets.
    pub targets: Vec<Reached>,
    /// Typical miss: √(Σ w (d/s)² / Σ w) \[-\].
    pub miss: f64,
    /// Price of the salts in a cubic metre, where all that are taken have one.
    pub price_m3: Option<f64>,
    /// The same for the closest and for the cheapest that keeps within a twentieth of every target.
    pub ends: (Option<f64>, Option<f64>),
    /// One more gram of each salt on the shelf.
    pub margins: Vec<Margin>,
    /// What it looks like under open air.
    pub open: Seen,
    /// What it looks like in the moment of mixing, with the carbon that the water came with.
    pub closed: Option<Seen>,
    /// Charge of all totals \[mol/L\]: what the water report does not balance, nothing else.
    pub charge: f64,
}

/// From this miss on a target counts as not met.
pub const NOT_MET: f64 = 0.03;

/// Solves.
///
/// # Errors
/// Where the chemistry or the search does not converge, in words.
pub fn solve(wanted: &Wanted<'_>) -> Result<Solved, String> {
    let rows = rows(wanted);
    let (x, ends) = amounts(wanted, &rows)?;
    let mut solved = finish(wanted, x)?;
    solved.ends = ends;
    why::explain(wanted, &mut solved);
    Ok(solved)
}

/// Typical miss of the closest answer with the protons of another, without looking further: enough to compare shelves.
pub(super) fn closest_miss(wanted: &Wanted<'_>, like: &Solved) -> Option<f64> {
    let x = roughly(wanted, &like.totals)?;
    let totals = mixed(wanted, &x);
    let targets: Vec<Reached> = scaled(wanted)
        .map(|target| {
            let amount = counted(&totals, target.counts);
            let miss = target.miss(amount) / scale(&target);
            Reached { amount, from_water: 0.0, miss, target, why: None }
        })
        .collect();
    Some(typical(&targets))
}

/// What these amounts of salts [mmol/L by place on the shelf] make of the water.
///
/// # Errors
/// Where the chemistry does not converge.
pub fn finish(wanted: &Wanted<'_>, x: Vec<f64>) -> Result<Solved, String> {
    let totals = mixed(wanted, &x);
    let mut lens = lens(wanted);
    let open =
        lens.see(&totals, Carbon::Open(OPEN_AIR_ATM)).map_err(|e| format!("the solution cannot be looked at: {e}"))?;
    let closed = lens.see(&totals, Carbon::Closed).ok();
    let targets: Vec<Reached> = scaled(wanted)
        .map(|target| {
            let amount = counted(&totals, target.counts);
            let miss = target.miss(amount) / scale(&target);
            Reached { amount, from_water: counted(wanted.water, target.counts), miss, target, why: None }
        })
        .collect();
    let price_m3 = price(wanted, &x);
    let miss = typical(&targets);
    let margins = (0..wanted.shelf.len())
        .filter(|&j| !wanted.shelf[j].gives.is_empty())
        .map(|j| {
            let salt = &wanted.shelf[j];
            let mut more = x.clone();
            // A gram in 100 L.
            more[j] += 1000.0 / salt.grams_per_mol() / 100.0;
            let then = mixed(wanted, &more);
            let with: Vec<Reached> = targets
                .iter()
                .map(|r| Reached {
                    miss: r.target.miss(counted(&then, r.target.counts)) / scale(&r.target),
                    ..r.clone()
                })
                .collect();
            Margin { salt: j, price: salt.price.map(|p| p / 1000.0), miss: typical(&with) - miss }
        })
        .collect();
    Ok(Solved {
        salts: x.iter().copied().enumerate().filter(|(_, a)| *a > 0.0).collect(),
        charge: system().charge_of(&totals),
        totals,
        miss,
        targets,
        price_m3,
        ends: (None, None),
        margins,
        open,
        closed,
    })
}

fn typical(targets: &[Reached]) -> f64 {
    let weight: f64 = targets.iter().map(|r| r.target.weight).sum();
    let sum: f64 = targets.iter().map(|r| r.target.weight * r.miss * r.miss).sum();
    if weight > 0.0 { (sum / weight).sqrt() } else { 0.0 }
}

/// Water and salts together [mol/L].
pub(super) fn mixed(wanted: &Wanted<'_>, x: &[f64]) -> Vec<f64> {
    let mut all = wanted.water.to_vec();
    for (salt, amount) in wanted.shelf.iter().zip(x) {
        salt.pour_into(system(), &mut all, *amount);
    }
    all
}

/// Everything that could stand in a solution of this shelf and water.
pub(super) fn lens(wanted: &Wanted<'_>) -> Lens<'static> {
    let every: Vec<f64> = mixed(wanted, &vec![1.0; wanted.shelf.len()]);
    Lens::new(system(), wanted.temperature, Model::TruesdellJones, &[&every, wanted.water])
}

pub(super) fn scaled<'w>(wanted: &'w Wanted<'_>) -> impl Iterator<Item = Target> + 'w {
    wanted.recipe.targets.iter().map(|t| Target {
        low: t.low * wanted.strength,
        high: t.high * wanted.strength,
        ..t.clone()
    })
}

/// What a miss is held against [mmol/L]: the target, or half a millimole where nothing is wanted.
pub(super) fn scale(target: &Target) -> f64 {
    const OF_NOTHING: f64 = 0.5;
    if target.middle() > 0.0 { target.middle() } else { OF_NOTHING }
}

pub(super) fn price(wanted: &Wanted<'_>, x: &[f64]) -> Option<f64> {
    wanted
        .shelf
        .iter()
        .zip(x)
        .filter(|(_, a)| **a > 0.0)
        .map(|(s, a)| s.price.map(|p| p * s.grams_per_mol() * a * 1e-3))
        .sum()
}
