//! The weigh-out sheet: grams that the scale can weigh, their order and tank, and what the meters should then say.

use super::acid::{self, Portion, Source};
use super::recipe::{Solved, Wanted, finish, solve};
use super::system;
use super::tanks::{self, Held, Tank};
use super::why;
use tidewright_physics::chemistry::{Lens, Model};
use tidewright_physics::quantity::{ThermodynamicTemperature, Volume};
use tidewright_rig::bench::Mixing;
use tidewright_rig::solution::Salt;

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// Place on the shelf.
    pub salt: usize,
    /// Where it goes.
    pub tank: Tank,
    /// As reckoned \[g, or mL of a liquid\].
    pub exact: f64,
    /// As the scale or a measuring cylinder can give it.
    pub amount: f64,
    /// "g" or "mL".
    pub unit: &'static str,
    /// Too little for the scale: dissolve this first.
    pub dilution: Option<Dilution>,
}

/// A dilution by which a small amount can be measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dilution {
    /// Grams to dissolve.
    pub grams: f64,
    /// In so much water in all \[mL\].
    pub into_ml: f64,
    /// Of which this is taken \[mL\].
    pub take_ml: f64,
}

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
    pub solids: Vec<(String, f64, f64)>,
    /// EC at 25 °C as it should read: low, likely, high \[S/m\].
    pub ec_25: [f64; 3],
    /// pH as it should read at once and later: low, likely, high.
    pub ph: [f64; 3],
    /// Litres of solution in the reservoir that acid and bands are for.
    pub reservoir_litres: f64,
    /// A salt that the shelf lacks, and the typical miss with it.
    pub would_help: Option<(Salt, f64)>,
}

/// A model of EC is good to this. Source: `evidence/solution/conductivity.toml`, mixed solutions against an independent program.
const EC_MODEL: f64 = 0.03;
/// Purity of bags and their damp. Common practice, no source.
const PURITY: f64 = 0.02;
/// A pH meter just calibrated, and the model. Common practice, no source.
const PH_READING: f64 = 0.15;
/// Below so many divisions a scale's step is too coarse: one in twenty.
const DIVISIONS: f64 = 20.0;

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
        for (tank, part) in tanks::share(salt, mixing).into_iter().filter(|s| s.1 > 0.0) {
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
    portions_of(&wanted, &mut acids, &rounded)?;
    let tanks = if concentrate > 1.0 {
        [Tank::A, Tank::B]
            .into_iter()
            .filter_map(|tank| {
                let amounts: Vec<f64> = mixing
                    .shelf
                    .iter()
                    .zip(&rounded)
                    .map(|(s, x)| {
                        let part: f64 = tanks::share(s, mixing).iter().filter(|p| p.0 == tank).map(|p| p.1).sum();
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
    let mut solids: Vec<(String, f64, f64)> = system()
        .solids
        .iter()
        .zip(&solved.open.saturation)
        .filter(|(s, _)| !s.quiet)
        .filter_map(|(s, si)| Some((s.name.clone(), (*si)?, s.doubt)))
        .collect();
    solids.sort_by(|a, b| b.1.total_cmp(&a.1));
    let would_help = why::helper(&wanted, &exact, &mixing.known).map(|(s, miss)| (s.clone(), miss));
    Ok(Sheet {
        shelf: mixing.shelf.clone(),
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
        would_help,
    })
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

/// A line for so many mmol.
fn weigh(j: usize, salt: &Salt, tank: Tank, mmol: f64, step: f64) -> Weighed {
    let (exact, unit) = acid::measure(salt, mmol);
    let line = |amount: f64, dilution| Weighed { salt: j, tank, exact, amount, unit, dilution };
    if unit == "mL" {
        // A syringe below ten millilitres, a cylinder above.
        let fine = if exact < 10.0 { 0.1 } else { 1.0 };
        return line((exact / fine).round() * fine, None);
    }
    if exact >= DIVISIONS * step {
        return line((exact / step).round() * step, None);
    }
    // A stock of a litre: so strong that the scale weighs it well and a cylinder measures what is taken.
    const INTO_ML: f64 = 1000.0;
    const EASY_TAKE: f64 = 50.0;
    let wanted = (exact * INTO_ML / EASY_TAKE).max(DIVISIONS * step);
    let grams = round_up(wanted).min(salt.soluble_at(10.0).map_or(f64::INFINITY, |s| 8.0 * s)).max(step);
    let grams = (grams / step).round().max(1.0) * step;
    let take = exact / grams * INTO_ML;
    let fine = if take < 10.0 { 0.1 } else { 1.0 };
    let take_ml = (take / fine).round().max(1.0) * fine;
    line(take_ml * grams / INTO_ML, Some(Dilution { grams, into_ml: INTO_ML, take_ml }))
}

/// Up to 1, 2 or 5 times a power of ten.
fn round_up(x: f64) -> f64 {
    let power = 10f64.powf(x.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|f| f * power).find(|r| *r >= x * (1.0 - 1e-9)).unwrap_or(x)
}

/// mmol in a line as weighed.
fn in_mmol(salt: &Salt, line: &Weighed) -> f64 {
    match salt.molarity().filter(|_| line.unit == "mL") {
        Some(m) => line.amount * m,
        None => 1e3 * line.amount / salt.grams_per_mol(),
    }
}

/// Error of the EC by half a division of the scale in every weighing \[-\].
fn weighing_error(shelf: &[Salt], lines: &[Weighed], step: f64) -> f64 {
    let moles = |l: &Weighed| l.exact / shelf[l.salt].grams_per_mol();
    let all: f64 = lines.iter().map(moles).sum();
    if all <= 0.0 {
        return 0.0;
    }
    let sum: f64 = lines
        .iter()
        .map(|l| {
            let weighed = l.dilution.map_or(l.exact, |d| d.grams);
            let own = if weighed > 0.0 { 0.5 * step / weighed } else { 0.0 };
            (own * moles(l) / all).powi(2)
        })
        .sum();
    sum.sqrt()
}

/// What the portions of each acid or base do to the solution of all else.
fn portions_of(wanted: &Wanted<'_>, acids: &mut [(Weighed, Vec<Portion>)], rounded: &[f64]) -> Result<(), String> {
    let mut without = rounded.to_vec();
    for (line, _) in acids.iter() {
        without[line.salt] = 0.0;
    }
    let with_all = super::recipe::mixed(wanted, rounded);
    let mut from = super::recipe::mixed(wanted, &without);
    for (line, portions) in acids.iter_mut() {
        let salt = &wanted.shelf[line.salt];
        let mut lens = Lens::new(system(), wanted.temperature, Model::TruesdellJones, &[&from, &with_all]);
        *portions = acid::portions(&mut lens, &from, salt, rounded[line.salt]).map_err(|e| format!("the acid: {e}"))?;
        let part = tidewright_rig::solution::totals(
            system(),
            salt.gives.iter().map(|(c, n)| (c, 1e-3 * n * rounded[line.salt])),
        );
        for (a, b) in from.iter_mut().zip(part) {
            *a += b;
        }
    }
    Ok(())
}

impl Sheet {
    /// Part of all salts to add, and litres of water to add, for a meter that reads \[S/m\] something else.
    pub fn correct(&self, reads_25: f64) -> (f64, f64) {
        let own = self.solved.open.ec_25 - self.source.ec_25;
        let off = (self.solved.open.ec_25 - reads_25) / own.max(1e-6);
        if off >= 0.0 { (off, 0.0) } else { (0.0, -off * self.reservoir_litres) }
    }
}
