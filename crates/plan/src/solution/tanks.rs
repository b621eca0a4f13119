//! Two concentrates: which salt goes where, and whether each stays clear on its coldest night.

use super::system;
use tidewright_physics::chemistry::{Ask, Carbon, Hydrogen, Model, OPEN_AIR_ATM, Solver};
use tidewright_physics::quantity::ThermodynamicTemperature;
use tidewright_rig::bench::Mixing;
use tidewright_rig::solution::Salt;

/// Where a salt goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Tank {
    /// Calcium and chelates.
    A,
    /// Sulphates, phosphates, trace salts.
    B,
    /// Acids and bases: into the reservoir, in portions.
    Reservoir,
}

/// Parts of a salt that go into A and into B; a liquid or a base goes into neither.
///
/// All calcium and the chelate into A, sulphates, phosphates, boric acid and molybdate into B, what gets on with both half and
/// half, unless the bench file says otherwise. Common practice, no source.
pub fn share(salt: &Salt, mixing: &Mixing) -> [(Tank, f64); 2] {
    if mixing.tank_a.contains(&salt.id) {
        return [(Tank::A, 1.0), (Tank::B, 0.0)];
    }
    if mixing.tank_b.contains(&salt.id) {
        return [(Tank::A, 0.0), (Tank::B, 1.0)];
    }
    let has = |c: &str| salt.gives(c) > 0.0;
    if salt.is_acid() || salt.is_base() || salt.density.is_some() {
        [(Tank::Reservoir, 1.0), (Tank::Reservoir, 0.0)]
    } else if has("Ca") || salt.chelate.is_some() {
        [(Tank::A, 1.0), (Tank::B, 0.0)]
    } else if has("SO4") || has("PO4") || has("B") || has("MoO4") {
        [(Tank::A, 0.0), (Tank::B, 1.0)]
    } else {
        [(Tank::A, 0.5), (Tank::B, 0.5)]
    }
}

/// How near a solid is to falling out.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Saturation {
    /// Name of the solid.
    pub solid: &'static str,
    /// log₁₀ of ion activity product over solubility product.
    pub index: f64,
    /// How far published constants differ, in the same units.
    pub doubt: f64,
}

impl Saturation {
    /// Whether it is beyond saturation and beyond doubt.
    pub fn falls_out(&self) -> bool {
        self.index > self.doubt
    }

    /// Ion activity product over solubility product \[-\].
    pub fn times(&self) -> f64 {
        10f64.powf(self.index)
    }
}

/// Solids worth a warning by their index, the nearest to falling out first.
pub(super) fn nearest(index: impl Fn(usize) -> Option<f64>) -> Vec<Saturation> {
    let mut all: Vec<Saturation> = system()
        .solids
        .iter()
        .enumerate()
        .filter(|(_, s)| !s.quiet)
        .filter_map(|(i, s)| Some(Saturation { solid: &s.name, index: index(i)?, doubt: s.doubt }))
        .collect();
    all.sort_by(|a, b| b.index.total_cmp(&a.index));
    all
}

/// What a tank holds and what may fall out of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Which.
    pub tank: Tank,
    /// Ionic strength \[mol/kg\].
    pub ionic_strength: f64,
    /// pH under air.
    pub ph: f64,
    /// Solids nearest to falling out, the nearest first.
    pub solids: Vec<Saturation>,
    /// Salts by how much of what the water would hold of each by itself, the fullest first: place on the shelf and share.
    pub fullness: Vec<(usize, f64)>,
}

impl Held {
    /// What falls out: solids beyond saturation and doubt.
    pub fn falls_out(&self) -> impl Iterator<Item = &Saturation> {
        self.solids.iter().filter(|s| s.falls_out())
    }

    /// Whether a salt alone fills its water past this share.
    pub fn crowded(&self) -> Option<(usize, f64)> {
        const CROWDED: f64 = 0.8;
        self.fullness.first().copied().filter(|f| f.1 > CROWDED)
    }
}

/// Looks at a tank of so many mmol/L of each salt of the shelf, in a water \[mol/L\], at a temperature.
///
/// None where the chemistry does not converge: at these strengths (I above 1) it is a guide, not a measure.
pub fn held(
    tank: Tank,
    shelf: &[Salt],
    amounts: &[f64],
    water: &[f64],
    temperature: ThermodynamicTemperature,
) -> Option<Held> {
    let system = system();
    let mut all = water.to_vec();
    for (salt, amount) in shelf.iter().zip(amounts) {
        salt.pour_into(system, &mut all, *amount);
    }
    let carbon = system.component("CO2");
    let mut solver = Solver::new(system, temperature, Model::TruesdellJones, |c| all[c] > 0.0 || Some(c) == carbon);
    let ask = Ask { totals: &all, hydrogen: Hydrogen::Total, carbon: Carbon::Open(OPEN_AIR_ATM) };
    let answer = solver.solve(&ask).ok()?;
    let solids = nearest(|i| answer.saturation(i));
    // Grams of product over what a litre of water would take of it alone.
    let cold = temperature.value - 273.15;
    let mut fullness: Vec<(usize, f64)> = shelf
        .iter()
        .zip(amounts)
        .enumerate()
        .filter(|(_, (_, a))| **a > 0.0)
        .filter_map(|(j, (s, a))| Some((j, 1e-3 * a * s.grams_per_mol() / (10.0 * s.soluble_at(cold)?))))
        .collect();
    fullness.sort_by(|a, b| b.1.total_cmp(&a.1));
    Some(Held { tank, ionic_strength: answer.ionic_strength(), ph: answer.ph(), solids, fullness })
}
