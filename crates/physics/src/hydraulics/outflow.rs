//! How long a vessel takes to empty through an opening or a hose, in closed form.

use crate::GRAVITY_M_S2;
use crate::geometry::AreaPolynomial;
use crate::quantity::{Area, Length, Time, s};

/// Time to fall from `from` to `to` through an orifice at the floor (head = depth).
///
/// t = [F(y₁) − F(y₂)]/(C_d a √2g), F = 2c₀ y^½ + ⅔c₁ y^1.5 + ⅖c₂ y^2.5 for A(y) = c₀ + c₁y + c₂y².
/// Source: Torricelli with the area integrated exactly (closed form).
/// Evidence: `evidence/hydraulics/draining.toml`.
pub fn through_orifice(vessel: &AreaPolynomial, opening: Area, c_d: f64, from: Length, to: Length) -> Time {
    let [c0, c1, c2] = vessel.si();
    falling(c0, c1, c2, c_d * opening.value, from.value, to.value)
}

/// Time to fall from `from` to `to` through a full hose that ends `drop` below the floor, with a
/// constant total loss ΣK (f L/D and the exit included) on the hose area.
///
/// The orifice form with y + H in place of y and a/√ΣK in place of C_d a.
/// Evidence: `evidence/hydraulics/draining.toml`.
pub fn through_hose(
    vessel: &AreaPolynomial,
    hose: Area,
    total_loss: f64,
    drop: Length,
    from: Length,
    to: Length,
) -> Time {
    let [c0, c1, c2] = vessel.si();
    let h = drop.value;
    let (d0, d1) = (c0 - c1 * h + c2 * h * h, c1 - 2.0 * c2 * h);
    falling(d0, d1, c2, hose.value / total_loss.sqrt(), from.value + h, to.value + h)
}

fn falling(c0: f64, c1: f64, c2: f64, effective_area: f64, from: f64, to: f64) -> Time {
    let f = |y: f64| y.sqrt() * (2.0 * c0 + y * (c1 * 2.0 / 3.0 + y * c2 * 0.4));
    s((f(from) - f(to)) / (effective_area * (2.0 * GRAVITY_M_S2).sqrt()))
}
