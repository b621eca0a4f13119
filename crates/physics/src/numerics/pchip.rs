//! Monotone piecewise cubic interpolation: no wiggles between measured points.

/// A shape-preserving cubic through points of increasing abscissa.
///
/// Slopes by the weighted harmonic mean, one-sided three-point ends. Source: Fritsch & Butland,
/// SIAM J. Sci. Stat. Comput. 5 (1984) 300–304. Beyond the ends it continues straight.
#[derive(Clone, Debug, PartialEq)]
pub struct Pchip {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl Pchip {
    /// From at least two points with strictly increasing x and finite values; else `None`.
    pub fn new(points: &[(f64, f64)]) -> Option<Self> {
        let finite = points.iter().all(|p| p.0.is_finite() && p.1.is_finite());
        if points.len() < 2 || !finite || points.windows(2).any(|w| w[1].0 <= w[0].0) {
            return None;
        }
        let x: Vec<f64> = points.iter().map(|p| p.0).collect();
        let y: Vec<f64> = points.iter().map(|p| p.1).collect();
        let n = x.len();
        let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
        let d: Vec<f64> = (0..n - 1).map(|i| (y[i + 1] - y[i]) / h[i]).collect();
        let mut slope = vec![d[0]; n];
        if n > 2 {
            for i in 1..n - 1 {
                slope[i] = if d[i - 1] * d[i] <= 0.0 {
                    0.0
                } else {
                    let (w1, w2) = (2.0 * h[i] + h[i - 1], h[i] + 2.0 * h[i - 1]);
                    (w1 + w2) / (w1 / d[i - 1] + w2 / d[i])
                };
            }
            slope[0] = end_slope(h[0], h[1], d[0], d[1]);
            slope[n - 1] = end_slope(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
        }
        Some(Self { x, y, slope })
    }

    /// Value and slope at `x`.
    pub fn at(&self, x: f64) -> (f64, f64) {
        let n = self.x.len();
        if x <= self.x[0] {
            return (self.y[0] + self.slope[0] * (x - self.x[0]), self.slope[0]);
        }
        if x >= self.x[n - 1] {
            return (self.y[n - 1] + self.slope[n - 1] * (x - self.x[n - 1]), self.slope[n - 1]);
        }
        let i = self.x.partition_point(|&k| k <= x) - 1;
        let h = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / h;
        let (y0, y1) = (self.y[i], self.y[i + 1]);
        let (m0, m1) = (self.slope[i] * h, self.slope[i + 1] * h);
        let (t2, t3) = (t * t, t * t * t);
        let value =
            y0 * (2.0 * t3 - 3.0 * t2 + 1.0) + m0 * (t3 - 2.0 * t2 + t) + y1 * (3.0 * t2 - 2.0 * t3) + m1 * (t3 - t2);
        let slope = (y0 * (6.0 * t2 - 6.0 * t)
            + m0 * (3.0 * t2 - 4.0 * t + 1.0)
            + y1 * (6.0 * t - 6.0 * t2)
            + m1 * (3.0 * t2 - 2.0 * t))
            / h;
        (value, slope)
    }

    /// The points it passes through.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.x.iter().copied().zip(self.y.iter().copied())
    }
}

fn end_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    let s = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if s * d0 <= 0.0 {
        0.0
    } else if d0 * d1 <= 0.0 && s.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_through_its_points_and_stays_monotone() {
        let p = Pchip::new(&[(0.0, 3.0), (1.0, 2.9), (2.0, 0.5), (5.0, 0.0)]).unwrap();
        assert!((p.at(2.0).0 - 0.5).abs() < 1e-14);
        let mut last = 3.1;
        for i in 0..=500 {
            let v = p.at(i as f64 * 0.01).0;
            assert!(v <= last + 1e-12);
            last = v;
        }
        assert!(Pchip::new(&[(0.0, 1.0), (0.0, 2.0)]).is_none());
    }
}
