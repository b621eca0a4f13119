//! Laws of dissolved salts on random solutions, ordinary and beyond all measure: there is an answer, mass and charge are kept,
//! what has fallen out is at saturation, acid never raises the pH, and the order of mixing does not matter.

use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use tidewright_physics::chemistry::{Ask, Carbon, Hydrogen, Model, Solver, System};
use tidewright_physics::quantity::celsius;
use tidewright_rig::chemistry::shipped;

/// A thousand in an ordinary test run; `TIDEWRIGHT_SOLUTION_SEEDS` for more.
fn count() -> u64 {
    std::env::var("TIDEWRIGHT_SOLUTION_SEEDS").ok().and_then(|n| n.parse().ok()).unwrap_or(1000)
}

/// Totals with neutral charge: ordinary ones are nutrient solutions, hostile ones anything up to 2 mol/kg.
fn totals(system: &System, lot: &mut StdRng, hostile: bool) -> Vec<f64> {
    let mut all: Vec<f64> = system
        .components
        .iter()
        .map(|c| {
            let (low, high): (f64, f64) = match (hostile, c.name.as_str()) {
                (true, _) => (1e-9, 2.0),
                (false, "Fe" | "Mn" | "Zn" | "Cu" | "B" | "MoO4" | "EDTA" | "DTPA" | "EDDHA") => (1e-7, 1e-4),
                (false, _) => (1e-4, 2e-2),
            };
            if lot.random_bool(0.6) { (lot.random_range(low.ln()..high.ln())).exp() } else { 0.0 }
        })
        .collect();
    all[System::H] = 0.0;
    let charge = system.charge_of(&all);
    // Protons within what the rest can hold, then chloride or sodium.
    all[System::H] = -charge * lot.random_range(0.0..1.0) + lot.random_range(-1e-3..1e-3);
    let left = system.charge_of(&all);
    let by = system.component(if left > 0.0 { "Cl" } else { "Na" }).unwrap();
    all[by] += left.abs();
    all
}

fn carbon(lot: &mut StdRng) -> Carbon {
    if lot.random_bool(0.5) { Carbon::Closed } else { Carbon::Open(10f64.powf(lot.random_range(-4.0..-2.0))) }
}

#[test]
fn law_random_solutions_are_solved_and_kept() {
    let system = shipped();
    let mut faults = Vec::new();
    for seed in 0..count() {
        let mut lot = StdRng::seed_from_u64(seed);
        let hostile = seed % 2 == 1;
        let all = totals(system, &mut lot, hostile);
        let model = if seed % 4 < 2 { Model::TruesdellJones } else { Model::Davies };
        let carbon = carbon(&mut lot);
        let t = celsius(lot.random_range(1.0..40.0));
        let co2 = system.component("CO2").unwrap();
        let mut solver = Solver::new(system, t, model, |c| all[c] > 0.0 || c == co2);
        let ask = Ask { totals: &all, hydrogen: Hydrogen::Total, carbon };
        match solver.solve(&ask) {
            Err(e) => faults.push(format!("seed {seed} (hostile {hostile}): {e}")),
            Ok(answer) => {
                let mut worst = 0.0_f64;
                let mut charge = (0.0, 0.0);
                let (mut found, mut bound) = (vec![0.0; all.len()], vec![1e-30; all.len()]);
                for (s, m) in answer.molalities() {
                    let species = &system.species[s];
                    charge.0 += f64::from(species.charge) * m;
                    charge.1 += f64::from(species.charge.abs()) * m;
                    for &(c, n) in &species.of {
                        found[c] += n * m;
                        bound[c] += (n * m).abs();
                    }
                }
                for c in 0..all.len() {
                    // Carbon that the air gives is no total; what is not there is carried as 1e-20.
                    if (matches!(carbon, Carbon::Open(_)) && c == co2) || (c != System::H && all[c] == 0.0) {
                        continue;
                    }
                    worst = worst.max((found[c] - all[c]).abs() / bound[c].max(1e-12));
                }
                let neutral = charge.0.abs() / charge.1.max(1e-18);
                if worst > 1e-12 || neutral > 1e-12 {
                    faults.push(format!("seed {seed}: mass {worst:e}, charge {neutral:e}"));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{} of {}:\n{}", faults.len(), count(), faults.join("\n"));
}

#[test]
fn law_what_falls_out_is_at_saturation_and_kept() {
    let system = shipped();
    let mut faults = Vec::new();
    let solids: Vec<usize> = (0..system.solids.len()).filter(|&s| !system.solids[s].quiet).collect();
    let (mut fell, mut several) = (0, 0);
    for seed in 0..count() / 2 {
        let mut lot = StdRng::seed_from_u64(1_000_000 + seed);
        let all = totals(system, &mut lot, false);
        let carbon = carbon(&mut lot);
        let co2 = system.component("CO2").unwrap();
        let mut solver = Solver::new(system, celsius(20.0), Model::TruesdellJones, |c| all[c] > 0.0 || c == co2);
        match solver.settle(&Ask { totals: &all, hydrogen: Hydrogen::Total, carbon }, &solids) {
            Err(e) => faults.push(format!("seed {seed}: {e}")),
            Ok(answer) => {
                fell += usize::from(!answer.precipitated().is_empty());
                several += usize::from(answer.precipitated().len() > 1);
                for &s in &solids {
                    let Some(si) = answer.saturation(s) else { continue };
                    let here = answer.precipitated().iter().find(|p| p.0 == s);
                    let fair = match here {
                        Some((_, n)) => *n >= 0.0 && si.abs() < 1e-9,
                        None => si < 1e-6,
                    };
                    if !fair {
                        faults.push(format!("seed {seed}: {} SI {si:e} amount {here:?}", system.solids[s].name));
                    }
                }
                for c in (0..all.len()).filter(|&c| !(matches!(carbon, Carbon::Open(_)) && c == co2)) {
                    let solid: f64 = answer
                        .precipitated()
                        .iter()
                        .flat_map(|&(s, n)| system.solids[s].of.iter().filter(move |p| p.0 == c).map(move |p| p.1 * n))
                        .sum();
                    let bound: f64 = answer
                        .molalities()
                        .flat_map(|(s, m)| {
                            system.species[s].of.iter().filter(move |p| p.0 == c).map(move |p| (p.1 * m).abs())
                        })
                        .sum();
                    let off = (answer.dissolved(c) + solid - all[c]).abs() / (bound + solid.abs()).max(1e-12);
                    if off > 2e-12 && all[c] != 0.0 {
                        faults.push(format!("seed {seed}: {} is off by {off:e}", system.components[c].name));
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}:\n{}", faults.len(), faults.join("\n"));
    assert!(fell > 20 && several > 5, "{fell} fell out, {several} with several solids");
}

#[test]
fn law_acid_never_raises_the_ph() {
    let system = shipped();
    for seed in 0..count() / 5 {
        let mut lot = StdRng::seed_from_u64(2_000_000 + seed);
        let all = totals(system, &mut lot, false);
        let cl = system.component("Cl").unwrap();
        let co2 = system.component("CO2").unwrap();
        let carbon = carbon(&mut lot);
        let mut solver =
            Solver::new(system, celsius(20.0), Model::TruesdellJones, |c| all[c] > 0.0 || c == co2 || c == cl);
        let mut last = f64::INFINITY;
        for k in 0..20 {
            let mut now = all.clone();
            now[System::H] += 3e-4 * f64::from(k);
            now[cl] += 3e-4 * f64::from(k);
            let ph = solver.solve(&Ask { totals: &now, hydrogen: Hydrogen::Total, carbon }).unwrap().ph();
            assert!(ph < last, "seed {seed} step {k}: {ph} after {last}");
            last = ph;
        }
    }
}
