//! The small linear systems of the solver.

/// Scaled Cholesky factor of the lower triangle of a symmetric matrix, in place; `scale` receives 1/√diagonal.
pub(super) fn factor(a: &mut [f64], scale: &mut [f64], n: usize) -> Option<()> {
    for c in 0..n {
        let d = a[c * n + c];
        if !(d > 0.0 && d.is_finite()) {
            return None;
        }
        scale[c] = 1.0 / d.sqrt();
    }
    for r in 0..n {
        for c in 0..=r {
            a[r * n + c] *= scale[r] * scale[c];
        }
    }
    for r in 0..n {
        let (above, below) = a.split_at_mut(r * n);
        let row = &mut below[..=r];
        for c in 0..r {
            let other = &above[c * n..=c * n + c];
            let mut sum = row[c];
            for k in 0..c {
                sum -= row[k] * other[k];
            }
            row[c] = sum / other[c];
        }
        let mut d = row[r];
        for x in &row[..r] {
            d -= x * x;
        }
        // Two components that only stand together (iron and its chelate) are told apart by their last digits.
        row[r] = d.max(1e-15).sqrt();
    }
    Some(())
}

/// Solves with the factor of [`factor`].
pub(super) fn back(a: &[f64], scale: &[f64], n: usize, x: &mut [f64]) {
    for r in 0..n {
        let mut sum = x[r] * scale[r];
        for k in 0..r {
            sum -= a[r * n + k] * x[k];
        }
        x[r] = sum / a[r * n + r];
    }
    for r in (0..n).rev() {
        let mut sum = x[r];
        for k in r + 1..n {
            sum -= a[k * n + r] * x[k];
        }
        x[r] = sum / a[r * n + r];
    }
    for (v, s) in x.iter_mut().zip(scale) {
        *v *= s;
    }
}

/// Gaussian elimination with row exchange of an n × (n + 1) system.
pub(super) fn gauss(a: &mut [f64], n: usize) -> Option<Vec<f64>> {
    let w = n + 1;
    for c in 0..n {
        let pivot = (c..n).max_by(|&i, &j| a[i * w + c].abs().total_cmp(&a[j * w + c].abs()))?;
        if a[pivot * w + c].abs() < 1e-300 {
            return None;
        }
        for k in 0..w {
            a.swap(c * w + k, pivot * w + k);
        }
        for r in c + 1..n {
            let f = a[r * w + c] / a[c * w + c];
            for k in c..w {
                a[r * w + k] -= f * a[c * w + k];
            }
        }
    }
    let mut x = vec![0.0; n];
    for r in (0..n).rev() {
        let sum: f64 = (r + 1..n).map(|k| a[r * w + k] * x[k]).sum();
        x[r] = (a[r * w + n] - sum) / a[r * w + r];
    }
    Some(x)
}
