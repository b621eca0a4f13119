//! Checks of `physics::hydraulics::pump`.

use super::line::{line, line_of_constant_factor};
use super::{Results, flows, lengths};
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::hydraulics::line::{Line, area_of};
use tidewright_physics::hydraulics::pump::{self, Curve};
use tidewright_physics::numerics::root;
use tidewright_physics::quantity::{LITRES_PER_HOUR, Length, VolumeRate, l_h, m, m3_s};

pub(crate) const CHECKS: Checks = &[
    ("operating-point", operating_point),
    ("operating-point-constant-friction", operating_point_constant_factor),
    ("pump-three-point-fit", three_point_fit),
    ("pump-points", points),
    ("affinity", affinity),
    ("reverse-loss", reverse_loss),
    ("submergence", submergence),
];

fn meet(given: &Given<'_>, line: &Line) -> Results {
    let curve = Curve::Power {
        max_head: given.length("max_head")?,
        open_flow: given.flow("open_flow")?,
        shape: given.number("shape")?,
    };
    let (lift, line) = (given.length("lift")?.value, line.si());
    let top = curve.open_flow().value;
    let surplus = |q: f64| curve.head_and_slope(q).0 - lift - line.head_and_slope(q).0;
    // Exactly at open flow the surplus rounds to either side of nil.
    let q = root::bracketed(0.0, top * (1.0 + 1e-9), 1e-14 * top, surplus).ok_or("the pump does not lift so high")?;
    Ok(flows!("flow", m3_s(q)))
}

fn operating_point(given: &Given<'_>) -> Results {
    meet(given, &line(given)?)
}

fn operating_point_constant_factor(given: &Given<'_>) -> Results {
    meet(given, &line_of_constant_factor(given)?)
}

fn three_point_fit(given: &Given<'_>) -> Results {
    let p1 = (given.flow("flow_1")?, given.length("head_1")?);
    let p2 = (given.flow("flow_2")?, given.length("head_2")?);
    let (exponent, open) = pump::three_point_fit(given.length("head_0")?, p1, p2).ok_or("no falling curve")?;
    let mut all = flows!("open_flow", open);
    all.push(("exponent", exponent));
    Ok(all)
}

fn points(given: &Given<'_>) -> Results {
    let (flows, heads) = (given.numbers("flows_l_h")?, given.numbers("heads_m")?);
    let points: Vec<(VolumeRate, Length)> = flows.iter().zip(&heads).map(|(q, h)| (l_h(*q), m(*h))).collect();
    let curve = Curve::through(&points).ok_or("heads do not fall")?;
    let (head, slope) = curve.head_and_slope(given.flow("flow")?.value);
    Ok(vec![("head_m", head), ("slope_m_per_l_h", slope / LITRES_PER_HOUR)])
}

fn affinity(given: &Given<'_>) -> Results {
    let (flow, head) = pump::affinity(given.number("mains_hz")? / given.number("rated_hz")?);
    Ok(vec![("flow_factor", flow), ("head_factor", head)])
}

/// The coefficient, and the head that it takes of a line at the pump's best power point, backwards.
fn reverse_loss(given: &Given<'_>) -> Results {
    let (bore, open_flow) = (given.length("bore")?, given.flow("open_flow")?);
    let loss = pump::reverse_loss(given.length("max_head")?, open_flow, area_of(bore));
    let stopped = Line { bore, length: m(0.0), roughness: m(0.0), loss, viscosity_m2_s: 1e-6 };
    Ok(vec![("loss", loss), ("best_point_head_m", stopped.head(open_flow / 3.0_f64.sqrt()).value)])
}

fn submergence(given: &Given<'_>) -> Results {
    Ok(lengths!("depth", pump::vortex_submergence(given.length("inlet")?, given.flow("flow")?)))
}
