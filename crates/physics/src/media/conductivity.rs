//! Water moving through a growing medium: unsaturated conductivity, and the whole state at a head.

use super::Retention;
use crate::quantity::{Length, Velocity};

/// Retention and conductivity of one medium.
///
/// K = Ks Seˡ [1 − (1 − Se^{1/m})ᵐ]² for one pore domain; for two, with weights wᵢ,
/// K = Ks Seˡ [Σ wᵢ αᵢ (1 − (1 − Seᵢ^{1/mᵢ})^{mᵢ}) / Σ wᵢ αᵢ]², Se = Σ wᵢ Seᵢ.
/// Ks saturated conductivity \[m/s\], l pore connection \[-\], usually 0.5. Valid for n > 1.
/// Source: Mualem, Water Resour. Res. 12 (1976) 513–522; van Genuchten, Soil Sci. Soc. Am. J. 44 (1980)
/// 892–898, eq. 9; two domains: Durner, Water Resour. Res. 30 (1994) 211–223 (all from memory).
/// Evidence: `evidence/media/conductivity.toml`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hydraulic {
    /// Retention curve.
    pub retention: Retention,
    /// Saturated conductivity Ks \[m/s\].
    pub ks_m_s: f64,
    /// Pore connection l \[-\].
    pub connection: f64,
}

/// A medium at one pressure head.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AtHead {
    /// Water content θ \[-\].
    pub content: f64,
    /// Capacity dθ/dh \[1/m\].
    pub capacity: f64,
    /// Conductivity K \[m/s\].
    pub conductivity: f64,
    /// dK/dh \[1/s\].
    pub slope: f64,
}

/// Anything that holds water and lets it pass.
pub trait Porous: std::fmt::Debug + Send + Sync {
    /// The medium at a pressure head \[m\], negative where unsaturated.
    fn at(&self, head_m: f64) -> AtHead;

    /// The same at each of many heads; `out` is as long as `heads_m`.
    fn at_each(&self, heads_m: &[f64], out: &mut [AtHead]) {
        for (h, o) in heads_m.iter().zip(out) {
            *o = self.at(*h);
        }
    }
}

/// One pore domain at a suction: Se, dSe/dh, the inner bracket B = 1 − (1 − Se^{1/m})ᵐ and dB/dh,
/// h the pressure head (minus the suction).
///
/// With x = (αs)ⁿ: Se = (1+x)⁻ᵐ, Se^{1/m} = 1/(1+x), so B = 1 − (x/(1+x))ᵐ keeps its digits near saturation.
fn domain(alpha: f64, n: f64, suction: f64) -> (f64, f64, f64, f64) {
    let m = 1.0 - 1.0 / n;
    let x = (alpha * suction).powf(n);
    if x < 1e-300 {
        return (1.0, 0.0, 1.0, 0.0);
    }
    let se = (1.0 + x).powf(-m);
    let fill = (x / (1.0 + x)).powf(m);
    // dx/dh = −n x / s.
    let dx = -n * x / suction;
    (se, -m * se / (1.0 + x) * dx, 1.0 - fill, -m * fill / (x * (1.0 + x)) * dx)
}

impl Hydraulic {
    /// Conductivity K at a suction.
    pub fn conductivity(&self, suction: Length) -> Velocity {
        use uom::si::velocity::meter_per_second;
        Velocity::new::<meter_per_second>(self.at(-suction.value).conductivity)
    }
}

impl Porous for Hydraulic {
    fn at(&self, head_m: f64) -> AtHead {
        let r = &self.retention;
        let range = r.theta_s - r.theta_r;
        if head_m >= 0.0 {
            return AtHead { content: r.theta_s, capacity: 0.0, conductivity: self.ks_m_s, slope: 0.0 };
        }
        let s = -head_m;
        let first = domain(r.alpha_per_m, r.n, s);
        let (se, dse, b, db) = match r.second {
            None => first,
            Some((w, alpha, n)) => {
                let second = domain(alpha, n, s);
                let mix = |a: f64, b: f64| (1.0 - w) * a + w * b;
                let weigh = |a: f64, b: f64| {
                    ((1.0 - w) * r.alpha_per_m * a + w * alpha * b) / ((1.0 - w) * r.alpha_per_m + w * alpha)
                };
                (mix(first.0, second.0), mix(first.1, second.1), weigh(first.2, second.2), weigh(first.3, second.3))
            }
        };
        let root = if self.connection == 0.5 { se.sqrt() } else { se.powf(self.connection) };
        let k = self.ks_m_s * root * b * b;
        let slope = self.ks_m_s * root * b * (self.connection * dse / se * b + 2.0 * db);
        AtHead { content: r.theta_r + range * se, capacity: range * dse, conductivity: k, slope }
    }
}

/// An exponential medium, for which the equations of flow have closed solutions:
/// θ = θr + (θs − θr) e^{αh}, K = Ks e^{αh}.
///
/// α \[1/m\]. Source: Gardner, Soil Sci. 85 (1958) 228–232 (from memory).
/// Evidence: `evidence/roots/columns.toml`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exponential {
    /// Residual water content θr \[-\].
    pub theta_r: f64,
    /// Saturated water content θs \[-\].
    pub theta_s: f64,
    /// α \[1/m\].
    pub alpha_per_m: f64,
    /// Saturated conductivity Ks \[m/s\].
    pub ks_m_s: f64,
}

impl Porous for Exponential {
    fn at(&self, head_m: f64) -> AtHead {
        let (range, e) = (self.theta_s - self.theta_r, (self.alpha_per_m * head_m.min(0.0)).exp());
        let wet = if head_m < 0.0 { self.alpha_per_m } else { 0.0 };
        AtHead {
            content: self.theta_r + range * e,
            capacity: range * wet * e,
            conductivity: self.ks_m_s * e,
            slope: self.ks_m_s * wet * e,
        }
    }
}

/// A medium by rational functions of the suction s \[m\]:
/// θ = θr + (θs − θr) a/(a + (s/u)^β), K = Ks A/(A + (s/u)^γ), u = 1 cm the unit of the printed constants.
///
/// Source: Haverkamp et al., Soil Sci. Soc. Am. J. 41 (1977) 285–294 (from memory).
/// Evidence: `evidence/roots/columns.toml`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rational {
    /// Residual water content θr \[-\].
    pub theta_r: f64,
    /// Saturated water content θs \[-\].
    pub theta_s: f64,
    /// a \[-\].
    pub a: f64,
    /// β \[-\].
    pub beta: f64,
    /// Saturated conductivity Ks \[m/s\].
    pub ks_m_s: f64,
    /// A \[-\].
    pub big_a: f64,
    /// γ \[-\].
    pub gamma: f64,
}

impl Porous for Rational {
    fn at(&self, head_m: f64) -> AtHead {
        let cm = (-head_m * 100.0).max(0.0);
        let fall = |a: f64, power: f64| {
            let x = cm.powf(power);
            let value = a / (a + x);
            let slope = if cm > 0.0 { 100.0 * value * power * x / cm / (a + x) } else { 0.0 };
            (value, slope)
        };
        let (se, dse) = fall(self.a, self.beta);
        let (kr, dkr) = fall(self.big_a, self.gamma);
        let range = self.theta_s - self.theta_r;
        AtHead {
            content: self.theta_r + range * se,
            capacity: range * dse,
            conductivity: self.ks_m_s * kr,
            slope: self.ks_m_s * dkr,
        }
    }
}

/// Saturated conductivity of a bed of fibres, Ks = k g/ν with the permeability
/// k = d² / {64 (1−ε)^1.5 [1 + 56 (1−ε)³]}, fibre diameter d \[m\], porosity ε \[-\].
///
/// ν kinematic viscosity \[m²/s\]. Valid 0.70 < ε < 0.99.
/// Source: Davies, Proc. Inst. Mech. Eng. B1 (1952) 185–198 (from memory).
/// Evidence: `evidence/media/conductivity.toml`.
pub fn fibre_bed_ks_m_s(fibre_diameter: Length, porosity: f64, viscosity_m2_s: f64) -> f64 {
    let solid = 1.0 - porosity;
    let k = fibre_diameter.value.powi(2) / (64.0 * solid.powf(1.5) * (1.0 + 56.0 * solid.powi(3)));
    k * crate::GRAVITY_M_S2 / viscosity_m2_s
}

#[cfg(test)]
mod tests {
    use super::*;

    const WOOL: Retention = Retention { theta_r: 0.03, theta_s: 0.95, alpha_per_m: 8.0, n: 4.0, second: None };

    #[test]
    fn exact_slopes_are_derivatives_in_one_and_two_domains() {
        let clay = Retention { theta_r: 0.02, theta_s: 0.7, alpha_per_m: 200.0, n: 2.5, second: Some((0.3, 1.0, 1.5)) };
        for retention in [WOOL, clay] {
            let medium = Hydraulic { retention, ks_m_s: 5e-4, connection: 0.5 };
            for h in [-1e-3, -0.01, -0.08, -0.5, -3.0] {
                let d = 1e-4 * f64::abs(h);
                let (a, b, at) = (medium.at(h - d), medium.at(h + d), medium.at(h));
                let capacity = (b.content - a.content) / (2.0 * d);
                let slope = (b.conductivity - a.conductivity) / (2.0 * d);
                assert!((capacity - at.capacity).abs() < 1e-6 * (at.capacity + 1e-3), "{h}: {capacity} {at:?}");
                assert!((slope - at.slope).abs() < 1e-6 * (at.slope + 1e-6), "{h}: {slope} {at:?}");
                assert!((at.content - retention.water_content(crate::quantity::m(-h))).abs() < 1e-14);
            }
        }
    }
}
