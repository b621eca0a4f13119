//! Explicit Runge–Kutta 5(4) with a continuous extension, for right-hand sides with kinks that the
//! caller cuts out by restarting at them.
//!
//! Source: Dormand & Prince, J. Comput. Appl. Math. 6 (1980) 19–26; continuous extension and
//! step control from Hairer, Nørsett & Wanner, *Solving Ordinary Differential Equations I*,
//! 2nd ed. 1993, § II.4–II.6 (coefficients as printed there, entered from memory and checked by
//! the order tests below).
//!
//! Every stage is a linear combination of right-hand sides, so any linear law that they obey (the
//! water in all vessels stays the same) holds in the solution to rounding, also between steps.

use std::ops::Range;

/// One integration in progress.
pub struct Dopri5 {
    /// Time \[s\].
    pub t: f64,
    /// State at `t`.
    pub y: Vec<f64>,
    /// Start of the last accepted step.
    pub t_old: f64,
    /// Right-hand sides evaluated so far.
    pub calls: u64,
    y_old: Vec<f64>,
    h: f64,
    h_done: f64,
    rtol: f64,
    atol: Vec<f64>,
    k: [Vec<f64>; 7],
    trial: Vec<f64>,
    dense: [Vec<f64>; 4],
    fresh: bool,
    moving: Vec<Range<usize>>,
}

/// Why a step could not be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepError {
    /// The step shrank below the resolution of time.
    TooSmall,
    /// The right-hand side gave a number that is not finite.
    NotFinite,
}

const C: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
const A1: [f64; 1] = [0.2];
const A2: [f64; 2] = [3.0 / 40.0, 9.0 / 40.0];
const A3: [f64; 3] = [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0];
const A4: [f64; 4] = [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0];
const A5: [f64; 5] = [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0];
const A6: [f64; 6] = [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0];
const E: [f64; 7] =
    [71.0 / 57600.0, 0.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339200.0, 22.0 / 525.0, -1.0 / 40.0];
const D: [f64; 7] = [
    -12715105075.0 / 11282082432.0,
    0.0,
    87487479700.0 / 32700410799.0,
    -10690763975.0 / 1880347072.0,
    701980252875.0 / 199316789632.0,
    -1453857185.0 / 822651844.0,
    69997945.0 / 29380423.0,
];

impl Dopri5 {
    /// Starts at `(t, y)`. A component with an infinite `atol` is carried but does not steer the step.
    pub fn new(t: f64, y: &[f64], rtol: f64, atol: &[f64]) -> Self {
        let n = y.len();
        Self {
            t,
            y: y.to_vec(),
            t_old: t,
            calls: 0,
            y_old: y.to_vec(),
            h: 1.0,
            h_done: 0.0,
            rtol,
            atol: atol.to_vec(),
            k: std::array::from_fn(|_| vec![0.0; n]),
            trial: vec![0.0; n],
            dense: std::array::from_fn(|_| vec![0.0; n]),
            fresh: true,
            moving: std::iter::once(0..n).collect(),
        }
    }

    /// From now on only these components move; the right-hand side gives nil for all others.
    ///
    /// What rests costs nothing: neither stages nor error nor interpolation look at it.
    pub fn move_only(&mut self, spans: &[Range<usize>]) {
        if self.moving != spans {
            // A resting component reads the same from either end of a step.
            self.y_old.copy_from_slice(&self.y);
            self.trial.copy_from_slice(&self.y);
            // The slope here is nil already where nothing moves; older ones may not be.
            for v in self.k[1..].iter_mut().chain(&mut self.dense) {
                v.fill(0.0);
            }
            self.moving = spans.to_vec();
        }
    }

    /// Goes on from a point inside the last step (an event), with a right-hand side that may differ.
    pub fn restart(&mut self, t: f64, h: f64) {
        self.t = t;
        self.h = h;
        self.fresh = true;
    }

    /// Goes back to a point inside the last accepted step; [`Self::interpolate`] still knows all of it.
    pub fn cut_to(&mut self, t: f64) {
        let mut y = std::mem::take(&mut self.y);
        self.interpolate(t, &mut y);
        (self.y, self.t, self.fresh) = (y, t, true);
    }

    /// Takes the last accepted step back, to make one no longer than `h` in its place.
    pub fn take_back(&mut self, h: f64) {
        self.y.copy_from_slice(&self.y_old);
        self.restart(self.t_old, h);
    }

    /// The last right-hand side at the current point (valid after a step or [`Self::refresh`]).
    pub fn slope(&self) -> &[f64] {
        &self.k[0]
    }

    /// Evaluates the right-hand side at the current point if that is not already known.
    pub fn refresh(&mut self, f: &mut impl FnMut(f64, &[f64], &mut [f64])) {
        if self.fresh {
            f(self.t, &self.y, &mut self.k[0]);
            self.calls += 1;
            self.fresh = false;
        }
    }

    /// The step that it would try next \[s\].
    pub fn next_step(&self) -> f64 {
        self.h
    }

    /// Makes one accepted step that does not pass `t_end`.
    ///
    /// # Errors
    /// [`StepError`] where no step can be made; the state is then still that of the last good step.
    pub fn step(&mut self, t_end: f64, f: &mut impl FnMut(f64, &[f64], &mut [f64])) -> Result<(), StepError> {
        self.refresh(f);
        if self.k[0].iter().any(|v| !v.is_finite()) {
            return Err(StepError::NotFinite);
        }
        let mut rejected = false;
        loop {
            let h = self.h.min(t_end - self.t);
            if h <= 1e-12 * self.t.abs().max(1e-3) {
                return Err(StepError::TooSmall);
            }
            for (stage, c) in C.iter().enumerate().skip(1) {
                match stage {
                    1 => self.combine(h, &A1),
                    2 => self.combine(h, &A2),
                    3 => self.combine(h, &A3),
                    4 => self.combine(h, &A4),
                    5 => self.combine(h, &A5),
                    _ => self.combine(h, &A6),
                }
                f(self.t + c * h, &self.trial, &mut self.k[stage]);
            }
            self.calls += 6;
            let err = self.error(h);
            if !err.is_finite() {
                self.h = 0.1 * h;
                rejected = true;
                if self.h < 1e-9 {
                    return Err(StepError::NotFinite);
                }
                continue;
            }
            let factor = (0.9 * err.max(1e-10).powf(-0.2)).clamp(0.2, if rejected { 1.0 } else { 8.0 });
            if err > 1.0 {
                self.h = h * factor.min(0.9);
                rejected = true;
                continue;
            }
            self.t_old = self.t;
            self.h_done = h;
            self.t = if h >= t_end - self.t { t_end } else { self.t + h };
            std::mem::swap(&mut self.y_old, &mut self.y);
            self.y.copy_from_slice(&self.trial);
            self.prepare_dense();
            self.k.swap(0, 6);
            // A step cut short by `t_end` says nothing against the longer one that was planned.
            self.h = if h < self.h { self.h.max(h * factor) } else { h * factor };
            return Ok(());
        }
    }

    /// trial = y + h Σ aⱼ kⱼ over the components that move.
    fn combine<const S: usize>(&mut self, h: f64, a: &[f64; S]) {
        for span in &self.moving {
            let y = &self.y[span.clone()];
            let k: [&[f64]; S] = std::array::from_fn(|j| &self.k[j][span.clone()][..y.len()]);
            for (i, t) in self.trial[span.clone()].iter_mut().enumerate() {
                let mut sum = 0.0;
                for j in 0..S {
                    sum += a[j] * k[j][i];
                }
                *t = y[i] + h * sum;
            }
        }
    }

    /// Root mean square of the embedded error over its tolerance.
    fn error(&self, h: f64) -> f64 {
        let (mut sum, mut steering) = (0.0, 0usize);
        for span in &self.moving {
            let k: [&[f64]; 7] = std::array::from_fn(|j| &self.k[j][span.clone()]);
            let (y, trial) = (&self.y[span.clone()], &self.trial[span.clone()]);
            for (i, atol) in self.atol[span.clone()].iter().enumerate() {
                if atol.is_infinite() {
                    continue;
                }
                let mut e = 0.0;
                for (kj, c) in k.iter().zip(&E) {
                    e += c * kj[i];
                }
                let scale = atol + self.rtol * y[i].abs().max(trial[i].abs());
                sum += (h * e / scale).powi(2);
                steering += 1;
            }
        }
        (sum / steering.max(1) as f64).sqrt()
    }

    fn prepare_dense(&mut self) {
        let h = self.h_done;
        for span in &self.moving {
            let k: [&[f64]; 7] = std::array::from_fn(|j| &self.k[j][span.clone()]);
            let [d0, d1, d2, d3] = &mut self.dense;
            let (y, y_old) = (&self.y[span.clone()], &self.y_old[span.clone()]);
            let bends = d0[span.clone()].iter_mut().zip(&mut d1[span.clone()]);
            for (i, ((d0, d1), (d2, d3))) in
                bends.zip(d2[span.clone()].iter_mut().zip(&mut d3[span.clone()])).enumerate()
            {
                let dy = y[i] - y_old[i];
                let bend = h * k[0][i] - dy;
                let mut d = 0.0;
                for (kj, c) in k.iter().zip(&D) {
                    d += c * kj[i];
                }
                (*d0, *d1, *d2, *d3) = (dy, bend, dy - h * k[6][i] - bend, h * d);
            }
        }
    }

    /// The state at a time inside the last accepted step, to fourth order.
    pub fn interpolate(&self, t: f64, out: &mut [f64]) {
        out.copy_from_slice(&self.y_old);
        for span in &self.moving {
            for i in span.clone() {
                out[i] = self.interpolate_one(t, i);
            }
        }
    }

    /// One component of [`Self::interpolate`].
    pub fn interpolate_one(&self, t: f64, i: usize) -> f64 {
        let x = if self.h_done > 0.0 { (t - self.t_old) / self.h_done } else { 1.0 };
        let r = 1.0 - x;
        let d = &self.dense;
        self.y_old[i] + x * (d[0][i] + r * (d[1][i] + x * (d[2][i] + r * d[3][i])))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decay_error(rtol: f64) -> (f64, f64, u64) {
        let mut s = Dopri5::new(0.0, &[1.0, 0.0], rtol, &[rtol * 1e-3; 2]);
        let mut f = |_t: f64, y: &[f64], dy: &mut [f64]| {
            dy[0] = -y[0];
            dy[1] = y[0];
        };
        let mut mid = [0.0; 2];
        let mut worst = 0.0f64;
        while s.t < 5.0 {
            s.step(5.0, &mut f).unwrap();
            let t = 0.37 * s.t_old + 0.63 * s.t;
            s.interpolate(t, &mut mid);
            worst = worst.max((mid[0] - (-t).exp()).abs());
            assert!((mid[0] + mid[1] - 1.0).abs() < 1e-14, "the linear law holds between steps too");
        }
        ((s.y[0] - (-5f64).exp()).abs(), worst, s.calls)
    }

    #[test]
    fn exact_decay_converges_at_fifth_order_in_work() {
        let (e1, d1, n1) = decay_error(1e-5);
        let (e2, d2, n2) = decay_error(1e-10);
        let order = (e1 / e2).ln() / (n2 as f64 / n1 as f64).ln();
        assert!(order > 4.2, "observed order {order}");
        assert!(d1 < 1e-4 && d2 < 1e-9);
    }

    #[test]
    fn law_what_rests_stays_and_the_rest_goes_on_as_if_alone() {
        let mut f = |_t: f64, y: &[f64], dy: &mut [f64]| {
            dy.fill(0.0);
            dy[1] = -y[1];
        };
        let mut all = Dopri5::new(0.0, &[7.0, 1.0, 3.0], 1e-8, &[1e-10; 3]);
        let mut one = Dopri5::new(0.0, &[7.0, 1.0, 3.0], 1e-8, &[1e-10; 3]);
        one.move_only(std::slice::from_ref(&(1..2)));
        let mut point = [0.0; 3];
        while one.t < 2.0 {
            one.step(2.0, &mut f).unwrap();
            one.interpolate(0.5 * (one.t_old + one.t), &mut point);
            assert_eq!((point[0], point[2]), (7.0, 3.0));
        }
        while all.t < 2.0 {
            all.step(2.0, &mut f).unwrap();
        }
        assert_eq!((one.y[0], one.y[2]), (7.0, 3.0));
        assert!((one.y[1] - all.y[1]).abs() < 1e-7 && (one.y[1] - (-2f64).exp()).abs() < 1e-7);
    }
}
