//! Checks of `sim::block`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use std::sync::Arc;
use tidewright_physics::media::{Exponential, Hydraulic, Porous, Rational, Retention};
use tidewright_sim::block::{Around, Base, Beside, Column, Entry, Exchange, Layer, Roots, Settings, Top};

pub(crate) const CHECKS: Checks = &[
    ("column", column),
    ("block-course", block_course),
    ("block-case", block_case),
    ("side-entry", side_entry),
    ("root-stress", stress),
];

const CM: f64 = 0.01;
const CM_H: f64 = CM / 3600.0;
/// Tight, so that the grid alone makes the difference.
const EXACT: Settings = Settings { content: 1e-5, longest_s: 600.0, first_s: 0.02 };

fn van_genuchten(given: &Given<'_>) -> Result<Hydraulic, String> {
    let retention = Retention {
        theta_r: given.number("theta_r")?,
        theta_s: given.number("theta_s")?,
        alpha_per_m: given.number("alpha_per_m")?,
        n: given.number("n")?,
        second: None,
    };
    Ok(Hydraulic { retention, ks_m_s: given.number("ks_m_s")?, connection: 0.5 })
}

/// The medium, and the head \[m\] at which it conducts a share of Ks where that is asked for.
fn medium(given: &Given<'_>) -> Result<Arc<dyn Porous>, String> {
    Ok(match given.text("form")? {
        "van-genuchten" => Arc::new(van_genuchten(given)?),
        "exponential" => Arc::new(exponential(given)?),
        "rational" => Arc::new(Rational {
            theta_r: given.number("theta_r")?,
            theta_s: given.number("theta_s")?,
            a: given.number("a")?,
            beta: given.number("beta")?,
            ks_m_s: given.number("ks_m_s")?,
            big_a: given.number("big_a")?,
            gamma: given.number("gamma")?,
        }),
        other => return Err(format!("no form is called `{other}`")),
    })
}

fn exponential(given: &Given<'_>) -> Result<Exponential, String> {
    Ok(Exponential {
        theta_r: given.number("theta_r")?,
        theta_s: given.number("theta_s")?,
        alpha_per_m: given.number("alpha_per_m")?,
        ks_m_s: given.number("ks_m_s")?,
    })
}

/// A column with given ends for a time: what it gained, and its state at a depth or where its front stands.
fn column(given: &Given<'_>) -> Results {
    let porous = medium(given)?;
    let height = given.number("height_cm")? * CM;
    let cells = given.number("cells")? as usize;
    let resting = Column::resting(&[Layer::even(porous, height, cells)]);
    let mut column = match given.number_if("start_flow_cm_h")? {
        None => {
            let start = given.number("start_head_cm")? * CM;
            resting.with_heads(|_| start)
        }
        // Steady flow q down to a water table: K/Ks = q/Ks − (q/Ks − 1) e^(−αz).
        Some(flow) => {
            let e = exponential(given)?;
            let q = flow * CM_H / e.ks_m_s;
            resting.with_heads(|z| (q - (q - 1.0) * (-e.alpha_per_m * z).exp()).ln() / e.alpha_per_m)
        }
    };
    let top = match given.number_if("top_flow_cm_h")? {
        Some(flow) => Top::Evaporating(-flow * CM_H),
        None => Top::Head(given.number("top_head_cm")? * CM),
    };
    let around = Around { base: Base::Head(given.number("base_head_cm")? * CM), beside: None, top, roots: None };
    let before = column.water_m();
    let moved = column
        .advance(given.number("time_h")? * 3600.0, &around, &EXACT)
        .map_err(|s| format!("stuck after {} s", s.after_s))?;
    let gained = column.water_m() - before;
    let mut out = vec![("gained_cm", gained / CM), ("unaccounted_cm", (gained - moved.total_m()) / CM)];
    if let Some(depth) = given.number_if("depth_cm")? {
        let at = |v: &[f64]| between(column.heights_m(), v, height - depth * CM);
        out.push(("head_cm", at(column.heads_m()) / CM));
        out.push(("content", at(column.contents())));
    }
    if let Some(content) = given.number_if("front_content")? {
        let (z, c) = (column.heights_m(), column.contents());
        let i = c.windows(2).rposition(|w| w[0] < content && w[1] >= content).ok_or("there is no front")?;
        let x = (content - c[i]) / (c[i + 1] - c[i]);
        out.push(("front_cm", (height - z[i] - x * (z[i + 1] - z[i])) / CM));
    }
    Ok(out)
}

/// A value between the middles of cells.
fn between(z: &[f64], v: &[f64], at: f64) -> f64 {
    let i = z.partition_point(|x| *x <= at).clamp(1, z.len() - 1);
    v[i - 1] + (at - z[i - 1]) / (z[i] - z[i - 1]) * (v[i] - v[i - 1])
}

/// A litre block of 100 mm, flooded to 60 mm for 15 min, then drained and drunk from.
fn block_course(given: &Given<'_>) -> Results {
    const PLAN_M2: f64 = 0.01;
    let stuck = |s: tidewright_sim::block::Stuck| format!("stuck after {} s", s.after_s);
    let porous: Arc<dyn Porous> = Arc::new(van_genuchten(given)?);
    let mut block = Column::resting(&[Layer::even(porous, 0.1, 100)]);
    let flood = block.advance(900.0, &Around::flooded(0.06, false), &Settings::default()).map_err(stuck)?;
    let roots = Roots {
        demand_m_s: 0.02e-3 / 3600.0 / PLAN_M2,
        shares: vec![0.01; 100],
        stress_m: [0.01, 0.005, -50.0, -100.0],
        makes_up_from: 1.0,
    };
    let around = Around { roots: Some(roots), ..Around::drained() };
    let mut sum = Exchange::default();
    sum += block.advance(given.number("after_s")?, &around, &Settings::default()).map_err(stuck)?;
    let c = block.contents();
    Ok(vec![
        ("taken_l", flood.total_m() * PLAN_M2 * 1e3),
        ("drained_l", -sum.base_m * PLAN_M2 * 1e3),
        ("mean", block.mean_content()),
        ("top", c[99]),
        ("middle", 0.5 * (c[49] + c[50])),
        ("base", c[0]),
    ])
}

/// One of the representative sets of `evidence/twin/block_twin.py`.
fn representative(name: &str) -> Result<Arc<dyn Porous>, String> {
    let (theta_r, theta_s, alpha_per_m, n, ks_m_s) = match name {
        "wool" => (0.03, 0.95, 8.0, 4.0, 5e-4),
        "coir" => (0.10, 0.92, 20.0, 1.6, 5e-4),
        "fibre" => (0.03, 0.93, 40.0, 3.0, 1e-2),
        other => return Err(format!("no medium is called `{other}`")),
    };
    let retention = Retention { theta_r, theta_s, alpha_per_m, n, second: None };
    Ok(Arc::new(Hydraulic { retention, ks_m_s, connection: 0.5 }))
}

/// One or two layers in cells of 1 mm, for a time in one set of surroundings.
fn block_case(given: &Given<'_>) -> Results {
    const MM: f64 = 1e-3;
    const MM_H: f64 = MM / 3600.0;
    let lower = given.number("lower_mm")?;
    let mut layers = vec![Layer::even(representative(given.text("lower")?)?, lower * MM, lower as usize)];
    let upper = given.number_if("upper_mm")?;
    if let Some(upper) = upper {
        layers.push(Layer::even(representative(given.text("upper")?)?, upper * MM, upper as usize));
    }
    let mut block = Column::resting(&layers);
    if let Some(head) = given.number_if("start_head_mm")? {
        block = block.with_heads(|_| head * MM);
    }
    let base = match given.text("base")? {
        "seeping" => Base::Seeping,
        "standing" => Base::Standing(given.number("level_mm")? * MM),
        other => return Err(format!("no base is called `{other}`")),
    };
    let cells = block.heights_m().len();
    let roots = given.number_if("roots_mm_h")?.map(|demand| Roots {
        demand_m_s: demand * MM_H,
        shares: vec![1.0 / cells as f64; cells],
        stress_m: [2.0, 1.0, -50.0, -100.0],
        makes_up_from: 1.0,
    });
    let top = Top::Evaporating(given.number_if("evaporation_mm_h")?.unwrap_or(0.0) * MM_H);
    let around = Around { base, beside: None, top, roots };
    let moved =
        block.advance(given.number("time_s")?, &around, &EXACT).map_err(|s| format!("stuck after {} s", s.after_s))?;
    let c = block.contents();
    let mean = |c: &[f64]| c.iter().sum::<f64>() / c.len() as f64;
    let (below, above) = c.split_at(lower as usize);
    let mut out = vec![
        ("through_base_mm", moved.base_m / MM),
        ("lower_mean", mean(below)),
        ("top", c.last().copied().unwrap_or(f64::NAN)),
    ];
    if upper.is_some() {
        out.push(("upper_mean", mean(above)));
    }
    Ok(out)
}

/// A block of 100 mm, open on two sides, in a flood of 60 mm.
fn side_entry(given: &Given<'_>) -> Results {
    const FLOOD_M: f64 = 0.06;
    let mut block = Column::resting(&[Layer::even(medium(given)?, 0.1, 100)]);
    if let Some(head) = given.number_if("start_head_mm")? {
        block = block.with_heads(|_| head * 1e-3);
    }
    let entry = Entry::of_block(0.1, f64::INFINITY);
    let beside = Some(Beside { level_m: FLOOD_M, entry });
    let around = Around { base: Base::Standing(FLOOD_M), beside, ..Around::drained() };
    block.advance(given.number("time_s")?, &around, &EXACT).map_err(|s| format!("stuck after {} s", s.after_s))?;
    Ok(vec![("mean", block.mean_content())])
}

fn stress(given: &Given<'_>) -> Results {
    let stress_m = [given.number("h1_m")?, given.number("h2_m")?, given.number("h3_m")?, given.number("h4_m")?];
    let roots = Roots { demand_m_s: 1.0, shares: vec![1.0], stress_m, makes_up_from: 1.0 };
    Ok(vec![("share", roots.stress(given.number("head_m")?).0)])
}
