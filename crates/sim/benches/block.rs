//! How long water in a block takes to follow. `cargo bench -p tidewright-sim --bench block`.

use std::sync::Arc;
use tidewright_physics::media::{Hydraulic, Retention, Tabulated};
use tidewright_sim::block::{Around, Column, Layer, Roots, Settings};

fn main() {
    divan::main();
}

fn medium(name: &str) -> Hydraulic {
    let (theta_s, alpha_per_m, n, ks_m_s) =
        if name == "fibre" { (0.93, 40.0, 3.0, 1e-2) } else { (0.95, 8.0, 4.0, 5e-4) };
    Hydraulic { retention: Retention { theta_r: 0.03, theta_s, alpha_per_m, n, second: None }, ks_m_s, connection: 0.5 }
}

/// One block of 100 cells, a day with six floods of 15 min, as exact as the tool follows blocks.
#[divan::bench(args = ["stone-wool", "fibre"])]
fn day_of_six_floods(b: divan::Bencher<'_, '_>, name: &str) {
    let resting = Column::resting(&[Layer::even(Arc::new(Tabulated::of(Arc::new(medium(name)))), 0.1, 100)]);
    let roots =
        Roots { demand_m_s: 5.6e-7, shares: vec![0.01; 100], stress_m: [2.0, 1.0, -0.5, -1.0], makes_up_from: 1.0 };
    let drained = Around { roots: Some(roots.clone()), ..Around::drained() };
    let flooded = Around { roots: Some(roots), ..Around::flooded(0.06, false) };
    let settings = Settings { content: 2e-3, ..Settings::default() };
    b.bench_local(|| {
        let mut block = resting.clone();
        (0..6)
            .map(|_| {
                let wet = block.advance(900.0, &flooded, &settings).map_or(0, |e| e.steps);
                wet + block.advance(13_500.0, &drained, &settings).map_or(0, |e| e.steps)
            })
            .sum::<u32>()
    });
}
