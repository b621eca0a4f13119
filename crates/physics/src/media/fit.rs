//! A retention curve from what was measured: points of content and suction, or weights of whole blocks.

use super::Retention;
use crate::numerics::root;
use crate::quantity::m;

/// A fitted curve and how far it is from its points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// The curve.
    pub retention: Retention,
    /// Root mean square of what it misses \[-\] of water content.
    pub residual: f64,
}

/// Least squares of θ(h) through points (suction \[m\], water content \[-\]): θr, θs, ln α and ln(n − 1) by Levenberg–Marquardt,
/// the derivatives by differences. Needs four points or more; none where no curve is found.
///
/// Bounds: 0 ≤ θr < θs ≤ 1, 0.01 ≤ α ≤ 1000 1/m, 1.02 ≤ n ≤ 20.
/// Source: Marquardt, J. Soc. Ind. Appl. Math. 11 (1963) 431–441 (from memory).
/// Evidence: `evidence/media/fit.toml`.
pub fn through_points(points: &[(f64, f64)]) -> Option<Fitted> {
    let sane = |p: &(f64, f64)| p.0.is_finite() && p.0 >= 0.0 && (0.0..=1.0).contains(&p.1);
    if points.len() < 4 || !points.iter().all(sane) {
        return None;
    }
    let wettest = points.iter().map(|p| p.1).fold(0.0, f64::max);
    let driest = points.iter().map(|p| p.1).fold(1.0, f64::min);
    // From several beginnings: the surface has more than one hollow.
    let starts = [(5.0, 1.5), (10.0, 3.0), (30.0, 1.8), (60.0, 3.0)];
    let best = starts
        .iter()
        .map(|(alpha, n): &(f64, f64)| descend(points, [0.8 * driest, wettest, alpha.ln(), (n - 1.0f64).ln()]))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let residual = (best.1 / points.len() as f64).sqrt();
    residual.is_finite().then(|| Fitted { retention: curve(best.0), residual })
}

fn curve(p: [f64; 4]) -> Retention {
    let theta_s = p[1].clamp(0.01, 1.0);
    Retention {
        theta_r: p[0].clamp(0.0, 0.99 * theta_s),
        theta_s,
        alpha_per_m: p[2].exp().clamp(0.01, 1000.0),
        n: 1.0 + p[3].exp().clamp(0.02, 19.0),
        second: None,
    }
}

fn misses(points: &[(f64, f64)], p: [f64; 4]) -> Vec<f64> {
    let r = curve(p);
    points.iter().map(|(h, c)| r.water_content(m(*h)) - c).collect()
}

/// Levenberg–Marquardt from one beginning: the parameters and the sum of squares.
fn descend(points: &[(f64, f64)], mut p: [f64; 4]) -> ([f64; 4], f64) {
    const ROUNDS: usize = 300;
    const NUDGE: f64 = 1e-6;
    let square = |v: &[f64]| v.iter().map(|x| x * x).sum::<f64>();
    let mut miss = misses(points, p);
    let mut sum = square(&miss);
    let mut damping = 1e-3;
    for _ in 0..ROUNDS {
        let slopes: Vec<Vec<f64>> = (0..4)
            .map(|j| {
                let mut q = p;
                q[j] += NUDGE;
                misses(points, q).iter().zip(&miss).map(|(a, b)| (a - b) / NUDGE).collect()
            })
            .collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let mut a = [[0.0; 5]; 4];
        for i in 0..4 {
            for j in 0..4 {
                a[i][j] = dot(&slopes[i], &slopes[j]);
            }
            a[i][i] += damping * a[i][i].max(1e-9);
            a[i][4] = -dot(&slopes[i], &miss);
        }
        let Some(step) = gauss(a) else { return (p, sum) };
        let tried: [f64; 4] = std::array::from_fn(|i| p[i] + step[i]);
        let after = misses(points, tried);
        let less = square(&after);
        if less < sum {
            let gain = sum - less;
            (p, miss, sum) = (tried, after, less);
            damping = (0.3 * damping).max(1e-12);
            if gain < 1e-16 * sum.max(1e-12) {
                break;
            }
        } else {
            damping *= 4.0;
            if damping > 1e12 {
                break;
            }
        }
    }
    (p, sum)
}

/// Four equations by elimination with the largest pivot.
fn gauss(mut a: [[f64; 5]; 4]) -> Option<[f64; 4]> {
    for i in 0..4 {
        let pivot = (i..4).max_by(|x, y| a[*x][i].abs().total_cmp(&a[*y][i].abs()))?;
        a.swap(i, pivot);
        if a[i][i].abs() < 1e-300 {
            return None;
        }
        for k in i + 1..4 {
            let w = a[k][i] / a[i][i];
            let above = a[i];
            for (x, y) in a[k].iter_mut().zip(above).skip(i) {
                *x -= w * y;
            }
        }
    }
    let mut x = [0.0; 4];
    for i in (0..4).rev() {
        let known: f64 = (i + 1..4).map(|j| a[i][j] * x[j]).sum();
        x[i] = (a[i][4] - known) / a[i][i];
    }
    Some(x)
}

/// α \[1/m\] at which a drained block of height H \[m\] holds a mean content \[-\], the rest of the curve given: the container
/// capacity solved for α. None where no α between 0.1 and 500 does.
///
/// Evidence: `evidence/media/fit.toml`.
pub fn alpha_of_drained(like: Retention, height_m: f64, mean_content: f64) -> Option<f64> {
    let at = |x: f64| {
        Retention { alpha_per_m: x.exp(), second: None, ..like }.container_capacity(m(height_m)) - mean_content
    };
    root::bracketed(0.1f64.ln(), 500f64.ln(), 1e-10, at).map(f64::exp)
}

/// α \[1/m\] and n \[-\] from drained blocks of two heights (height \[m\], mean content \[-\]): a taller one holds less, and how much
/// less tells the shape. None where no n between 1.05 and 12 does.
///
/// Evidence: `evidence/media/fit.toml`.
pub fn shape_of_drained(like: Retention, low: (f64, f64), tall: (f64, f64)) -> Option<(f64, f64)> {
    let with = |x: f64| Retention { n: 1.0 + x.exp(), ..like };
    let miss = |x: f64| {
        let r = with(x);
        let alpha = alpha_of_drained(r, low.0, low.1)?;
        Some(Retention { alpha_per_m: alpha, second: None, ..r }.container_capacity(m(tall.0)) - tall.1)
    };
    let (a, b) = (0.05f64.ln(), 11f64.ln());
    // At the ends of n no α may hold so much: the change of sign is looked for where there are both.
    const PARTS: usize = 40;
    let at = |i: usize| a + (b - a) * i as f64 / PARTS as f64;
    let pair = (0..PARTS).find(|i| matches!((miss(at(*i)), miss(at(i + 1))), (Some(p), Some(q)) if p * q <= 0.0))?;
    let x = root::bracketed(at(pair), at(pair + 1), 1e-9, |x| miss(x).unwrap_or(f64::NAN))?;
    let r = with(x);
    Some((alpha_of_drained(r, low.0, low.1)?, r.n))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WOOL: Retention = Retention { theta_r: 0.03, theta_s: 0.95, alpha_per_m: 8.0, n: 4.0, second: None };

    #[test]
    fn law_what_a_curve_gives_leads_back_to_it() {
        let points: Vec<(f64, f64)> =
            [0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.4].iter().map(|h| (*h, WOOL.water_content(m(*h)))).collect();
        let f = through_points(&points).unwrap();
        assert!(
            f.residual < 1e-7 && (f.retention.alpha_per_m - 8.0).abs() < 1e-4 && (f.retention.n - 4.0).abs() < 1e-3,
            "{f:?}"
        );
        let of = |h: f64| (h, WOOL.container_capacity(m(h)));
        assert!((alpha_of_drained(WOOL, 0.1, of(0.1).1).unwrap() - 8.0).abs() < 1e-6);
        let (alpha, n) = shape_of_drained(WOOL, of(0.075), of(0.2)).unwrap();
        assert!((alpha - 8.0).abs() < 1e-4 && (n - 4.0).abs() < 1e-3, "{alpha} {n}");
    }

    #[test]
    fn nonsense_gives_nothing() {
        assert!(through_points(&[]).is_none());
        assert!(through_points(&[(0.1, f64::NAN); 5]).is_none());
        assert!(through_points(&[(f64::INFINITY, 0.5); 5]).is_none());
        assert!(alpha_of_drained(WOOL, 0.1, 0.99).is_none() && alpha_of_drained(WOOL, 0.1, 0.01).is_none());
        assert!(shape_of_drained(WOOL, (0.1, 0.5), (0.2, 0.9)).is_none());
        let flat = through_points(&[(0.1, 0.5), (0.2, 0.5), (0.3, 0.5), (0.4, 0.5)]);
        assert!(flat.is_none_or(|f| f.residual < 0.01));
    }
}
