//! The pump: head it gives at a flow, running, slowed, worn, or stopped with water running back.

use crate::GRAVITY_M_S2;
use crate::numerics::pchip::Pchip;
use crate::quantity::{Area, Length, VolumeRate};

/// Head against flow.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// H = H₀ [1 − (Q/Qmax)ⁿ].
    Power {
        /// Head at no flow H₀.
        max_head: Length,
        /// Flow at no head Qmax.
        open_flow: VolumeRate,
        /// Shape n \[-\]: 2 is the usual parabola; 1.5 to 2.5 covers small pumps.
        shape: f64,
    },
    /// Measured points, joined without wiggles; flow \[m³/s\] to head \[m\].
    Points(Pchip),
}

impl Curve {
    /// From three points or more of falling head, the first at no flow or near it; else `None`.
    pub fn through(points: &[(VolumeRate, Length)]) -> Option<Self> {
        let si: Vec<(f64, f64)> = points.iter().map(|(q, h)| (q.value, h.value)).collect();
        let falling = si.windows(2).all(|w| w[1].1 < w[0].1);
        (si.len() >= 2 && falling).then(|| Pchip::new(&si).map(Curve::Points)).flatten()
    }

    /// Head \[m\] and slope \[s/m²\] at a flow \[m³/s\].
    ///
    /// Below no flow it stays at H₀; past the last point or Qmax it falls on steeply, so that an
    /// operating point always exists: no figure is ever reported from there.
    /// Source: the two-point parabola is a trade convention (common practice, no source).
    /// Evidence: `evidence/hydraulics/operating-point.toml`.
    pub fn head_and_slope(&self, q: f64) -> (f64, f64) {
        match self {
            Curve::Power { max_head, open_flow, shape } => {
                let (h0, qm, n) = (max_head.value, open_flow.value, *shape);
                if q <= 0.0 {
                    return (h0, 0.0);
                }
                let x = q / qm;
                let p = if n == 2.0 { x } else { x.powf(n - 1.0) };
                (h0 * (1.0 - p * x), -h0 * n * p / qm)
            }
            Curve::Points(p) => {
                let (first, last) = self.ends();
                if q <= first {
                    return (p.at(first).0, 0.0);
                }
                if q > last {
                    let (h, s) = p.at(last);
                    let steep = s.min(-h.abs().max(0.05) / last) * 4.0;
                    return (h + steep * (q - last), steep);
                }
                p.at(q)
            }
        }
    }

    fn ends(&self) -> (f64, f64) {
        match self {
            Curve::Power { open_flow, .. } => (0.0, open_flow.value),
            Curve::Points(p) => p.points().fold((f64::MAX, 0.0), |(a, b), (q, _)| (a.min(q), b.max(q))),
        }
    }

    /// Head at no flow H₀.
    pub fn max_head(&self) -> Length {
        crate::quantity::m(self.head_and_slope(0.0).0)
    }

    /// Flow at no lift Qmax; for points, the flow of the last one.
    pub fn open_flow(&self) -> VolumeRate {
        crate::quantity::m3_s(self.ends().1)
    }
}

/// H = H₀ − B Qᶜ through (0, H₀), (Q₁, H₁), (Q₂, H₂): returns the exponent C \[-\] and Qmax.
///
/// C = ln[(H₀−H₂)/(H₀−H₁)] / ln(Q₂/Q₁). `None` unless H₀ > H₁ > H₂ and 0 < Q₁ < Q₂.
/// Source: power-law pump curve used in pipe-network analysis (from memory).
/// Evidence: `evidence/hydraulics/pump-fit.toml`.
pub fn three_point_fit(h0: Length, p1: (VolumeRate, Length), p2: (VolumeRate, Length)) -> Option<(f64, VolumeRate)> {
    let (q1, q2) = (p1.0.value, p2.0.value);
    let (d1, d2) = ((h0 - p1.1).value, (h0 - p2.1).value);
    if !(q1 > 0.0 && q2 > q1 && d1 > 0.0 && d2 > d1) {
        return None;
    }
    let c = (d2 / d1).ln() / (q2 / q1).ln();
    let qmax = q1 * (h0.value / d1).powf(1.0 / c);
    Some((c, crate::quantity::m3_s(qmax)))
}

/// Flow and head factors at another speed: Q ∝ N, H ∝ N²; returns (Q factor, H factor).
///
/// A synchronous magnet rotor follows the mains frequency.
/// Source: affinity laws (from memory).
/// Evidence: `evidence/hydraulics/affinity.toml`.
pub fn affinity(speed_ratio: f64) -> (f64, f64) {
    (speed_ratio, speed_ratio * speed_ratio)
}

/// Loss coefficient K of a stopped pump with water running back through it, on the hose area A.
///
/// K = 0.692 · 4 g A² H₀/Qmax²: locked rotor, radial pump of specific speed about 35 from
/// four-quadrant data, taken at the parabola's best power point (Qmax/√3, 2H₀/3).
/// No published measurement of small submersible pumps exists: a starting value inside a band of
/// 0–100, to be replaced by one timed drain.
/// Source: four-quadrant tables of the Donsky 1961 / Marchal–Suter 1965 lineage (from memory).
/// Evidence: `evidence/hydraulics/reverse-loss.toml`.
pub fn reverse_loss(max_head: Length, open_flow: VolumeRate, hose_area: Area) -> f64 {
    0.692 * 4.0 * GRAVITY_M_S2 * hose_area.value.powi(2) * max_head.value / open_flow.value.powi(2)
}

/// Water depth S needed above a pump inlet of diameter D against a vortex: S = D (1 + 2.3 F_D),
/// F_D = V/√(gD).
///
/// Made for large intakes; at 20 mm a screening value only, far too strict for small pumps.
/// Source: ANSI/HI 9.8-1998 § 9.8.7, dimensionless form.
/// Evidence: `evidence/hydraulics/submergence.toml`.
pub fn vortex_submergence(inlet: Length, flow: VolumeRate) -> Length {
    let v = (flow / super::line::area_of(inlet)).value;
    let froude = v / (GRAVITY_M_S2 * inlet.value).sqrt();
    inlet * (1.0 + 2.3 * froude)
}
