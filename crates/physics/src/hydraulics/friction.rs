//! The Darcy friction factor f of a round pipe (four times Fanning's).

/// Friction factor and its logarithmic slope d ln f / d ln Re, by Churchill's single formula.
///
/// f = 8 [ (8/Re)¹² + (a + b)^(−3/2) ]^(1/12),
/// a = { 2.457 ln [ 1 / ((7/Re)^0.9 + 0.27 ε/D) ] }¹⁶, b = (37530/Re)¹⁶.
/// Re \[-\], ε/D relative roughness \[-\]. Valid for any Re > 0 and 0 ≤ ε/D ≤ 0.05, laminar through
/// turbulent without a jump; within 3.1 % of Colebrook–White for Re > 4000 (measured against
/// Clamond's solution). Between Re 2000 and 4000 no steady law is reliable.
/// Source: Churchill, Chem. Eng. 84 (1977) no. 24, 91–92.
/// Evidence: `evidence/hydraulics/friction-churchill.toml`.
pub fn churchill_with_slope(re: f64, relative_roughness: f64) -> (f64, f64) {
    if re < 1e-3 {
        // Far below any real flow the powers overflow; Hagen–Poiseuille is the limit.
        return (64.0 / re.max(1e-300), -1.0);
    }
    let ln_x = 0.9 * (7.0 / re).ln();
    let x = ln_x.exp();
    let g = x + 0.27 * relative_roughness;
    let ln_a = if relative_roughness == 0.0 { -ln_x } else { -g.ln() };
    let a = (2.457 * ln_a).powi(16);
    let b = (37_530.0 / re).powi(16);
    let ab = a + b;
    // s₁ = (8/Re)¹², s₂ = (a+b)^(−3/2). Whichever is greater is taken out of the twelfth root, where
    // it is an eighth root or no root at all; what stays in it is 1 + ε. General powers cost more
    // than everything else here together.
    let s1 = (8.0 / re).powi(12);
    let s2 = 1.0 / (ab * ab.sqrt());
    let (outside, ratio) = if s2 >= s1 { (1.0 / ab.sqrt().sqrt().sqrt(), s1 / s2) } else { (8.0 / re, s2 / s1) };
    let root =
        if ratio < 1e-4 { 1.0 + ratio * (1.0 / 12.0 - ratio * 11.0 / 288.0) } else { (1.0 + ratio).powf(1.0 / 12.0) };
    let da = 16.0 * a / ln_a * 0.9 * x / g;
    let ds1 = -12.0 * s1;
    let ds2 = -1.5 * s2 / ab * (da - 16.0 * b);
    (8.0 * outside * root, (ds1 + ds2) / (12.0 * (s1 + s2)))
}

/// Friction factor by Churchill's formula; see [`churchill_with_slope`].
pub fn churchill(re: f64, relative_roughness: f64) -> f64 {
    churchill_with_slope(re, relative_roughness).0
}

/// Friction factor by Colebrook–White for turbulent flow, 64/Re below Re = 2040.
///
/// 1/√f = −2 log₁₀( ε/(3.7 D) + 2.51/(Re √f) ), solved by Newton to rounding. Valid Re > 4000.
/// Source: Colebrook, J. ICE 11 (1939) 133–156.
/// Evidence: `evidence/hydraulics/friction-colebrook.toml`.
pub fn colebrook(re: f64, relative_roughness: f64) -> f64 {
    if re < 2040.0 {
        return 64.0 / re;
    }
    // With u = 1/√f the equation is u + 2 log₁₀(r + c u) = 0, smooth and increasing in u.
    let r = relative_roughness / 3.7;
    let c = 2.51 / re;
    let mut u = serghides(re, relative_roughness).powf(-0.5);
    for _ in 0..20 {
        let inner = r + c * u;
        let step = (u + 2.0 * inner.log10()) / (1.0 + 2.0 * c / (inner * std::f64::consts::LN_10));
        u -= step;
        if step.abs() < 1e-15 * u {
            break;
        }
    }
    1.0 / (u * u)
}

/// Friction factor by Serghides' explicit form of Colebrook–White.
///
/// f = [A − (B−A)²/(C−2B+A)]⁻² with A = −2 log₁₀(ε/3.7D + 12/Re), B and C each from the one before
/// by −2 log₁₀(ε/3.7D + 2.51 A/Re). Valid Re > 2100; within 4·10⁻⁵ of Colebrook–White.
/// Source: Serghides, Chem. Eng. 91 (1984) no. 5, 63–64.
/// Evidence: `evidence/hydraulics/friction-serghides.toml`.
pub fn serghides(re: f64, relative_roughness: f64) -> f64 {
    let r = relative_roughness / 3.7;
    let a = -2.0 * (r + 12.0 / re).log10();
    let b = -2.0 * (r + 2.51 * a / re).log10();
    let c = -2.0 * (r + 2.51 * b / re).log10();
    (a - (b - a).powi(2) / (c - 2.0 * b + a)).powi(-2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn churchill_slope_is_the_derivative() {
        for e in [0.0, 1e-3, 0.05] {
            for re in [50.0, 1800.0, 2300.0, 2700.0, 4000.0, 3e4, 1e7] {
                let d = 1e-5;
                let numeric = (churchill(re * (1.0 + d), e) / churchill(re * (1.0 - d), e)).ln() / (2.0 * d);
                let (_, slope) = churchill_with_slope(re, e);
                assert!((numeric - slope).abs() < 1e-4 * (1.0 + slope.abs()), "{re} {e}: {numeric} {slope}");
            }
        }
    }
}
