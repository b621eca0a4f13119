//! How long a speciation, a recipe, the weeks of a reservoir and an edit of the solution's page take.

use divan::{Bencher, black_box};
use tidewright_physics::chemistry::{Ask, Carbon, Hydrogen, Model, Solver};
use tidewright_physics::quantity::celsius;
use tidewright_plan::judge_solution;
use tidewright_plan::solution::mix::sheet;
use tidewright_plan::solution::outlook::{litres_a_day, outlook, weeks};
use tidewright_plan::solution::recipe::{Wanted, solve};
use tidewright_plan::solution::{acid, crust, system};
use tidewright_rig::Rig;
use tidewright_rig::parts::Library;
use tidewright_rig::solution::{Salt, totals};
use tidewright_sim::drift::drift;

fn main() {
    divan::main();
}

fn demo() -> Rig {
    let text = include_str!("../../../examples/quayside-kitchen.toml");
    tidewright_rig::read(text, &Library::shipped()).rig.expect("the demo reads")
}

fn hoagland(full: bool) -> Vec<f64> {
    let macros = [("NO3", 15e-3), ("PO4", 1e-3), ("H", 2e-3), ("SO4", 2e-3), ("K", 6e-3), ("Ca", 5e-3), ("Mg", 2e-3)];
    let trace = [
        ("B", 46e-6),
        ("Cl", 18e-6),
        ("Mn", 9e-6),
        ("Zn", 8e-7),
        ("Cu", 3e-7),
        ("MoO4", 1e-7),
        ("H", 2e-7),
        ("SO4", 1.1e-6),
        ("Fe", 5e-5),
        ("EDTA", 5e-5),
        ("Na", 5e-5),
    ];
    totals(system(), macros.into_iter().chain(trace.into_iter().filter(|_| full)))
}

fn speciate(b: Bencher<'_, '_>, full: bool) {
    let all = hoagland(full);
    let mut solver = Solver::new(system(), celsius(20.0), Model::TruesdellJones, |c| all[c] > 0.0);
    let ask = Ask { totals: &all, hydrogen: Hydrogen::Total, carbon: Carbon::Closed };
    b.bench_local(|| solver.solve(black_box(&ask)).map(|a| a.ph()));
}

#[divan::bench]
fn speciation_of_macro_ions(b: Bencher<'_, '_>) {
    speciate(b, false);
}

#[divan::bench]
fn speciation_with_micronutrients_and_chelate(b: Bencher<'_, '_>) {
    speciate(b, true);
}

#[divan::bench]
fn recipe_with_fourteen_salts(b: Bencher<'_, '_>) {
    let library = Library::shipped();
    let recipe = library.recipes().iter().find(|r| r.id == "leafy-greens").expect("shipped");
    let water = library.waters().iter().find(|w| w.id == "hard-tap").expect("shipped");
    let source = acid::source(water, celsius(20.0)).expect("converges");
    let mut shelf: Vec<Salt> = library.salts().iter().filter(|s| s.usual).cloned().collect();
    shelf.truncate(13);
    shelf.extend(library.salts().iter().filter(|s| s.id == "nitric-acid").cloned());
    let wanted = Wanted {
        recipe,
        strength: 1.0,
        water: &source.totals,
        shelf: &shelf,
        ph: Some(5.8),
        ammonium: 0.15,
        cheaper: 0.0,
        temperature: celsius(20.0),
    };
    b.bench_local(|| solve(black_box(&wanted)).map(|s| s.miss));
}

#[divan::bench(sample_count = 20)]
fn ninety_days_of_drift_by_the_hour(b: Bencher<'_, '_>) {
    let rig = demo();
    let made = sheet(&rig.mixing, rig.reservoir.fill.get(), rig.site.water_temperature.get()).expect("a sheet");
    let ask = weeks(&rig, &made, litres_a_day(&rig), 90, 24).expect("a question");
    b.bench_local(|| drift(black_box(&ask)).map(|d| d.looks.len()));
}

#[divan::bench(sample_count = 20)]
fn edit_of_the_solution(b: Bencher<'_, '_>) {
    let rig = demo();
    b.bench_local(|| judge_solution(black_box(&rig), outlook(&rig)).0.len());
}

#[divan::bench(sample_count = 5)]
fn six_weeks_of_salt_three_ways(b: Bencher<'_, '_>) {
    let rig = demo();
    let ask = crust::Ask { days: 42, leach_m: 0.03, every: 14 };
    b.bench_local(|| crust::salted(black_box(&rig), &ask).map(|s| s.len()));
}
