//! Beams, posts and tipping: what carries a tray full of water.
//!
//! SI throughout: N, m, Pa. Small deflections, straight elastic members, loads that stand still. Nothing here calls a thing safe.

use crate::GRAVITY_M_S2;
use std::f64::consts::PI;

/// Cross-section of a member: second moment of area I \[m⁴\], section modulus S \[m³\], area A \[m²\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// I about the axis of bending \[m⁴\].
    pub second_moment_m4: f64,
    /// I about the weak axis, about which a post buckles \[m⁴\].
    pub least_second_moment_m4: f64,
    /// S = I/c \[m³\].
    pub modulus_m3: f64,
    /// Area \[m²\].
    pub area_m2: f64,
}

impl Section {
    /// A rectangle: I = b h³/12, S = b h²/6; h upright.
    ///
    /// Source: any strength of materials. Evidence: `evidence/stand/sections.toml`.
    pub fn rectangle(width_m: f64, height_m: f64) -> Self {
        Self {
            second_moment_m4: width_m * height_m.powi(3) / 12.0,
            least_second_moment_m4: width_m.max(height_m) * width_m.min(height_m).powi(3) / 12.0,
            modulus_m3: width_m * height_m.powi(2) / 6.0,
            area_m2: width_m * height_m,
        }
    }

    /// A round pipe: I = π(D⁴ − d⁴)/64, S = 2 I/D, d = D − 2 t.
    ///
    /// Source: any strength of materials; sizes of plastic pipe, ASTM D1785. Evidence: `evidence/stand/sections.toml`.
    pub fn pipe(outside_m: f64, wall_m: f64) -> Self {
        let inside = (outside_m - 2.0 * wall_m).max(0.0);
        let i = PI * (outside_m.powi(4) - inside.powi(4)) / 64.0;
        Self {
            second_moment_m4: i,
            least_second_moment_m4: i,

            modulus_m3: 2.0 * i / outside_m,
            area_m2: 0.25 * PI * (outside_m.powi(2) - inside.powi(2)),
        }
    }
}

/// Sag of a simple beam under an even load w \[N/m\]: 5 w L⁴/(384 E I) \[m\].
///
/// Source: AISC Manual, beam table, case 1 (from memory). Evidence: `evidence/stand/beams.toml`.
pub fn sag_even_m(load_n_m: f64, span_m: f64, e_pa: f64, i_m4: f64) -> f64 {
    5.0 * load_n_m * span_m.powi(4) / (384.0 * e_pa * i_m4)
}

/// Sag of a simple beam under a load in its middle: P L³/(48 E I) \[m\].
///
/// Source: AISC Manual, case 7 (from memory). Evidence: `evidence/stand/beams.toml`.
pub fn sag_middle_m(load_n: f64, span_m: f64, e_pa: f64, i_m4: f64) -> f64 {
    load_n * span_m.powi(3) / (48.0 * e_pa * i_m4)
}

/// Sag at the tip of an arm: P L³/(3 E I) \[m\].
///
/// Source: AISC Manual, case 22 (from memory). Evidence: `evidence/stand/beams.toml`.
pub fn sag_tip_m(load_n: f64, arm_m: f64, e_pa: f64, i_m4: f64) -> f64 {
    load_n * arm_m.powi(3) / (3.0 * e_pa * i_m4)
}

/// Moment in the middle of a simple beam under an even load, w L²/8 \[N·m\].
///
/// Evidence: `evidence/stand/beams.toml`.
pub fn moment_even_n_m(load_n_m: f64, span_m: f64) -> f64 {
    load_n_m * span_m * span_m / 8.0
}

/// Longest span on which an even load w sags no more than L/`limit` \[m\]: L³ = 384 E I/(5 w · limit).
///
/// Evidence: `evidence/stand/beams.toml`.
pub fn span_for_sag_m(load_n_m: f64, limit: f64, e_pa: f64, i_m4: f64) -> f64 {
    (384.0 * e_pa * i_m4 / (5.0 * load_n_m * limit)).cbrt()
}

/// A simple beam under an even load and loads at points.
#[derive(Clone, Debug, PartialEq)]
pub struct Beam {
    /// Between its supports \[m\].
    pub span_m: f64,
    /// Even load \[N/m\].
    pub even_n_m: f64,
    /// Place from the left support \[m\] and load \[N\].
    pub points: Vec<(f64, f64)>,
}

impl Beam {
    /// Reactions at the left and the right support \[N\].
    ///
    /// Evidence: `evidence/stand/beams.toml`.
    pub fn reactions_n(&self) -> (f64, f64) {
        let right =
            0.5 * self.even_n_m * self.span_m + self.points.iter().map(|(a, p)| p * a / self.span_m).sum::<f64>();
        let all = self.even_n_m * self.span_m + self.points.iter().map(|p| p.1).sum::<f64>();
        (all - right, right)
    }

    fn moment_n_m(&self, x: f64) -> f64 {
        let (left, _) = self.reactions_n();
        left * x
            - 0.5 * self.even_n_m * x * x
            - self.points.iter().filter(|p| p.0 < x).map(|(a, p)| p * (x - a)).sum::<f64>()
    }

    /// Greatest moment \[N·m\]: at a point load, or where the shear passes nil between two.
    ///
    /// Evidence: `evidence/stand/beams.toml`.
    pub fn greatest_moment_n_m(&self) -> f64 {
        let mut places: Vec<f64> = self.points.iter().map(|p| p.0).collect();
        if self.even_n_m > 0.0 {
            let (left, _) = self.reactions_n();
            let mut stops: Vec<f64> = places.clone();
            stops.extend([0.0, self.span_m]);
            stops.sort_by(f64::total_cmp);
            for pair in stops.windows(2) {
                let shed: f64 = self.points.iter().filter(|p| p.0 <= pair[0]).map(|p| p.1).sum();
                let x = (left - shed) / self.even_n_m;
                if x > pair[0] && x < pair[1] {
                    places.push(x);
                }
            }
        }
        places.into_iter().map(|x| self.moment_n_m(x)).fold(0.0, f64::max)
    }

    /// Sag at x \[m\], by superposition: even load w x (L³ − 2 L x² + x³)/(24 E I); a load P at a, left of it
    /// P b x (L² − b² − x²)/(6 E I L), b = L − a.
    ///
    /// Source: AISC Manual, cases 1 and 8 (from memory). Evidence: `evidence/stand/beams.toml`.
    pub fn sag_m(&self, x: f64, e_pa: f64, i_m4: f64) -> f64 {
        let l = self.span_m;
        let even = self.even_n_m * x * (l.powi(3) - 2.0 * l * x * x + x.powi(3)) / 24.0;
        let at: f64 = self
            .points
            .iter()
            .map(|(a, p)| {
                let (a, x) = if x <= *a { (*a, x) } else { (l - a, l - x) };
                let b = l - a;
                p * b * x * (l * l - b * b - x * x) / (6.0 * l)
            })
            .sum();
        (even + at) / (e_pa * i_m4)
    }

    /// Greatest sag, looked for at a hundred places \[m\].
    pub fn greatest_sag_m(&self, e_pa: f64, i_m4: f64) -> f64 {
        (1..100).map(|k| self.sag_m(self.span_m * f64::from(k) / 100.0, e_pa, i_m4)).fold(0.0, f64::max)
    }
}

/// Load at which a slender post buckles, P = π² E I/(K L)² \[N\]; K: 2 for legs free to sway, 1 braced.
///
/// Source: Euler (1744). Evidence: `evidence/stand/columns.toml`.
pub fn buckling_n(e_pa: f64, i_m4: f64, length_m: f64, k: f64) -> f64 {
    PI * PI * e_pa * i_m4 / (k * length_m).powi(2)
}

/// Sideways force at a height that tips a body over its edge: F = m g (b/2)/h \[N\].
///
/// Only what stands still counts: free water shifts. Source: balance of moments. Evidence: `evidence/stand/columns.toml`.
pub fn tipping_n(mass_kg: f64, base_m: f64, height_m: f64) -> f64 {
    mass_kg * GRAVITY_M_S2 * 0.5 * base_m / height_m
}

/// Pressure on a floor \[Pa\].
///
/// Evidence: `evidence/stand/columns.toml`.
pub fn on_floor_pa(mass_kg: f64, area_m2: f64) -> f64 {
    mass_kg * GRAVITY_M_S2 / area_m2
}
