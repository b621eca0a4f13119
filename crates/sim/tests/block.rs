//! Water in a block against published and independent solutions.

use std::sync::Arc;
use tidewright_physics::media::{Exponential, Hydraulic, Porous, Retention};
use tidewright_sim::block::{Around, Base, Column, Exchange, Layer, Roots, Settings, Top};

fn vg(theta_r: f64, theta_s: f64, alpha_per_m: f64, n: f64, ks_m_s: f64) -> Arc<dyn Porous> {
    let retention = Retention { theta_r, theta_s, alpha_per_m, n, second: None };
    Arc::new(Hydraulic { retention, ks_m_s, connection: 0.5 })
}

fn wool() -> Arc<dyn Porous> {
    vg(0.03, 0.95, 8.0, 4.0, 5e-4)
}

fn fibre() -> Arc<dyn Porous> {
    vg(0.03, 0.93, 40.0, 3.0, 1e-2)
}

/// A litre block of 100 mm: flooded to 60 mm for 15 min, then drained with 0.02 L/h drunk evenly.
fn reference(medium: Arc<dyn Porous>, marks_s: &[f64]) -> (Exchange, Vec<(Column, Exchange)>) {
    let mut block = Column::resting(&[Layer::even(medium, 0.1, 100)]);
    let settings = Settings { content: 2e-5, ..Settings::default() };
    let flood = block.advance(900.0, &Around::flooded(0.06, false), &settings).unwrap();
    let roots = Roots {
        demand_m_s: 0.02e-3 / 3600.0 / 0.01,
        shares: vec![0.01; 100],
        stress_m: [0.01, 0.005, -50.0, -100.0],
        makes_up_from: 1.0,
    };
    let around = Around { roots: Some(roots), ..Around::drained() };
    let (mut t, mut sum, mut out) = (0.0, Exchange::default(), Vec::new());
    for mark in marks_s {
        sum += block.advance(mark - t, &around, &settings).unwrap();
        t = *mark;
        out.push((block.clone(), sum));
    }
    (flood, out)
}

#[test]
fn twin_reference_blocks() {
    // An independent SciPy computation (BDF, rtol 1e-8, 1 mm cells, arithmetic face conductivity), checked there
    // by a second formulation. Columns: seconds, top, middle, base content, mean, litres drained.
    let wool_rows = [
        (60.0, 0.7634, 0.9348, 0.9500, 0.9077, 0.04141),
        (600.0, 0.7376, 0.9312, 0.9500, 0.9002, 0.04594),
        (3600.0, 0.6927, 0.9190, 0.9500, 0.8835, 0.04594),
        (21600.0, 0.5075, 0.8184, 0.9448, 0.7835, 0.04594),
    ];
    let fibre_rows = [
        (60.0, 0.1805, 0.3220, 0.9300, 0.4409, 0.39074),
        (600.0, 0.1012, 0.2407, 0.9300, 0.3773, 0.45141),
        (3600.0, 0.0817, 0.2278, 0.9297, 0.3587, 0.45332),
        (21600.0, 0.0669, 0.1637, 0.8416, 0.2587, 0.45332),
    ];
    for (medium, taken, rows) in [(wool(), 0.04696, wool_rows), (fibre(), 0.46063, fibre_rows)] {
        let marks: Vec<f64> = rows.iter().map(|r| r.0).collect();
        let (flood, after) = reference(medium, &marks);
        let litres = |m: f64| m * 0.01 * 1e3;
        assert!((litres(flood.total_m()) / taken - 1.0).abs() < 2e-3, "{flood:?}");
        for ((t, top, middle, base, mean, drained), (block, sum)) in rows.iter().zip(&after) {
            let c = block.contents();
            let mid = 0.5 * (c[49] + c[50]);
            assert!((block.mean_content() - mean).abs() < 1e-3, "{t}: mean {}", block.mean_content());
            assert!(
                (c[99] - top).abs() < 5e-3 && (c[0] - base).abs() < 5e-3 && (mid - middle).abs() < 5e-3,
                "{t}: {} {mid} {}",
                c[99],
                c[0]
            );
            assert!((litres(-sum.base_m) / drained - 1.0).abs() < 5e-3, "{t}: drained {}", litres(-sum.base_m));
        }
    }
}

#[test]
fn law_water_is_conserved_with_floods_roots_and_stacking() {
    let mut block = Column::resting(&[
        Layer::graded(wool(), 0.075, 40, 1.05),
        Layer::graded(vg(0.1, 0.92, 20.0, 1.6, 5e-4), 0.1, 50, 1.05),
    ]);
    let n = block.heights_m().len();
    let roots = Roots {
        demand_m_s: 1e-6,
        shares: vec![1.0 / n as f64; n],
        stress_m: [-0.01, -0.05, -0.5, -1.0],
        makes_up_from: 1.0,
    };
    let start = block.water_m();
    let mut sum = Exchange::default();
    for hour in 0..24 {
        let wrapped = hour % 2 == 0;
        sum += block.advance(900.0, &Around::flooded(0.06, wrapped), &Settings::default()).unwrap();
        let lit = Around { roots: Some(roots.clone()), top: Top::Evaporating(2e-8), ..Around::drained() };
        sum += block.advance(2700.0, &lit, &Settings::default()).unwrap();
    }
    let error = (block.water_m() - start - sum.total_m()) / start;
    assert!(error.abs() < 1e-9, "{error:e} {sum:?}");
    assert!(sum.roots_m < 0.0 && sum.base_m != 0.0 && sum.sides_m > 0.0);
}

#[test]
fn law_equilibrium_stays_and_a_taller_block_is_never_wetter_at_its_top() {
    let mut tops = Vec::new();
    for height in [0.05, 0.1, 0.15, 0.3] {
        let mut block = Column::resting(&[Layer::even(fibre(), height, 60)]);
        let before = block.contents().to_vec();
        let moved = block.advance(86_400.0, &Around::drained(), &Settings::default()).unwrap();
        assert!(moved.total_m().abs() < 1e-7, "{moved:?}");
        assert!(block.contents().iter().zip(&before).all(|(a, b)| (a - b).abs() < 1e-4));
        tops.push(block.contents()[59]);
    }
    assert!(tops.windows(2).all(|w| w[1] <= w[0]), "{tops:?}");
}

/// Steady seepage down to a water table, then nine times the flow from above: a smooth course.
fn smooth(cells: usize) -> (Column, Around) {
    let medium = Exponential { theta_r: 0.06, theta_s: 0.4, alpha_per_m: 10.0, ks_m_s: 1.0 / 3.6e5 };
    let q = 0.1 / 3.6e5 / medium.ks_m_s;
    let column = Column::resting(&[Layer::even(Arc::new(medium), 1.0, cells)])
        .with_heads(|z| (q - (q - 1.0) * (-10.0 * z).exp()).ln() / 10.0);
    let top = Top::Evaporating(-0.9 / 3.6e5);
    (column, Around { base: Base::Head(0.0), beside: None, top, roots: None })
}

fn order(values: [f64; 3]) -> f64 {
    ((values[0] - values[1]) / (values[1] - values[2])).abs().log2()
}

#[test]
fn law_second_order_in_space_and_time() {
    let space = [50, 100, 200].map(|cells| {
        let (mut c, around) = smooth(cells);
        c.advance(36_000.0, &around, &Settings { content: 1e-7, longest_s: 600.0, first_s: 0.02 }).unwrap();
        c.water_m()
    });
    assert!((order(space) - 2.0).abs() < 0.3, "in space {} {space:?}", order(space));
    let (mut begun, around) = smooth(100);
    begun.advance(18_000.0, &around, &Settings { content: 1e-8, longest_s: 60.0, first_s: 0.02 }).unwrap();
    let time = [1800.0, 900.0, 450.0].map(|longest_s| {
        let mut c = begun.clone();
        c.advance(18_000.0, &around, &Settings { content: 1.0, longest_s, first_s: 0.02 }).unwrap();
        c.water_m()
    });
    assert!((order(time) - 2.0).abs() < 0.4, "in time {} {time:?}", order(time));
}
