//! The weigh-out sheet: grams that the scale can weigh, their order and tank, and what the meters should then say.

use super::acid::{self, Portion, Source};
use super::recipe::{Solved, Wanted, finish, solve};
use super::system;
use super::tanks::{self, Held, Saturation, Tank};
pub use super::weigh::{Dilution, Weighed};
use super::weigh::{in_mmol, weigh, weighing_error};
use super::why;
use tidewright_physics::chemistry::{Carbon, Lens, Model, OPEN_AIR_ATM};
use tidewright_physics::quantity::{ThermodynamicTemperature, Volume};
use tidewright_rig::bench::Mixing;
use tidewright_rig::solution::Salt;

/// A sheet.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The shelf that lines point into.
    pub shelf: Vec<Salt>,
    /// Source water.
    pub source: Source,
    /// As reckoned, before rounding.
    pub exact: Solved,
    /// As weighed.
    pub solved: Solved,
    /// Volume of solution that is mixed, or that the tanks stand for \[L\].
    pub litres: f64,
    /// Strength of the tanks; 1 where there are none.
    pub concentrate: f64,
    /// Volume of one tank \[L\].
    pub tank_litres: f64,
    /// Salts in the order in which they go in.
    pub lines: Vec<Weighed>,
    /// Acid or base for the reservoir: lines, then what its portions do.
    pub acids: Vec<(Weighed, Vec<Portion>)>,
    /// Both tanks on their coldest night, where there are any.
    pub tanks: Vec<Held>,
    /// Reservoir when mixed: nearest to falling out.
    pub solids: Vec<Saturation>,
    /// EC at 25 °C as it should read: low, likely, high \[S/m\].
    pub ec_25: [f64; 3],
    /// pH as it should read at once and later: low, likely, high.
    pub ph: [f64; 3],
    /// Litres of solution in the reservoir that acid and bands are for.
    pub reservoir_litres: f64,
    /// Protons that move the finished solution by a tenth of a pH under open air \[mmol/L\].
    pub protons_per_tenth: f64,
    /// A salt that the shelf lacks, and the typical miss with it.
    pub would_help: Option<(Salt, f64)>,
}

/// A model of EC is good to this. Source: `evidence/solution/conductivity.toml`, mixed solutions against an independent program.
const EC_MODEL: f64 = 0.03;
/// Purity of bags and their damp. Common practice, no source.
const PURITY: f64 = 0.02;
/// A pH meter just calibrated, and the model. Common practice, no source.
const PH_READING: f64 = 0.15;

/// Makes the sheet for a reservoir's volume.
///
/// # Errors
/// Where the recipe or the chemistry does not converge, in words.
pub fn sheet(mixing: &Mixing, reservoir: Volume, temperature: ThermodynamicTemperature) -> Result<Sheet, String> {
    let source = acid::source(mixing.water.borrowed(), temperature).map_err(|e| format!("the water report: {e}"))?;
    let wanted = Wanted {
        recipe: mixing.recipe.borrowed(),
        strength: mixing.strength.get(),
        water: &source.totals,
        shelf: &mixing.shelf,
        ph: Some(mixing.ph.get()),
        ammonium: mixing.feeding.ammonium,
        cheaper: mixing.cheaper.get(),
        temperature,
    };
    let exact = solve(&wanted)?;
    let concentrate = mixing.concentrate.get();
    let tank_litres = mixing.tank.get().value * 1e3;
    let reservoir_litres = reservoir.value * 1e3;
    let litres = if concentrate > 1.0 { concentrate * tank_litres } else { reservoir_litres };
    let step = mixing.scale.get().value * 1e3;
    let mut lines = Vec::new();
    let mut acids = Vec::new();
    let mut rounded = vec![0.0; mixing.shelf.len()];
    for &(j, amount) in &exact.salts {
        let salt = &mixing.shelf[j];
        for (tank, part) in parts_of(salt, mixing, concentrate) {
            let volume = if tank == Tank::Reservoir { reservoir_litres } else { litres };
            let line = weigh(j, salt, tank, amount * part * volume, step);
            rounded[j] += in_mmol(salt, &line) / volume;
            if tank == Tank::Reservoir {
                acids.push((line, Vec::new()));
            } else {
                lines.push(line);
            }
        }
    }
    lines.sort_by_key(|l| (l.tank == Tank::B, order(&mixing.shelf[l.salt])));
    let mut solved = finish(&wanted, rounded.clone())?;
    solved.ends = exact.ends;
    why::explain(&wanted, &mut solved);
    let thinner = if concentrate > 1.0 { 1.0 / (1.0 - 2.0 / concentrate).max(0.1) } else { 1.0 };
    portions_of(&wanted, &mut acids, &rounded, thinner)?;
    let tanks = if concentrate > 1.0 {
        [Tank::A, Tank::B]
            .into_iter()
            .filter_map(|tank| {
                let amounts: Vec<f64> = mixing
                    .shelf
                    .iter()
                    .zip(&rounded)
                    .map(|(s, x)| {
                        let part: f64 = parts_of(s, mixing, concentrate).filter(|p| p.0 == tank).map(|p| p.1).sum();
                        part * x * concentrate
                    })
                    .collect();
                tanks::held(tank, &mixing.shelf, &amounts, &source.totals, mixing.coldest.get())
            })
            .collect()
    } else {
        Vec::new()
    };
    let weighing = weighing_error(&mixing.shelf, &lines, step);
    let spread = (EC_MODEL * EC_MODEL + PURITY * PURITY + weighing * weighing).sqrt();
    let ec = solved.open.ec_25;
    let (now, later) = (solved.closed.as_ref().map_or(solved.open.ph, |c| c.ph), solved.open.ph);
    let solids = tanks::nearest(|i| solved.open.saturation[i]);
    let mut lens = Lens::new(system(), temperature, Model::TruesdellJones, &[&solved.totals]);
    let open = Carbon::Open(OPEN_AIR_ATM);
    let at = solved.open.ph;
    let protons_per_tenth =
        lens.protons_to(&solved.totals, at - 0.1, open).map_err(|e| format!("the solution's buffer: {e}"))? * 1e3;
    let would_help = why::helper(&wanted, &exact, &mixing.known).map(|(s, miss)| (s.clone(), miss));
    Ok(Sheet {
        shelf: mixing.shelf.to_vec(),
        source,
        exact,
        litres,
        concentrate,
        tank_litres,
        lines,
        acids,
        tanks,
        solids,
        ec_25: [ec * (1.0 - spread), ec, ec * (1.0 + spread)],
        ph: [now.min(later) - PH_READING, later, now.max(later) + PH_READING],
        solved,
        reservoir_litres,
        protons_per_tenth,
        would_help,
    })
}

/// Where the parts of a salt go; weighed straight into the reservoir it stays whole.
fn parts_of(salt: &Salt, mixing: &Mixing, concentrate: f64) -> impl Iterator<Item = (Tank, f64)> {
    let [first, second] = tanks::share(salt, mixing);
    let whole = concentrate <= 1.0 && first.0 != Tank::Reservoir && first.1 < 1.0;
    let both = if whole { [(Tank::B, 1.0), (Tank::A, 0.0)] } else { [first, second] };
    both.into_iter().filter(|s| s.1 > 0.0)
}

/// Place in the order: salts that get on with everything first, calcium last, the chelate before it. Common practice.
fn order(salt: &Salt) -> usize {
    if salt.gives("Ca") > 0.0 {
        9
    } else if salt.chelate.is_some() {
        8
    } else if salt.gives("PO4") > 0.0 {
        4
    } else if ["B", "Mn", "Zn", "Cu", "MoO4"].iter().any(|c| salt.gives(c) > 0.0) {
        6
    } else if salt.gives("SO4") > 0.0 {
        2
    } else {
        1
    }
}

/// What the portions of each acid do to the source water, and those of a base to the finished solution: acids go in first,
/// bases last. `thinner` is the final volume over that of the water before concentrates.
fn portions_of(
    wanted: &Wanted<'_>,
    acids: &mut [(Weighed, Vec<Portion>)],
    rounded: &[f64],
    thinner: f64,
) -> Result<(), String> {
    let with_all = super::recipe::mixed(wanted, rounded);
    let mut without_bases = rounded.to_vec();
    for (line, _) in acids.iter() {
        if wanted.shelf[line.salt].is_base() {
            without_bases[line.salt] = 0.0;
        }
    }
    let mut water = wanted.water.to_vec();
    let mut solution = super::recipe::mixed(wanted, &without_bases);
    for (line, portions) in acids.iter_mut() {
        let salt = &wanted.shelf[line.salt];
        let base = salt.is_base();
        let (from, amount) =
            if base { (&mut solution, rounded[line.salt]) } else { (&mut water, thinner * rounded[line.salt]) };
        let mut lens = Lens::new(system(), wanted.temperature, Model::TruesdellJones, &[from, &with_all]);
        *portions = acid::portions(&mut lens, from, salt, amount).map_err(|e| format!("the acid: {e}"))?;
        salt.pour_into(system(), from, amount);
    }
    Ok(())
}

impl Sheet {
    /// Part of all salts to add, and litres of solution to replace by water, for a meter that reads \[S/m\] something else.
    pub fn correct(&self, reads_25: f64) -> (f64, f64) {
        let (ec, water) = (self.solved.open.ec_25, self.source.ec_25);
        if reads_25 <= ec {
            ((ec - reads_25) / (ec - water).max(1e-6), 0.0)
        } else {
            (0.0, self.reservoir_litres * (reads_25 - ec) / (reads_25 - water).max(1e-6))
        }
    }

    /// The shelf's acid (or base where it has none) and how much of it moves the reservoir by a tenth of a pH, in mL or g.
    pub fn per_tenth(&self) -> Option<(&Salt, f64, &'static str)> {
        let salt = self.shelf.iter().find(|s| s.is_acid()).or_else(|| self.shelf.iter().find(|s| s.is_base()))?;
        let mmol = self.protons_per_tenth * self.reservoir_litres / salt.spare_protons().abs();
        let (x, unit) = acid::measure(salt, mmol);
        Some((salt, x, unit))
    }

    /// Water that the reservoir is filled with before concentrates come to it \[L\].
    pub fn water_litres(&self) -> f64 {
        if self.concentrate > 1.0 {
            self.reservoir_litres * (1.0 - 2.0 / self.concentrate).max(0.0)
        } else {
            self.reservoir_litres
        }
    }
}
