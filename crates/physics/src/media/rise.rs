//! How much water a medium lifts.

use super::Porous;
use crate::numerics::root;

/// Head at the dry end of a lift \[m\]: nothing more comes from drier.
const DRY_M: f64 = -50.0;

/// Most that steadily rises from a water table to a height \[m/s\], the top as dry as can be:
/// the flux q at which ∫ dh / (1 + q/K(h)) from the dry head to nil is the height.
///
/// `height_m` \[m\], above nil. Valid where the medium is uniform and wets to its curve.
/// Source: Gardner, Soil Sci. 85 (1958) 228–232 (from memory).
/// Evidence: `evidence/media/rise.toml`.
pub fn steady_rise_m_s(medium: &dyn Porous, height_m: f64) -> f64 {
    let ks = medium.at(0.0).conductivity;
    let reaches = |q: f64| rises_to(medium, q) - height_m;
    // Between a drop in a century and what runs through the saturated medium.
    let (low, high) = ((1e-18 * ks).ln(), (1e3 * ks).ln());
    if reaches(low.exp()) < 0.0 {
        return 0.0;
    }
    root::bracketed(low, high, 1e-10, |x| reaches(x.exp())).map_or(0.0, f64::exp)
}

/// Height to which a flux rises: by Simpson's rule over the logarithm of the suction.
fn rises_to(medium: &dyn Porous, q: f64) -> f64 {
    const PARTS: usize = 2000;
    const LEAST_M: f64 = 1e-7;
    let f = |h: f64| {
        let k = medium.at(-h).conductivity;
        k / (k + q)
    };
    let (from, to) = (LEAST_M.ln(), (-DRY_M).ln());
    let step = (to - from) / PARTS as f64;
    let at = |i: usize| {
        let h = (from + step * i as f64).exp();
        h * f(h)
    };
    let inner: f64 = (1..PARTS).map(|i| at(i) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
    LEAST_M * f(0.5 * LEAST_M) + step / 3.0 * (at(0) + inner + at(PARTS))
}
