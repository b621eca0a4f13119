//! Salt in the blocks: the bench's day of water, its solution, and weeks of both.

use super::mix::{Sheet, sheet};
use super::system;
use tidewright_physics::chemistry::{Ask as Question, Carbon, Hydrogen, Model, OPEN_AIR_ATM, Solver};
use tidewright_physics::quantity::ThermodynamicTemperature;
use tidewright_rig::Rig;
use tidewright_rig::value::Value;
use tidewright_sim::block::Spread;
use tidewright_sim::drift::Takes;
use tidewright_sim::salt::{Kind, Leach, SaltDay, WaterDay, Weeks, water_day, weeks};
use tidewright_sim::stack::Manner;
use tidewright_sim::{Scenario, run};

/// Part of the strength at which a weaker feed is tried \[-\].
pub const WEAKER: f64 = 0.6;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// Days.
    pub days: u32,
    /// Water poured over the tops at a leach \[m\].
    pub leach_m: f64,
    /// Days between leaches.
    pub every: u32,
}

/// What came of it, for one tray.
#[derive(Clone, Debug, PartialEq)]
pub struct Salted {
    /// Name of the tray.
    pub tray: String,
    /// Reservoir at 25 °C \[mS/cm\].
    pub ec_ms_cm: f64,
    /// Over which strength a crust forms, and of what.
    pub crust: Option<(f64, String)>,
    /// Evaporated from tops and drunk \[mm/d\].
    pub water_mm: (f64, f64),
    /// As it is.
    pub plain: Vec<SaltDay>,
    /// With leaches.
    pub leached: Vec<SaltDay>,
    /// With a weaker feed.
    pub weaker: Vec<SaltDay>,
    /// Worst error of the account.
    pub ledger_error: f64,
}

/// Follows the salt in the blocks of every tray that has some.
///
/// # Errors
/// Where the solution or the water cannot be followed, in words.
pub fn salted(rig: &Rig, ask: &Ask) -> Result<Vec<Salted>, String> {
    let t = rig.site.water_temperature.get();
    let sheet = sheet(&rig.mixing, rig.reservoir.fill.get(), t)?;
    let crust = crust(&sheet, t);
    let kinds = kinds(rig, &sheet);
    // A weaker recipe in the same water, over this one.
    let mut weak = rig.mixing.clone();
    weak.strength = Value::new(WEAKER * weak.strength.get(), weak.strength.birth.clone());
    let weaker_ec = super::mix::sheet(&weak, rig.reservoir.fill.get(), t)?.solved.open.ec_25 / sheet.solved.open.ec_25;
    let day = run(rig, &Scenario::crop_day(rig, Manner::LIKELY));
    if day.blocks_lost.is_some() || day.broke_off {
        return Err("the day's water cannot be followed".into());
    }
    let at_s = rig.growing.on.get() + 4.0 * 3600.0;
    let leach = Leach { at_s: at_s.rem_euclid(80_000.0), depth_m: ask.leach_m };
    let stuck = |_| "the water in the blocks cannot be followed".to_owned();
    let mut all = Vec::new();
    for (i, tray) in rig.trays.iter().enumerate() {
        let Some(plain) = water_day(rig, &day, i, Manner::LIKELY, None).map_err(stuck)? else { continue };
        let Some(poured) = water_day(rig, &day, i, Manner::LIKELY, Some(leach)).map_err(stuck)? else { continue };
        let of = |leach: Option<(&WaterDay, u32)>, feed: f64| {
            weeks(&Weeks {
                day: &plain,
                leach,
                // A leach is poured with what stands in the can: source water.
                poured: sheet.source.ec_25 / sheet.solved.open.ec_25,
                // A weaker feed brings less to take.
                kinds: kinds.iter().map(|k| weaker_fed(*k, feed)).collect(),
                feed,
                spread: Spread::default(),
                days: ask.days,
            })
        };
        let (days, e0) = of(None, 1.0);
        let (leached, e1) = of(Some((&poured, ask.every)), 1.0);
        let (weaker, e2) = of(None, weaker_ec);
        let drunk: f64 = plain.pieces.iter().flat_map(|p| &p.drunk_m).sum();
        let evaporated: f64 = plain.pieces.iter().filter_map(|p| p.face_m.last()).sum();
        all.push(Salted {
            tray: tray.name.clone(),
            ec_ms_cm: 10.0 * sheet.solved.open.ec_25,
            crust: crust.clone(),
            water_mm: (1e3 * evaporated, 1e3 * drunk),
            plain: days,
            leached,
            weaker,
            ledger_error: e0.max(e1).max(e2),
        });
    }
    Ok(all)
}

fn weaker_fed(kind: Kind, feed: f64) -> Kind {
    match kind.takes {
        Takes::Amount(u) => Kind { takes: Takes::Amount(u * feed), ..kind },
        Takes::Share(_) => kind,
    }
}

/// Nutrients and ballast (sodium and chloride), by their share of all charge, and how the crop takes each over what the
/// reservoir holds.
fn kinds(rig: &Rig, sheet: &Sheet) -> Vec<Kind> {
    let system = system();
    let feeding = &rig.mixing.feeding;
    let totals = &sheet.solved.totals;
    let charge = |name: &str| {
        system.component(name).map_or(0.0, |c| {
            // Phosphate as H2PO4.
            let z = if name == "PO4" { 1.0 } else { f64::from(system.charge(c).abs()) };
            z * totals[c]
        })
    };
    const FOOD: [&str; 7] = ["NO3", "NH4", "PO4", "SO4", "K", "Ca", "Mg"];
    let food: f64 = FOOD.iter().map(|c| charge(c)).sum();
    let ballast = charge("Na") + charge("Cl");
    let taken: f64 = FOOD
        .iter()
        .map(|c| {
            let z = match *c {
                "PO4" => 1.0,
                other => system.component(other).map_or(0.0, |i| f64::from(system.charge(i).abs())),
            };
            1e-3 * z * feeding.uptake_of(c)
        })
        .sum();
    let all = (food + ballast).max(1e-12);
    vec![
        // Roots leave behind what is not taken, and at the most take what their water brings: rows of uptake were measured at
        // stronger solutions than many run.
        Kind { weight: food / all, takes: Takes::Amount((taken / food.max(1e-12)).min(1.0)) },
        Kind {
            weight: ballast / all,
            takes: Takes::Share(0.5 * (feeding.sodium.0 / feeding.sodium.1 + feeding.chloride.0 / feeding.chloride.1)),
        },
    ]
}

/// How many times as strong the solution must be for its first white salt to fall out by drying, and which: sulphates, calcite
/// and brushite go before, as scale.
fn crust(sheet: &Sheet, temperature: ThermodynamicTemperature) -> Option<(f64, String)> {
    const WHITE: [&str; 4] = ["gypsum", "syngenite", "arcanite", "epsomite"];
    let system = system();
    let carbon = system.component("CO2");
    let totals = &sheet.solved.totals;
    let mut solver = Solver::new(system, temperature, Model::TruesdellJones, |c| totals[c] != 0.0 || Some(c) == carbon);
    let mut over = |factor: f64| -> Option<(f64, String)> {
        let strong: Vec<f64> = totals.iter().map(|x| factor * x).collect();
        let ask = Question { totals: &strong, hydrogen: Hydrogen::Total, carbon: Carbon::Open(OPEN_AIR_ATM) };
        let answer = solver.solve(&ask).ok()?;
        WHITE
            .iter()
            .filter_map(|w| Some((answer.saturation(system.solid(w)?)?, (*w).to_owned())))
            .max_by(|a, b| a.0.total_cmp(&b.0))
    };
    let (mut low, mut high) = (1.0_f64, 60.0_f64);
    let (si, solid) = over(high)?;
    if si < 0.0 {
        return None;
    }
    let mut found = solid;
    for _ in 0..24 {
        let mid = (low * high).sqrt();
        match over(mid) {
            Some((si, solid)) if si > 0.0 => (high, found) = (mid, solid),
            Some(_) => low = mid,
            None => return None,
        }
    }
    Some((high, found))
}
