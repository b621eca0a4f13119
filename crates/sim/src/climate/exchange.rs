//! One quantity carried by water between a reservoir and its trays: heat or oxygen.
//!
//! For each vessel, x = X C with a capacity X and what it carries per capacity C: dx/dt = a − b C + Σ q C of what flows in − q C.
//! Trays hang on the reservoir like a star, cascades fall from tray to tray, so that one stage is solved from the highest tray down
//! in so many steps as there are trays. Two stages of an L-stable method of second order (SDIRK, γ = 1 − 1/√2; Alexander, SIAM J.
//! Numer. Anal. 14 (1977) 1006–1021), so that an almost empty tray with a stream through it does no harm.

/// γ of the method.
const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// A tray holds this much at least \[m³\]: a wet floor.
pub(crate) const FILM_M3: f64 = 1e-5;

/// A gain and a loss of one vessel: a − b C.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Term {
    /// Gain \[C m³/s\].
    pub(crate) gain: f64,
    /// Loss for each C \[m³/s\].
    pub(crate) loss: f64,
}

impl Term {
    /// Exchange towards a value: k (end − C).
    pub(crate) fn towards(end: f64, rate_m3_s: f64) -> Self {
        Self { gain: rate_m3_s * end, loss: rate_m3_s }
    }
}

/// Water that moves during a step \[m³/s\].
#[derive(Clone, Debug, Default, serde::Serialize)]
pub struct Flows {
    /// Reservoir to tray.
    pub feed: Vec<f64>,
    /// Tray to reservoir through its feed.
    pub back: Vec<f64>,
    /// Over the riser.
    pub riser: Vec<f64>,
}

/// What holds during a step.
pub(crate) struct Step<'a, const N: usize> {
    /// Length \[s\].
    pub(crate) dt_s: f64,
    /// Capacities at begin and end, the reservoir's first \[m³\].
    pub(crate) capacity: &'a [(f64, f64)],
    /// Water that moves.
    pub(crate) flows: &'a Flows,
    /// Tray that a tray's riser falls into; none for the reservoir.
    pub(crate) into: &'a [Option<usize>],
    /// Trays from the highest down.
    pub(crate) order: &'a [usize],
    /// Gains and losses by kind, the reservoir's first.
    pub(crate) terms: &'a [[Term; N]],
}

/// Amounts in all vessels, the reservoir's first, and what each kind has brought so far.
#[derive(Clone, Debug)]
pub(crate) struct Held<const N: usize> {
    /// \[C m³\]
    pub(crate) amounts: Vec<f64>,
    /// Brought by each kind to each vessel \[C m³\].
    pub(crate) brought: Vec<[f64; N]>,
    base: Vec<f64>,
    line: Vec<(f64, f64)>,
    stage: Vec<f64>,
}

impl<const N: usize> Held<N> {
    pub(crate) fn new(amounts: Vec<f64>) -> Self {
        let n = amounts.len();
        Self { amounts, brought: vec![[0.0; N]; n], base: vec![0.0; n], line: vec![(0.0, 0.0); n], stage: vec![0.0; n] }
    }

    /// Takes over the amounts of another.
    pub(crate) fn start_from(&mut self, other: &Self) {
        self.amounts.clone_from(&other.amounts);
    }

    /// One step.
    pub(crate) fn advance(&mut self, step: &Step<'_, N>) {
        let h = GAMMA * step.dt_s;
        self.base.clone_from(&self.amounts);
        self.solve(step, h, GAMMA);
        for v in 0..self.amounts.len() {
            // Slope of the first stage, known by what it solved.
            let slope = (self.stage[v] * capacity(step, v, GAMMA) - self.base[v]) / h;
            self.tell(step, v, (1.0 - GAMMA) * step.dt_s);
            self.base[v] = self.amounts[v] + (1.0 - GAMMA) * step.dt_s * slope;
        }
        self.solve(step, h, 1.0);
        for v in 0..self.amounts.len() {
            self.tell(step, v, h);
            self.amounts[v] = self.stage[v] * capacity(step, v, 1.0);
        }
    }

    fn tell(&mut self, step: &Step<'_, N>, v: usize, dt_s: f64) {
        for (sum, t) in self.brought[v].iter_mut().zip(&step.terms[v]) {
            *sum += dt_s * (t.gain - t.loss * self.stage[v]);
        }
    }

    /// C in all vessels with x = base + h f(x).
    fn solve(&mut self, step: &Step<'_, N>, h: f64, at: f64) {
        let f = step.flows;
        let sums = |v: usize| step.terms[v].iter().fold((0.0, 0.0), |s, t| (s.0 + t.gain, s.1 + t.loss));
        // Trays as straight lines of the reservoir's C, the highest first.
        for &i in step.order {
            self.line[i + 1] = (self.base[i + 1] + h * sums(i + 1).0, h * f.feed[i]);
        }
        for &i in step.order {
            let under = capacity(step, i + 1, at) + h * (sums(i + 1).1 + f.back[i] + f.riser[i]);
            let (level, slope) = (self.line[i + 1].0 / under, self.line[i + 1].1 / under);
            self.line[i + 1] = (level, slope);
            if let Some(j) = step.into[i] {
                self.line[j + 1].0 += h * f.riser[i] * level;
                self.line[j + 1].1 += h * f.riser[i] * slope;
            }
        }
        let (gain, loss) = sums(0);
        let (mut level, mut under) = (self.base[0] + h * gain, capacity(step, 0, at) + h * loss);
        for &i in step.order {
            let home = f.back[i] + if step.into[i].is_none() { f.riser[i] } else { 0.0 };
            level += h * home * self.line[i + 1].0;
            under += h * (f.feed[i] - home * self.line[i + 1].1);
        }
        let c = level / under;
        self.stage[0] = c;
        for &i in step.order {
            self.stage[i + 1] = self.line[i + 1].0 + self.line[i + 1].1 * c;
        }
    }
}

fn capacity<const N: usize>(step: &Step<'_, N>, v: usize, at: f64) -> f64 {
    let (from, to) = step.capacity[v];
    (from + at * (to - from)).max(FILM_M3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_vessel_alone_relaxes_and_nothing_is_lost_between_two() {
        let flows = Flows { feed: vec![1e-4], back: vec![0.0], riser: vec![1e-4] };
        let mut held: Held<1> = Held::new(vec![0.06 * 2.0, 0.02 * 8.0]);
        let step = |terms: &[[Term; 1]], held: &mut Held<1>, flows: &Flows| {
            held.advance(&Step {
                dt_s: 60.0,
                capacity: &[(0.06, 0.06), (0.02, 0.02)],
                flows,
                into: &[None],
                order: &[0],
                terms,
            });
        };
        let none = [[Term::default()], [Term::default()]];
        for _ in 0..600 {
            step(&none, &mut held, &flows);
        }
        assert!((held.amounts.iter().sum::<f64>() - 0.28).abs() < 1e-12);
        assert!((held.amounts[0] / 0.06 - 3.5).abs() < 1e-9, "both become alike");
        let still = Flows { feed: vec![0.0], back: vec![0.0], riser: vec![0.0] };
        let mut alone: Held<1> = Held::new(vec![0.06 * 5.0, 0.0]);
        let rate = 4.0 / 3600.0 * 0.06;
        for _ in 0..30 {
            step(&[[Term::towards(8.744, rate)], [Term::default()]], &mut alone, &still);
        }
        let exact = 8.744 - (8.744 - 5.0) * (-2.0f64).exp();
        assert!((alone.amounts[0] / 0.06 - exact).abs() < 2e-4, "{} {exact}", alone.amounts[0] / 0.06);
        let brought: f64 = alone.brought.iter().map(|b| b[0]).sum();
        assert!((alone.amounts[0] - 0.3 - brought).abs() < 1e-12);
    }
}
