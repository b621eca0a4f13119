//! A crop of sixty days with growth on twelve equal blocks. `cargo bench -p tidewright-sim --bench season`.

use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::season::season;
use tidewright_sim::stack::Manner;

fn main() {
    divan::main();
}

fn kitchen() -> Rig {
    let text = include_str!("../../../examples/quayside-kitchen.toml");
    read(text, &Library::shipped()).rig.expect("sound")
}

#[divan::bench(args = [15, 30, 60])]
fn days(b: divan::Bencher<'_, '_>, days: u32) {
    let rig = kitchen();
    b.bench_local(|| season(days, Manner::LIKELY, |day| rig.clone().on_day(day)).map_or(0, |s| s.len()));
}
