//! How long runs take. `cargo bench -p tidewright-sim`.

use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Knobs, Scenario, run};

fn main() {
    divan::main();
}

fn bench(name: &str) -> Rig {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("example");
    read(&text, &Library::shipped()).rig.expect("sound")
}

#[divan::bench]
fn one_cycle_rtol_1e6(b: divan::Bencher<'_, '_>) {
    let rig = bench("quayside-kitchen");
    let scenario =
        Scenario { options: Options { keep: Keep::Events, ..Options::default() }, ..Scenario::one_flood(&rig) };
    b.bench_local(|| run(&rig, &scenario).evaluations);
}

#[divan::bench]
fn one_cycle_textbook(b: divan::Bencher<'_, '_>) {
    let rig = bench("quayside-kitchen");
    let options = Options { keep: Keep::Events, hose_holdup: false, lip_control: false, ..Options::default() };
    let scenario = Scenario { options, knobs: Knobs::textbook(&rig, 20.0), ..Scenario::one_flood(&rig) };
    b.bench_local(|| run(&rig, &scenario).evaluations);
}

#[divan::bench]
fn one_cycle_with_its_course(b: divan::Bencher<'_, '_>) {
    let rig = bench("quayside-kitchen");
    let scenario = Scenario::one_flood(&rig);
    b.bench_local(|| run(&rig, &scenario).course.len());
}

#[divan::bench]
fn band_of_512(b: divan::Bencher<'_, '_>) {
    let rig = bench("quayside-kitchen");
    b.bench_local(|| tidewright_sim::band::bands(&rig, 0, 512, &[]).effective_runs);
}
