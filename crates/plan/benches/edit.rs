//! What one edit on the page costs before drawing: `cargo bench -p tidewright-plan --features parallel`.

use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, advice, judge};
use tidewright_rig::parts::Library;
use tidewright_rig::read;
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Scenario, run};

fn main() {
    divan::main();
}

fn text(name: &str) -> String {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("example")
}

const BENCHES: [&str; 1] = ["quayside-kitchen"];

#[divan::bench(args = BENCHES)]
fn reading(b: divan::Bencher<'_, '_>, name: &str) {
    let (text, library) = (text(name), Library::shipped());
    b.bench_local(|| read(&text, &library).findings.len());
}

#[divan::bench(args = BENCHES)]
fn survey(b: divan::Bencher<'_, '_>, name: &str) {
    let rig = read(&text(name), &Library::shipped()).rig.expect("sound");
    b.bench_local(|| Survey::of(&rig, QUICK_RUNS).trays.len());
}

#[divan::bench(args = BENCHES)]
fn judging(b: divan::Bencher<'_, '_>, name: &str) {
    let rig = read(&text(name), &Library::shipped()).rig.expect("sound");
    let survey = Survey::of(&rig, QUICK_RUNS);
    b.bench_local(|| judge(&survey).len());
}

#[divan::bench(args = BENCHES)]
fn advising(b: divan::Bencher<'_, '_>, name: &str) {
    let rig = read(&text(name), &Library::shipped()).rig.expect("sound");
    let survey = Survey::of(&rig, QUICK_RUNS);
    b.bench_local(|| advice::fill_lines(&survey).possible);
}

#[divan::bench(args = BENCHES)]
fn timer_day(b: divan::Bencher<'_, '_>, name: &str) {
    let rig = read(&text(name), &Library::shipped()).rig.expect("sound");
    let options = Options { keep: Keep::Events, ..Options::default() };
    let scenario = Scenario { options, ..Scenario::day(&rig) };
    b.bench_local(|| run(&rig, &scenario).days);
}
