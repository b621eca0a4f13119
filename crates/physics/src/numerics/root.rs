//! Roots of one unknown: a bracketed method for any function, a guarded Newton for monotone ones.

/// A root of `f` in `[lo, hi]`, or `None` where the ends do not bracket one.
///
/// Bisection with secant proposals in the Illinois manner: superlinear on smooth functions, and
/// never worse than bisection twice over. Stops when the bracket is within `tol` of the root in x.
/// Source: Dowell & Jarratt, BIT 11 (1971) 168–174.
pub fn bracketed(mut lo: f64, mut hi: f64, tol: f64, mut f: impl FnMut(f64) -> f64) -> Option<f64> {
    let (mut flo, mut fhi) = (f(lo), f(hi));
    if flo.is_nan() || fhi.is_nan() {
        return None;
    }
    if flo == 0.0 {
        return Some(lo);
    }
    if fhi == 0.0 {
        return Some(hi);
    }
    if (flo < 0.0) == (fhi < 0.0) {
        return None;
    }
    let mut last_side = 0i8;
    for round in 0..200 {
        let width = hi - lo;
        if width.abs() <= tol {
            break;
        }
        // Every third round halves, so that a flat end cannot stall the secant.
        let mut x = if round % 3 == 2 { 0.5 * (lo + hi) } else { (lo * fhi - hi * flo) / (fhi - flo) };
        if !(x > lo.min(hi) && x < lo.max(hi)) {
            x = 0.5 * (lo + hi);
        }
        let fx = f(x);
        if fx == 0.0 {
            return Some(x);
        }
        if (fx < 0.0) == (flo < 0.0) {
            (lo, flo) = (x, fx);
            if last_side == -1 {
                fhi *= 0.5;
            }
            last_side = -1;
        } else {
            (hi, fhi) = (x, fx);
            if last_side == 1 {
                flo *= 0.5;
            }
            last_side = 1;
        }
    }
    Some(0.5 * (lo + hi))
}

/// The root of an increasing function in `[lo, hi]`, from a guess, by Newton steps that fall back
/// to bisection whenever they leave the bracket.
///
/// `f` gives value and slope. Returns the nearer end where the function does not change sign.
/// Stops after a step below `tol` (absolute, in x): Newton then stands within about tol² of the root.
pub fn increasing(mut lo: f64, mut hi: f64, guess: f64, tol: f64, mut f: impl FnMut(f64) -> (f64, f64)) -> f64 {
    let mut x = if guess > lo && guess < hi { guess } else { 0.5 * (lo + hi) };
    for _ in 0..100 {
        let (v, slope) = f(x);
        if v == 0.0 {
            return x;
        }
        if v > 0.0 {
            hi = x
        } else {
            lo = x
        }
        let newton = v / slope;
        // On the root already: the bracket's own end must not send it away again.
        if newton.abs() <= tol {
            return (x - newton).clamp(lo, hi);
        }
        let mut next = x - newton;
        if !(next > lo && next < hi) {
            next = 0.5 * (lo + hi);
        }
        let step = (next - x).abs();
        x = next;
        if step <= tol || hi - lo <= tol {
            return x;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bracketed_finds_a_cubic_and_refuses_an_open_bracket() {
        let x = bracketed(0.0, 3.0, 1e-13, |x| x * x * x - 2.0).unwrap();
        assert!((x - 2f64.cbrt()).abs() < 1e-12);
        assert!(bracketed(2.0, 3.0, 1e-12, |x| x * x * x - 2.0).is_none());
        assert!(bracketed(0.0, f64::NAN, 1e-12, |x| x).is_none());
    }

    #[test]
    fn increasing_survives_a_flat_start() {
        let x = increasing(0.0, 10.0, 1e-9, 1e-13, |x| (x.powi(5) - 1.0, 5.0 * x.powi(4)));
        assert!((x - 1.0).abs() < 1e-11);
    }
}
