//! Vessels: how much water stands at which depth, and the other way round.

use crate::numerics::{pchip::Pchip, root};
use crate::quantity::{Area, Length, Volume, m, m2, m3};

/// Horizontal area over height, A(y) = c₀ + c₁ y + c₂ y², as both tapered shapes have it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AreaPolynomial {
    c: [f64; 3],
}

impl AreaPolynomial {
    /// A rectangle that widens straight from `floor` to `rim` (length, width) over `depth`.
    ///
    /// With a = (L₁−L₀)/h, b = (W₁−W₀)/h: c₀ = L₀W₀, c₁ = L₀b + W₀a, c₂ = ab (exact).
    /// Evidence: `evidence/geometry/volumes.toml`.
    pub fn tapered_rectangle(floor: (Length, Length), rim: (Length, Length), depth: Length) -> Self {
        let (l0, w0) = (floor.0.value, floor.1.value);
        let (a, b) = ((rim.0.value - l0) / depth.value, (rim.1.value - w0) / depth.value);
        Self { c: [l0 * w0, l0 * b + w0 * a, a * b] }
    }

    /// A round frustum from diameter `floor` to `rim` over `depth`.
    ///
    /// With k = (r₁−r₀)/h: c₀ = πr₀², c₁ = 2πr₀k, c₂ = πk² (exact).
    /// Evidence: `evidence/geometry/volumes.toml`.
    pub fn tapered_round(floor: Length, rim: Length, depth: Length) -> Self {
        let r0 = floor.value / 2.0;
        let k = (rim.value / 2.0 - r0) / depth.value;
        let pi = std::f64::consts::PI;
        Self { c: [pi * r0 * r0, 2.0 * pi * r0 * k, pi * k * k] }
    }

    /// Upright walls over a floor area.
    pub fn upright(area: Area) -> Self {
        Self { c: [area.value, 0.0, 0.0] }
    }

    /// c₀ \[m²\], c₁ \[m\], c₂ \[-\].
    pub fn si(&self) -> [f64; 3] {
        self.c
    }

    /// Area at a height.
    pub fn area(&self, y: Length) -> Area {
        m2(self.area_si(y.value))
    }

    /// Volume below a height, V = (y/6)[A(0) + 4A(y/2) + A(y)], exact for both shapes.
    ///
    /// Source: prismatoid (Simpson) rule, exact for a quadratic area.
    /// Evidence: `evidence/geometry/volumes.toml`.
    pub fn volume(&self, y: Length) -> Volume {
        m3(self.volume_si(y.value))
    }

    pub(crate) fn area_si(&self, y: f64) -> f64 {
        self.c[0] + y * (self.c[1] + y * self.c[2])
    }

    pub(crate) fn volume_si(&self, y: f64) -> f64 {
        y * (self.c[0] + y * (self.c[1] / 2.0 + y * self.c[2] / 3.0))
    }
}

/// The inside of a vessel.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Rectangle at floor and rim (length, width), straight between.
    TaperedRectangle {
        /// Length and width at the floor.
        floor: (Length, Length),
        /// Length and width at the rim.
        rim: (Length, Length),
        /// Height from floor to rim.
        depth: Length,
    },
    /// Circle at floor and rim, straight between.
    TaperedRound {
        /// Diameter at the floor.
        floor: Length,
        /// Diameter at the rim.
        rim: Length,
        /// Height from floor to rim.
        depth: Length,
    },
    /// Measured: volumes poured in and the depths that they stood at.
    Table {
        /// Depth and volume, both rising; starts at (0, 0).
        points: Vec<(Length, Volume)>,
        /// The same as a monotone curve, depth \[m\] to volume \[m³\].
        curve: Pchip,
    },
}

impl Shape {
    /// A measured table; `None` unless depths and volumes both rise. (0, 0) is put in front.
    pub fn table(points: &[(Length, Volume)]) -> Option<Self> {
        let mut all = vec![(m(0.0), m3(0.0))];
        all.extend(points.iter().copied().filter(|p| p.0.value > 0.0));
        if all.windows(2).any(|w| w[1].1.value <= w[0].1.value) {
            return None;
        }
        let si: Vec<(f64, f64)> = all.iter().map(|p| (p.0.value, p.1.value)).collect();
        let curve = Pchip::new(&si)?;
        Some(Self::Table { points: all, curve })
    }

    /// Height from floor to rim.
    pub fn depth(&self) -> Length {
        match self {
            Self::TaperedRectangle { depth, .. } | Self::TaperedRound { depth, .. } => *depth,
            Self::Table { points, .. } => points.last().map_or(m(0.0), |p| p.0),
        }
    }

    /// Length and width of the plan at a height; a table is drawn as a square of its area.
    pub fn plan_at(&self, y: Length) -> (Length, Length) {
        let t = (y / self.depth()).value.clamp(0.0, 1.0);
        match self {
            Self::TaperedRectangle { floor, rim, .. } => {
                (floor.0 + (rim.0 - floor.0) * t, floor.1 + (rim.1 - floor.1) * t)
            }
            Self::TaperedRound { floor, rim, .. } => {
                let d = *floor + (*rim - *floor) * t;
                (d, d)
            }
            Self::Table { .. } => {
                let side = m(self.si().area(y.value).max(0.0).sqrt());
                (side, side)
            }
        }
    }

    /// Whether its plan is a circle.
    pub fn is_round(&self) -> bool {
        matches!(self, Self::TaperedRound { .. })
    }

    /// Perimeter at a height; a table's is that of a square of its area.
    pub fn perimeter_at(&self, y: Length) -> Length {
        let (l, w) = self.plan_at(y);
        if self.is_round() { std::f64::consts::PI * l } else { 2.0 * (l + w) }
    }

    /// Area of the plan at a height.
    pub fn area_at(&self, y: Length) -> Area {
        m2(self.si().area(y.value))
    }

    /// Perimeter of the rim.
    pub fn rim_perimeter(&self) -> Length {
        self.perimeter_at(self.depth())
    }

    /// Volume below a depth.
    pub fn volume(&self, y: Length) -> Volume {
        m3(self.si().volume(y.value))
    }

    /// Volume to the rim.
    pub fn full(&self) -> Volume {
        self.volume(self.depth())
    }

    /// Depth at which a volume stands, without relief or blocks.
    ///
    /// Evidence: `evidence/geometry/volumes.toml`.
    pub fn depth_of(&self, volume: Volume) -> Length {
        let si = self.si();
        let top = 4.0 * self.depth().value;
        m(root::increasing(0.0, top, 0.5 * self.depth().value, 1e-13, |y| (si.volume(y) - volume.value, si.area(y))))
    }

    /// Prepared for many evaluations, in SI numbers.
    pub fn si(&self) -> ShapeSi {
        match self {
            Self::TaperedRectangle { floor, rim, depth } => {
                ShapeSi::Tapered { area: AreaPolynomial::tapered_rectangle(*floor, *rim, *depth), depth: depth.value }
            }
            Self::TaperedRound { floor, rim, depth } => {
                ShapeSi::Tapered { area: AreaPolynomial::tapered_round(*floor, *rim, *depth), depth: depth.value }
            }
            Self::Table { curve, .. } => ShapeSi::Table(curve.clone()),
        }
    }
}

/// A [`Shape`] in SI numbers; above the rim the walls go straight up.
#[derive(Clone, Debug, PartialEq)]
pub enum ShapeSi {
    /// Tapered, with its rim height \[m\].
    Tapered {
        /// Area over height.
        area: AreaPolynomial,
        /// Height of the rim \[m\].
        depth: f64,
    },
    /// Measured depth \[m\] to volume \[m³\].
    Table(Pchip),
}

impl ShapeSi {
    /// Volume \[m³\] below a depth \[m\].
    pub fn volume(&self, y: f64) -> f64 {
        match self {
            Self::Tapered { area, depth } if y > *depth => area.volume_si(*depth) + area.area_si(*depth) * (y - depth),
            Self::Tapered { area, .. } => area.volume_si(y),
            Self::Table(p) => p.at(y).0,
        }
    }

    /// Area \[m²\] at a depth \[m\].
    pub fn area(&self, y: f64) -> f64 {
        match self {
            Self::Tapered { area, depth } => area.area_si(y.clamp(0.0, *depth)),
            Self::Table(p) => p.at(y).1.max(1e-9),
        }
    }
}

/// A floor that is not flat: how much of it lies below each level, heights against the flood fitting.
///
/// F(r) is piecewise linear between knots; the volume over the relief per floor area is
/// G(y) = ∫ F dr, so V(y) = V_flat(y) + A₀ [G(y) − max(y, 0)].
#[derive(Clone, Debug, PartialEq)]
pub struct Relief {
    /// Level \[m\], share of the floor below it \[-\], and G \[m\] at that level.
    knots: Vec<(f64, f64, f64)>,
}

impl Relief {
    /// From the heights of points spread evenly over the floor. Equal heights give a flat floor.
    pub fn from_heights(heights_m: &[f64]) -> Self {
        let mut h = heights_m.to_vec();
        h.retain(|x| x.is_finite());
        h.sort_by(f64::total_cmp);
        let (Some(&lo), Some(&hi)) = (h.first(), h.last()) else {
            return Self { knots: Vec::new() };
        };
        if hi - lo < 1e-5 {
            return Self { knots: Vec::new() };
        }
        const STEPS: usize = 12;
        let mut knots: Vec<(f64, f64, f64)> = Vec::with_capacity(STEPS + 1);
        for i in 0..=STEPS {
            let level = lo + (hi - lo) * i as f64 / STEPS as f64;
            let below = h.iter().filter(|&&x| x <= level).count() as f64 / h.len() as f64;
            let f = if i == 0 {
                0.0
            } else if i == STEPS {
                1.0
            } else {
                below
            };
            let g = knots.last().map_or(0.0, |k| k.2 + 0.5 * (k.1 + f) * (level - k.0));
            knots.push((level, f, g));
        }
        Self { knots }
    }

    /// Level \[m\], wet share \[-\] and water per floor area G \[m\] at each knot; none for a flat floor.
    pub fn knots(&self) -> &[(f64, f64, f64)] {
        &self.knots
    }

    /// The lowest level of the floor \[m\].
    pub fn lowest(&self) -> f64 {
        self.knots.first().map_or(0.0, |k| k.0)
    }

    /// The highest level of the floor \[m\].
    pub fn highest(&self) -> f64 {
        self.knots.last().map_or(0.0, |k| k.0)
    }

    /// Water per floor area G \[m\] and wet share F \[-\] at a level \[m\].
    pub fn depth_and_share(&self, y: f64) -> (f64, f64) {
        let (Some(first), Some(last)) = (self.knots.first(), self.knots.last()) else {
            return if y > 0.0 { (y, 1.0) } else { (0.0, 0.0) };
        };
        if y <= first.0 {
            return (0.0, 0.0);
        }
        if y >= last.0 {
            return (last.2 + (y - last.0), 1.0);
        }
        let i = self.knots.partition_point(|k| k.0 <= y) - 1;
        let (a, b) = (self.knots[i], self.knots[i + 1]);
        let share = a.1 + (b.1 - a.1) * (y - a.0) / (b.0 - a.0);
        (a.2 + 0.5 * (a.1 + share) * (y - a.0), share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::litres;

    #[test]
    fn depth_of_is_the_inverse_of_volume_for_every_shape() {
        let shapes = [
            Shape::TaperedRectangle { floor: (m(0.76), m(0.46)), rim: (m(0.86), m(0.55)), depth: m(0.2) },
            Shape::TaperedRound { floor: m(0.26), rim: m(0.30), depth: m(0.38) },
            Shape::table(&[(m(0.1), litres(9.0)), (m(0.2), litres(20.0)), (m(0.35), litres(40.0))]).unwrap(),
        ];
        for shape in &shapes {
            for i in 1..=20 {
                let y = shape.depth() * (i as f64 / 20.0);
                assert!((shape.depth_of(shape.volume(y)) - y).value.abs() < 1e-10);
            }
        }
        assert!(Shape::table(&[(m(0.1), litres(9.0)), (m(0.2), litres(8.0))]).is_none());
    }

    #[test]
    fn relief_adds_up_to_the_mean_height() {
        let tilt: Vec<f64> = (0..1000).map(|i| i as f64 / 999.0 * 0.012 - 0.004).collect();
        let r = Relief::from_heights(&tilt);
        let (g, f) = r.depth_and_share(0.05);
        assert!((f - 1.0).abs() < 1e-12 && (g - (0.05 - 0.002)).abs() < 2e-5, "{g}");
        assert_eq!(Relief::from_heights(&[0.0; 9]).depth_and_share(0.01), (0.01, 1.0));
    }
}
