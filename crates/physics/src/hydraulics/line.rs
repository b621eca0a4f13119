//! A run of hose or pipe with its fittings: head lost at a flow, flow at a head.

use super::friction::churchill_with_slope;
use crate::GRAVITY_M_S2;
use crate::numerics::root;
use crate::quantity::{Area, Length, Velocity, VolumeRate};

/// Newton steps shorter than this share of the flow end a search: what remains is its square.
pub const ROOT_STEP: f64 = 1e-5;

/// One bore, one length, and the sum of the fittings' loss coefficients on that bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Inside diameter D.
    pub bore: Length,
    /// Length L along the axis.
    pub length: Length,
    /// Wall roughness ε.
    pub roughness: Length,
    /// ΣK \[-\] on the velocity head in `bore`, entrance and exit included where they exist.
    pub loss: f64,
    /// Kinematic viscosity ν \[m²/s\] of the water in it.
    pub viscosity_m2_s: f64,
}

/// Head h = (f L/D + ΣK) V²/2g \[m\] and its slope dh/dQ \[s/m²\], both odd in Q.
///
/// Source: Darcy–Weisbach, as in White, *Fluid Mechanics*, ch. 6 (cited from memory), with f of
/// Churchill 1977.
/// Evidence: `evidence/hydraulics/line-gradient.toml`, `evidence/hydraulics/line-textbook.toml`.
pub(crate) fn head_and_slope(line: &LineSi, flow: f64) -> (f64, f64) {
    let v = flow.abs() / line.area;
    let re = v * line.re_per_velocity;
    let (f, dlnf) = if line.length_per_bore > 0.0 {
        churchill_with_slope(re.max(1e-6), line.relative_roughness)
    } else {
        (0.0, 0.0)
    };
    let friction = f * line.length_per_bore;
    let head = (friction + line.loss) * v * v / (2.0 * GRAVITY_M_S2);
    let slope = (friction * (2.0 + dlnf) + 2.0 * line.loss) * v / (2.0 * GRAVITY_M_S2) / line.area;
    (head.copysign(flow), slope)
}

/// A [`Line`] prepared for many evaluations, in SI numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineSi {
    /// Cross-section \[m²\].
    pub area: f64,
    /// ΣK \[-\].
    pub loss: f64,
    length_per_bore: f64,
    relative_roughness: f64,
    re_per_velocity: f64,
}

impl LineSi {
    /// Head lost \[m\] and its slope \[s/m²\] at a flow \[m³/s\]; the sign follows the flow.
    pub fn head_and_slope(&self, flow_m3_s: f64) -> (f64, f64) {
        head_and_slope(self, flow_m3_s)
    }

    /// The flow \[m³/s\] that loses this head \[m\], from a guess (0 where there is none).
    pub fn flow_at(&self, head_m: f64, guess_m3_s: f64) -> f64 {
        self.flow_and_slope_at(head_m, guess_m3_s).0
    }

    /// [`Self::flow_at`] and the slope of head over flow \[s/m²\] met on the way, all but at that flow.
    pub fn flow_and_slope_at(&self, head_m: f64, guess_m3_s: f64) -> (f64, f64) {
        if head_m == 0.0 {
            return (0.0, 0.0);
        }
        let target = head_m.abs();
        // Friction only lowers the flow, so the minor losses (or one velocity head) bound it; a
        // line with neither is bounded by laminar flow.
        let k = self.loss.max(1e-3);
        let top = self.area * (2.0 * GRAVITY_M_S2 * target / k).sqrt() * 1.001;
        let guess = if guess_m3_s != 0.0 { guess_m3_s.abs() } else { 0.3 * top };
        let mut slope = 0.0;
        let q = root::increasing(0.0, top, guess, ROOT_STEP * guess.min(top), |q| {
            let (h, s) = head_and_slope(self, q);
            slope = s;
            (h - target, s)
        });
        (q.copysign(head_m), slope)
    }

    /// The same bore at this length \[m\].
    #[must_use]
    pub fn shortened(mut self, length_m: f64) -> Self {
        let bore = (self.area / std::f64::consts::FRAC_PI_4).sqrt();
        self.length_per_bore = length_m / bore;
        self
    }

    /// The same line with this ΣK instead of its own.
    #[must_use]
    pub fn with_loss(mut self, k: f64) -> Self {
        self.loss = k;
        self
    }

    /// The same line with a further loss on its own bore.
    #[must_use]
    pub fn with_more_loss(mut self, k: f64) -> Self {
        self.loss += k;
        self
    }
}

impl Line {
    /// Cross-section A = πD²/4.
    pub fn area(&self) -> Area {
        area_of(self.bore)
    }

    /// Prepared for many evaluations.
    pub fn si(&self) -> LineSi {
        LineSi {
            area: self.area().value,
            loss: self.loss,
            length_per_bore: self.length.value / self.bore.value,
            relative_roughness: self.roughness.value / self.bore.value,
            re_per_velocity: self.bore.value / self.viscosity_m2_s,
        }
    }

    /// Head lost at a flow; see [`LineSi::head_and_slope`].
    pub fn head(&self, flow: VolumeRate) -> Length {
        crate::quantity::m(self.si().head_and_slope(flow.value).0)
    }

    /// Flow at a head; see [`LineSi::flow_at`].
    pub fn flow(&self, head: Length) -> VolumeRate {
        // A second search from the first answer squares what error is left.
        let si = self.si();
        crate::quantity::m3_s(si.flow_at(head.value, si.flow_at(head.value, 0.0)))
    }

    /// Mean velocity V = Q/A.
    pub fn velocity(&self, flow: VolumeRate) -> Velocity {
        flow / self.area()
    }

    /// Reynolds number Re = V D/ν \[-\].
    pub fn reynolds(&self, flow: VolumeRate) -> f64 {
        self.velocity(flow).value * self.bore.value / self.viscosity_m2_s
    }
}

/// Cross-section of a round bore, A = πD²/4.
pub fn area_of(bore: Length) -> Area {
    std::f64::consts::FRAC_PI_4 * bore * bore
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{l_h, m, mm};

    #[test]
    fn flow_is_the_inverse_of_head_from_trickle_to_torrent() {
        for loss in [0.0, 6.0, 200.0] {
            let line = Line { bore: mm(13.0), length: m(2.0), roughness: mm(0.0), loss, viscosity_m2_s: 1.0e-6 };
            for q in [0.01, 3.0, 80.0, 95.0, 120.0, 500.0, 9000.0] {
                let h = line.head(l_h(q));
                let back = line.flow(h);
                assert!(((back / l_h(q)).value - 1.0).abs() < 1e-9, "{q}");
                assert!((line.flow(-h) + back).value.abs() < 1e-18);
            }
        }
    }
}
