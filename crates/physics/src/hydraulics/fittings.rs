//! Loss coefficients K of fittings, h = K V²/2g with V in the bore that each function names.

use crate::quantity::Length;

/// A sharp change to a smaller bore, K on the smaller bore: a Rennels & Hudson form.
///
/// K = 0.0696 (1 − β⁵) λ² + (λ − 1)², λ = 1 + 0.622 (1 − 0.215 β² − 0.785 β⁵), β = d₂/d₁ ≤ 1.
/// Valid for sharp edges in turbulent flow.
/// Source: Rennels & Hudson, *Pipe Flow*, 2nd ed., § 10.2 (coefficients from memory, checked
/// against an open library's values in the evidence case).
/// Evidence: `evidence/hydraulics/fittings.toml`.
pub fn sharp_contraction(from: Length, to: Length) -> f64 {
    let beta = (to / from).value.min(1.0);
    let lambda = 1.0 + 0.622 * (1.0 - 0.215 * beta.powi(2) - 0.785 * beta.powi(5));
    0.069_6 * (1.0 - beta.powi(5)) * lambda * lambda + (lambda - 1.0).powi(2)
}

/// A sudden change to a larger bore, K on the smaller bore: (1 − A₁/A₂)².
///
/// Source: Borda–Carnot, as in any fluid mechanics text (from memory).
/// Evidence: `evidence/hydraulics/fittings.toml`.
pub fn sudden_expansion(from: Length, to: Length) -> f64 {
    let ratio = (from / to).value.min(1.0).powi(2);
    (1.0 - ratio).powi(2)
}

/// Carries a loss coefficient from the bore it was given on to another: K₂ = K₁ (D₂/d₁)⁴.
///
/// Holds because both describe the same head at the same flow.
pub fn on_bore(k: f64, given_on: Length, wanted_on: Length) -> f64 {
    k * (wanted_on / given_on).value.powi(4)
}

/// A barbed insert of bore `insert` inside a hose, K on the hose bore: contraction plus expansion.
///
/// Built up from the two changes of bore, no test behind it: ±50 % or worse.
/// Evidence: `evidence/hydraulics/fittings.toml`.
pub fn barbed_insert(hose: Length, insert: Length) -> f64 {
    if insert >= hose {
        return 0.0;
    }
    on_bore(sharp_contraction(hose, insert) + sudden_expansion(insert, hose), insert, hose)
}
