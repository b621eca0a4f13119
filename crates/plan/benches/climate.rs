//! How long the coupled day of the demo takes (water, roots, heat, oxygen), a map of light, and an edit of the page on air.

use divan::{Bencher, black_box};
use tidewright_physics::light::lamp::{Lamp, Throw, map};
use tidewright_plan::climate::water;
use tidewright_plan::judge_air;
use tidewright_rig::Rig;
use tidewright_rig::parts::Library;
use tidewright_sim::climate::{End, day};
use tidewright_sim::stack::Manner;
use tidewright_sim::{Scenario, run};

fn main() {
    divan::main();
}

fn demo() -> Rig {
    let text = include_str!("../../../examples/quayside-kitchen.toml");
    tidewright_rig::read(text, &Library::shipped()).rig.expect("the demo reads")
}

/// Water, blocks with their roots, heat, oxygen: one day that repeats itself.
#[divan::bench]
fn coupled_day(b: Bencher) {
    let rig = demo();
    b.bench_local(|| {
        let water = run(&rig, &Scenario::crop_day(&rig, Manner::LIKELY));
        black_box(day(&rig, &water, End::LIKELY, 0.8))
    });
}

/// Heat and oxygen alone, over water that was run before.
#[divan::bench]
fn heat_and_oxygen(b: Bencher) {
    let rig = demo();
    let water = run(&rig, &Scenario::crop_day(&rig, Manner::LIKELY));
    b.bench_local(|| black_box(day(&rig, &water, End::LIKELY, 0.8)));
}

/// 100 × 60 points under ten lamps: bars of 0.9 m, and panels of 0.3 × 0.3 m.
#[divan::bench(args = [(0.9, 0.06), (0.3, 0.3)])]
fn light_map(b: Bencher, size: (f64, f64)) {
    let lamps: Vec<Lamp> = (0..10)
        .map(|i| Lamp {
            at_m: (0.24 * f64::from(i) - 1.1, 0.0),
            height_m: 0.4,
            size_m: size,
            photons_umol_s: 230.0,
            throw: Throw::Cosine(1.0),
        })
        .collect();
    b.bench_local(|| black_box(map(&lamps, (2.4, 1.2), (100, 60), 0.0)));
}

/// What an edit on the page of air computes.
#[divan::bench]
fn page_of_air(b: Bencher) {
    let rig = demo();
    b.bench_local(|| black_box(judge_air(&rig, water(&rig))));
}
