//! Water held by a growing medium at rest: retention curve and container capacity. How fast it moves
//! stands in `conductivity`.

mod conductivity;
pub mod fit;
mod rise;
mod table;

pub use conductivity::{AtHead, Exponential, Hydraulic, Porous, Rational, fibre_bed_ks_m_s};
pub use rise::steady_rise_m_s;
pub use table::Tabulated;

use crate::quantity::Length;

/// A van Genuchten retention curve.
///
/// θ = θr + (θs − θr) [1 + (α|h|)ⁿ]^−m, m = 1 − 1/n, h suction head \[m\].
/// Source: van Genuchten, Soil Sci. Soc. Am. J. 44 (1980) 892–898.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Retention {
    /// Residual water content θr \[-\].
    pub theta_r: f64,
    /// Saturated water content θs \[-\].
    pub theta_s: f64,
    /// Inverse length α \[1/m\].
    pub alpha_per_m: f64,
    /// Shape n \[-\], above 1.
    pub n: f64,
    /// Second pore domain (share of the range, α, n) of porous aggregates.
    pub second: Option<(f64, f64, f64)>,
}

fn effective(alpha: f64, n: f64, suction: f64) -> f64 {
    if suction <= 0.0 {
        return 1.0;
    }
    (1.0 + (alpha * suction).powf(n)).powf(-(1.0 - 1.0 / n))
}

impl Retention {
    /// Effective saturation Se \[-\] at a suction \[m\].
    pub fn saturation(&self, suction: Length) -> f64 {
        let h = suction.value;
        let first = effective(self.alpha_per_m, self.n, h);
        match self.second {
            None => first,
            Some((share, alpha, n)) => (1.0 - share) * first + share * effective(alpha, n, h),
        }
    }

    /// The same curve with another α of its first domain, the second's in proportion.
    #[must_use]
    pub fn with_alpha(self, alpha_per_m: f64) -> Self {
        self.wetting(alpha_per_m / self.alpha_per_m)
    }

    /// The curve while wetting, by one factor on α: at a suction a medium that wets holds less than one that dries.
    ///
    /// Source: α_wet = 2 α_dry on the average of soils, Kool & Parker, Water Resour. Res. 23 (1987) 105–114 (from memory).
    #[must_use]
    pub fn wetting(self, factor: f64) -> Self {
        let second = self.second.map(|(share, alpha, n)| (share, factor * alpha, n));
        Self { alpha_per_m: factor * self.alpha_per_m, second, ..self }
    }

    /// Water content θ \[-\] at a suction.
    ///
    /// Evidence: `evidence/media/container-capacity.toml`.
    pub fn water_content(&self, suction: Length) -> f64 {
        self.theta_r + (self.theta_s - self.theta_r) * self.saturation(suction)
    }

    /// Mean water content θ̄ \[-\] of a block of this height that stands in equilibrium on a surface
    /// where the suction is nil (container capacity).
    ///
    /// θ̄ = θr + (θs − θr) (1/H) ∫₀ᴴ Se(z) dz, the suction at height z being z.
    /// The integral by composite Gauss–Legendre; its closed form is
    /// ₂F₁(1−1/n, 1/n; 1+1/n; −(αH)ⁿ).
    /// Evidence: `evidence/media/container-capacity.toml`.
    pub fn container_capacity(&self, height: Length) -> f64 {
        let h = height.value;
        if h <= 0.0 {
            return self.theta_s;
        }
        const PANELS: usize = 24;
        let width = h / PANELS as f64;
        let sum: f64 = (0..PANELS).map(|p| self.panel(width * p as f64, width)).sum();
        self.theta_r + (self.theta_s - self.theta_r) * sum / h
    }

    /// ∫ Se dz \[m\] from `from` over `width`, by five-point Gauss–Legendre.
    ///
    /// Source: Abramowitz & Stegun 1964, table 25.4.
    fn panel(&self, from: f64, width: f64) -> f64 {
        const X: [f64; 3] = [0.0, 0.538_469_310_105_683_1, 0.906_179_845_938_664];
        const W: [f64; 3] = [0.568_888_888_888_888_9, 0.478_628_670_499_366_5, 0.236_926_885_056_189_1];
        let (half, mid) = (0.5 * width, from + 0.5 * width);
        let at = |z: f64| self.saturation(crate::quantity::m(z));
        let pairs: f64 = (1..3).map(|i| W[i] * (at(mid - half * X[i]) + at(mid + half * X[i]))).sum();
        half * (W[0] * at(mid) + pairs)
    }

    /// Mean water content of a block at `steps` + 1 water levels, evenly from its base to its top:
    /// \[w θs + (H−w) θ̄(H−w)\]/H, all from one pass over the height.
    pub fn flooded_contents(&self, height: Length, steps: usize) -> Vec<f64> {
        let h = height.value;
        let width = h / steps as f64;
        // held[k] is ∫ Se dz over the lowest k of the steps above the water.
        let mut held = vec![0.0];
        for k in 0..steps {
            held.push(held[k] + self.panel(width * k as f64, width));
        }
        (0..=steps)
            .map(|i| {
                let wet = width * i as f64;
                (wet * self.theta_s + (h - wet) * self.theta_r + (self.theta_s - self.theta_r) * held[steps - i]) / h
            })
            .collect()
    }

    /// Mean water content of a block of height H with water standing to `level` above its base:
    /// \[w θs + (H−w) θ̄(H−w)\]/H.
    pub fn flooded_content(&self, height: Length, level: Length) -> f64 {
        let w = (level / height).value.clamp(0.0, 1.0);
        w * self.theta_s + (1.0 - w) * self.container_capacity(height * (1.0 - w))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::m;

    #[test]
    fn one_pass_equals_level_by_level() {
        let r = Retention { theta_r: 0.03, theta_s: 0.95, alpha_per_m: 8.0, n: 4.0, second: None };
        for (i, c) in r.flooded_contents(m(0.1), 16).iter().enumerate() {
            let one = r.flooded_content(m(0.1), m(0.1 * i as f64 / 16.0));
            assert!((c - one).abs() < 1e-6, "{i}: {c} {one}");
        }
    }
}
