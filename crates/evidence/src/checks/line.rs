//! Checks of `physics::hydraulics::line`.

use super::{Results, flows, lengths};
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::GRAVITY_M_S2;
use tidewright_physics::hydraulics::friction;
use tidewright_physics::hydraulics::line::{Line, area_of};
use tidewright_physics::quantity::{INCH_M, VolumeRate, m, m3_s};

pub(crate) const CHECKS: Checks = &[
    ("line-loss", loss),
    ("line-colebrook", loss_by_colebrook),
    ("line-constant-friction", loss_by_constant_factor),
    ("line-pressure", pressure),
    ("line-flow", flow),
    ("back-drain", back_drain),
];

/// Pound \[kg\], exact. Source: NIST Handbook 44, appendix C.
const POUND_KG: f64 = 0.453_592_37;

/// The line that a case describes.
pub(crate) fn line(given: &Given<'_>) -> Result<Line, String> {
    Ok(Line {
        bore: given.length("bore")?,
        length: given.length("length")?,
        roughness: given.length("roughness")?,
        loss: given.number("loss")?,
        viscosity_m2_s: given.number("kinematic_viscosity_m2_s")?,
    })
}

/// A line whose friction factor is given: its friction stands as one more loss.
pub(crate) fn line_of_constant_factor(given: &Given<'_>) -> Result<Line, String> {
    let bore = given.length("bore")?;
    let friction = given.number("friction_factor")? * (given.length("length")? / bore).value;
    let loss = given.number("loss")? + friction;
    Ok(Line { bore, length: m(0.0), roughness: m(0.0), loss, viscosity_m2_s: 1e-6 })
}

fn describe(line: &Line, flow: VolumeRate, factor: f64) -> Vec<(&'static str, f64)> {
    let velocity = line.velocity(flow).value;
    let mut all = lengths!("head", line.head(flow));
    all.extend([
        ("velocity_m_s", velocity),
        ("velocity_ft_s", velocity / (12.0 * INCH_M)),
        ("reynolds", line.reynolds(flow)),
        ("friction_factor", factor),
    ]);
    all
}

fn loss(given: &Given<'_>) -> Results {
    let (line, flow) = (line(given)?, given.flow("flow")?);
    let factor = friction::churchill(line.reynolds(flow).abs(), (line.roughness / line.bore).value);
    Ok(describe(&line, flow, factor))
}

fn loss_by_colebrook(given: &Given<'_>) -> Results {
    let (mut line, flow) = (line(given)?, given.flow("flow")?);
    let factor = friction::colebrook(line.reynolds(flow).abs(), (line.roughness / line.bore).value);
    line.loss += factor * (line.length / line.bore).value;
    line.length = m(0.0);
    Ok(describe(&line, flow, factor))
}

fn loss_by_constant_factor(given: &Given<'_>) -> Results {
    let line = line_of_constant_factor(given)?;
    Ok(lengths!("head", line.head(m3_s(given.number("velocity_m_s")? * area_of(line.bore).value))))
}

fn pressure(given: &Given<'_>) -> Results {
    let flow = given.flow("flow")?;
    let pascal = line(given)?.head(flow).value * given.number("density_kg_m3")? * GRAVITY_M_S2;
    let psi = POUND_KG * GRAVITY_M_S2 / (INCH_M * INCH_M);
    Ok(vec![("pressure_kpa", pascal / 1e3), ("pressure_psi", pascal / psi), ("power_kw", pascal * flow.value / 1e3)])
}

fn flow(given: &Given<'_>) -> Results {
    Ok(flows!("flow", line(given)?.flow(given.length("head")?)))
}

/// Water that runs back through the hose and the stopped pump, driven by the difference of levels.
fn back_drain(given: &Given<'_>) -> Results {
    let through = line(given)?.si().with_more_loss(given.number("pump_loss")?);
    Ok(flows!("flow", m3_s(through.flow_at(given.length("head")?.value, 0.0))))
}
