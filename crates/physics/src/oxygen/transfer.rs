//! How fast oxygen goes from air into water.

use crate::quantity::{Length, ThermodynamicTemperature};

/// Oxygen at a time t after C₀ with a steady rate: C = C∞ − (C∞ − C₀) e^(−k t) \[as C\], k t \[-\].
///
/// Source: closed form of dC/dt = k(C∞ − C).
/// Evidence: `evidence/oxygen/transfer.toml`.
pub fn step_response(end: f64, start: f64, rate_times_time: f64) -> f64 {
    end - (end - start) * (-rate_times_time).exp()
}

/// Factor on kLa from 20 °C to another temperature, 1.024^(t − 20) \[-\].
///
/// Source: ASCE/EWRI 2, clean-water oxygen transfer (from memory; the usual θ = 1.024).
/// Evidence: `evidence/oxygen/transfer.toml`.
pub fn temperature_factor(temperature: ThermodynamicTemperature) -> f64 {
    1.024_f64.powf(temperature.value - 293.15)
}

/// Oxygen given under field conditions: OTR = α SOTR 1.024^(t−20) (β C*(T, P) − C)/C*(20 °C) \[as SOTR\].
///
/// SOTR: transfer into oxygen-free clean water at 20 °C and one atmosphere. α: rate in this water over clean water; β:
/// saturation in it over clean water. Source: ASCE/EWRI 2 (from memory).
/// Evidence: `evidence/oxygen/transfer.toml`.
pub fn field_rate(
    sotr: f64,
    (alpha, beta): (f64, f64),
    temperature: ThermodynamicTemperature,
    saturation_mg_l: f64,
    now_mg_l: f64,
) -> f64 {
    let at_20 = super::saturation_mg_l(crate::quantity::celsius(20.0));
    alpha * sotr * temperature_factor(temperature) * (beta * saturation_mg_l - now_mg_l) / at_20
}

/// Deficit above a fall over deficit below it: r = 1 + 0.38 a b h (1 − 0.11 h)(1 + 0.046 t), h \[m\], t \[°C\];
/// a: quality of the water (1.8 clean, 1 slightly polluted); b: shape of the fall (1 free weir).
///
/// Fitted to river weirs: at a few litres a minute out of a hose it is extrapolated, so nothing that must hold may count on it.
/// Source: Gameson, as in UK Water Research Laboratory (1973).
/// Evidence: `evidence/oxygen/transfer.toml`.
pub fn deficit_ratio_of_fall(fall: Length, temperature: ThermodynamicTemperature, (a, b): (f64, f64)) -> f64 {
    let (h, t) = (fall.value, temperature.value - 273.15);
    1.0 + 0.38 * a * b * h * (1.0 - 0.11 * h) * (1.0 + 0.046 * t)
}

/// Still water in a room without wind takes oxygen at so much \[m/h\]: 2.07 cm/h, the still end of lakes.
///
/// Source: Cole & Caraco, Limnol. Oceanogr. 43 (1998) 647–656 (from memory); Cole et al. (2010) give 1.5–3.1 cm/h (abstract).
pub const STILL_SURFACE_M_H: f64 = 0.0207;

/// Rate of use of oxygen by roots \[mg/(g h)\] from nmol/(g s): 31.998·3600·10⁻⁶.
///
/// Evidence: `evidence/oxygen/transfer.toml`.
pub fn use_mg_g_h(nmol_g_s: f64) -> f64 {
    nmol_g_s * super::MOLAR_MASS_G * 3600e-6
}

/// Time until oxygen falls from C₀ to C_th \[h\], with a transfer rate k \[1/h\] towards C* and a use R over the volume
/// \[mg/(L h)\]: t = ln\[(C₀ − C∞)/(C_th − C∞)\]/k with C∞ = C* − R/k; (C₀ − C_th)/R where k is nil. Infinite where it never
/// falls so far, nil where it lies below already.
///
/// Source: closed form.
/// Evidence: `evidence/oxygen/failure.toml`.
pub fn hours_to(threshold: f64, start: f64, saturation: f64, rate_1_h: f64, use_mg_l_h: f64) -> f64 {
    if start <= threshold {
        return 0.0;
    }
    if rate_1_h <= 0.0 {
        return if use_mg_l_h > 0.0 { (start - threshold) / use_mg_l_h } else { f64::INFINITY };
    }
    let end = saturation - use_mg_l_h / rate_1_h;
    if end >= threshold { f64::INFINITY } else { ((start - end) / (threshold - end)).ln() / rate_1_h }
}

/// kLa \[1/h\] and end value \[mg/L\] of a clean-water test: readings of time \[h\] and oxygen \[mg/L\] after stripping, fitted by
/// C = C∞ − (C∞ − C₀) e^(−k t), all three free; also the standard error of kLa \[1/h\]. None where the readings do not tell.
///
/// Least squares: for each k the other two are linear; k by golden section on the logarithm. Source: the non-linear method of
/// ASCE/EWRI 2 (from memory).
/// Evidence: `evidence/oxygen/transfer.toml`.
pub fn fit(readings: &[(f64, f64)]) -> Option<Fitted> {
    let span =
        readings.iter().map(|r| r.0).fold(f64::MIN, f64::max) - readings.iter().map(|r| r.0).fold(f64::MAX, f64::min);
    if readings.len() < 4
        || span.is_nan()
        || span <= 0.0
        || readings.iter().any(|r| !r.0.is_finite() || !r.1.is_finite())
    {
        return None;
    }
    let begin = readings.iter().map(|r| r.0).fold(f64::MAX, f64::min);
    let at = |ln_k: f64| residual(readings, begin, ln_k.exp());
    let (mut lo, mut hi) = ((0.02 / span).ln(), (200.0 / span).ln());
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    for _ in 0..80 {
        let (a, b) = (hi - golden * (hi - lo), lo + golden * (hi - lo));
        if at(a).0 < at(b).0 { hi = b } else { lo = a }
    }
    let ln_k = 0.5 * (lo + hi);
    let (sum, end, start) = at(ln_k);
    let k = ln_k.exp();
    // An end of the search, or a curve that hardly bends: the readings do not reach far enough.
    if k * span < 0.5 || k * span > 100.0 || end <= start {
        return None;
    }
    let step = 1e-3;
    let bend = (at(ln_k + step).0 - 2.0 * sum + at(ln_k - step).0) / (step * step);
    let variance = sum / (readings.len() as f64 - 3.0).max(1.0);
    let error = if bend > 0.0 { k * (2.0 * variance / bend).sqrt() } else { f64::INFINITY };
    Some(Fitted {
        kla_1_h: k,
        end_mg_l: end,
        start_mg_l: start,
        error_1_h: error,
        rms_mg_l: (sum / readings.len() as f64).sqrt(),
    })
}

/// What a clean-water test gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// Transfer rate \[1/h\].
    pub kla_1_h: f64,
    /// Where it tends \[mg/L\].
    pub end_mg_l: f64,
    /// At the first reading \[mg/L\].
    pub start_mg_l: f64,
    /// Standard error of the rate \[1/h\].
    pub error_1_h: f64,
    /// Root mean square of what the curve misses \[mg/L\].
    pub rms_mg_l: f64,
}

/// Sum of squares and the best ends C∞ and C₀ for a rate.
fn residual(readings: &[(f64, f64)], begin: f64, k: f64) -> (f64, f64, f64) {
    // C = C∞ (1 − e) + C₀ e: two linear unknowns.
    let (mut aa, mut ab, mut bb, mut ay, mut by) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (t, c) in readings {
        let e = (-k * (t - begin)).exp();
        let a = 1.0 - e;
        aa += a * a;
        ab += a * e;
        bb += e * e;
        ay += a * c;
        by += e * c;
    }
    let det = aa * bb - ab * ab;
    if det.abs() < 1e-14 * (aa * bb).max(1e-300) {
        return (f64::INFINITY, 0.0, 0.0);
    }
    let (end, start) = ((ay * bb - by * ab) / det, (by * aa - ay * ab) / det);
    let sum = readings.iter().map(|(t, c)| (step_response(end, start, k * (t - begin)) - c).powi(2)).sum();
    (sum, end, start)
}
