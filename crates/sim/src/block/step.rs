//! One step of a column: an implicit two-stage formula in mixed form, each stage solved by Newton.
//!
//! Cell i: Δzᵢ dθ(hᵢ)/dt = Fᵢ = qᵢ − qᵢ₊₁ − Sᵢ Δzᵢ, flux upwards over the face below the cell
//! qᵢ = −K [(hᵢ − hᵢ₋₁)/(zᵢ − zᵢ₋₁) + 1], K the arithmetic mean of the two cells. θ itself stands in the balance and
//! not its derivative, so that water is conserved to the residual.
//! Source of the mixed form: Celia, Bouloutas & Zarba, Water Resour. Res. 26 (1990) 1483–1496.
//!
//! In time: trapezoidal rule to t + γΔt, then the second backward difference, γ = 2 − √2, so that both stages
//! ask for the same implicit share d = γ/2; second order, and stiff parts die out in one step. Water that
//! crosses a bound is Δt (w Fⁿ + w F^γ + d Fⁿ⁺¹), w = √2/4, exactly what the contents change by.
//! Source: Bank et al., IEEE Trans. CAD 4 (1985) 436–451; error estimate by the third-order companion of
//! Hosea & Shampine, Appl. Numer. Math. 20 (1996) 21–37 (both from memory; the order test holds them).

use super::column::Column;
use super::edge::{Around, Base, Beside, Entry, Top};
use std::f64::consts::SQRT_2;
use tidewright_physics::media::AtHead;

/// γ.
const GAMMA: f64 = 2.0 - SQRT_2;
/// d = γ/2.
const IMPLICIT: f64 = 0.5 * GAMMA;
/// w.
const EXPLICIT: f64 = 0.25 * SQRT_2;
/// Newton rounds before a step is tried shorter.
const MOST_ROUNDS: usize = 30;
/// Water left unbalanced in any cell when a stage is done, over the error that a step may make \[m³/m²\]: a hundredth of
/// it in a cell of a millimetre. What is left does not add up: contents are carried by the fluxes.
const BALANCED: f64 = 1e-5;
/// … and the least that rounding lets be asked for.
const BALANCED_LEAST: f64 = 1e-12;
/// … and the most that is ever left.
const BALANCED_MOST: f64 = 2e-8;

/// Head at which a top is as dry as air makes it \[m\]: there a medium holds and brings next to nothing.
/// From memory: ten metres and more, no source.
const AIR_DRY: f64 = -10.0;

/// Suctions below which a cell may be taken to be saturated, and with which it begins to dry, in a search \[m\].
const ALL_BUT_WET: f64 = 1e-4;
const JUST_DRY: f64 = 0.01;
/// Below this head a cell counts as dry \[m\], and what is left unbalanced in it so many times.
const ALL_BUT_DRY: f64 = -0.4;
const DRY_COUNTS: f64 = 1e4;
/// No head is looked for below this \[m\]: what a medium holds there is less than a search leaves unbalanced.
const DRIEST: f64 = -1e4;

/// Fluxes at one moment: over each face, upwards, and to the roots of each cell \[m/s\].
#[derive(Clone, Debug, Default)]
struct Flows {
    face: Vec<f64>,
    drunk: Vec<f64>,
    /// In through the sides of each cell.
    entered: Vec<f64>,
}

impl Flows {
    /// What a cell gains.
    fn gain(&self, i: usize) -> f64 {
        self.face[i] - self.face[i + 1] + self.entered[i] - self.drunk[i]
    }
}

/// What crossed the block's bounds during one step \[m³/m²\]; into the block is positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Crossed {
    pub(super) base: f64,
    pub(super) sides: f64,
    pub(super) top: f64,
    pub(super) roots: f64,
    /// Largest error of a cell's content \[-\].
    pub(super) error: f64,
}

/// Water that passed in a while \[m³/m²\], cell by cell: what carries salt.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Told {
    /// Up over the face under each cell, and over the top.
    pub(crate) face: Vec<f64>,
    /// To the roots of each cell.
    pub(crate) drunk: Vec<f64>,
    /// In through the sides of each cell.
    pub(crate) entered: Vec<f64>,
}

/// Room for one step; kept from step to step.
#[derive(Clone, Debug, Default)]
pub(crate) struct Work {
    /// Summed up over the steps taken, where somebody wants to know.
    pub(crate) told: Option<Told>,
    /// By how much roots in wet parts make up for others, as the step begins \[-\].
    makes_up: f64,
    /// Water that a search may leave unbalanced \[m³/m²\].
    balanced: f64,
    target: Vec<f64>,
    at: Vec<AtHead>,
    lower: Vec<f64>,
    diagonal: Vec<f64>,
    upper: Vec<f64>,
    right: Vec<f64>,
    /// At the begin of the step, at its first stage, and as last assembled.
    begin: Flows,
    middle: Flows,
    now: Flows,
    /// Heads that are tried.
    pub(super) head: Vec<f64>,
    /// Change of each head over the last step \[m/s\].
    rate: Vec<f64>,
    /// Contents at the begin of the step.
    pub(super) content: Vec<f64>,
}

/// Flux upwards over a face and its slopes by the heads below and above it.
struct Face {
    q: f64,
    by_below: f64,
    by_above: f64,
}

/// A Newton step as far as the curve of a medium lets its tangent be trusted: one from dry towards wet stops
/// short of saturation, one from saturated towards dry just below it, and none triples a suction.
fn guarded(from: f64, to: f64) -> f64 {
    if from < -ALL_BUT_WET && to > 0.0 {
        0.1 * from
    } else if from >= 0.0 && to < -JUST_DRY {
        -JUST_DRY
    } else {
        to.max(3.0 * from.min(0.0) - JUST_DRY).max(DRIEST)
    }
}

/// Flux between a cell and a head held at its edge `distance` away; `sign` is 1 where the edge lies below.
fn edge_face(cell: AtHead, head: f64, edge: AtHead, at_edge: f64, distance: f64, sign: f64) -> (f64, f64) {
    let k = 0.5 * (cell.conductivity + edge.conductivity);
    let pull = sign * (head - at_edge) / distance + 1.0;
    (-k * pull, -0.5 * cell.slope * pull - sign * k / distance)
}

impl Work {
    /// Contents and fluxes at the column's heads, from which steps begin.
    pub(super) fn begin(&mut self, column: &Column, around: &Around, error: f64) {
        let n = column.dz.len();
        self.balanced = (BALANCED * error).clamp(BALANCED_LEAST, BALANCED_MOST);
        for v in [&mut self.lower, &mut self.diagonal, &mut self.upper, &mut self.right] {
            v.resize(n, 0.0);
        }
        self.now.face.resize(n + 1, 0.0);
        self.now.drunk.resize(n, 0.0);
        self.now.entered.resize(n, 0.0);
        self.at.resize(n, AtHead::default());
        self.head.clone_from(&column.head);
        self.rate.clear();
        self.rate.resize(n, 0.0);
        self.content.clone_from(&column.content);
        self.target.clone_from(&self.content);
        self.makes_up = around.roots.as_ref().map_or(1.0, |r| r.makes_up(&self.head));
        self.assemble(column, around, 0.0);
        self.begin.clone_from(&self.now);
    }

    /// One step of `dt` \[s\]; the new heads stand in `head`. None where Newton does not settle.
    pub(super) fn step(&mut self, column: &Column, around: &Around, dt: f64) -> Option<Crossed> {
        let n = column.dz.len();
        for i in 0..n {
            // A cell that stays unsaturated goes on as it went.
            let (h, ahead) = (column.head[i], column.head[i] + GAMMA * dt * self.rate[i]);
            self.head[i] = if h < 0.0 && ahead < 0.0 && ahead > 2.0 * h { ahead } else { h };
            self.target[i] = self.content[i] + dt * IMPLICIT * self.begin.gain(i) / column.dz[i];
        }
        self.stage(column, around, dt * IMPLICIT)?;
        self.middle.clone_from(&self.now);
        for i in 0..n {
            let both = self.begin.gain(i) + self.middle.gain(i);
            self.target[i] = self.content[i] + dt * EXPLICIT * both / column.dz[i];
        }
        // The second stage lies as far on the same way.
        for (h, old) in self.head.iter_mut().zip(&column.head) {
            let ahead = old + (*h - old) / GAMMA;
            if *h < 0.0 && ahead < 0.0 {
                *h = ahead;
            }
        }
        self.stage(column, around, dt * IMPLICIT)?;
        Some(self.crossed(column, around, dt))
    }

    /// The step is taken: the next begins here, with what the fluxes brought, so that what a search leaves
    /// unbalanced does not add up.
    pub(super) fn accept(&mut self, column: &Column, around: &Around, dt: f64) {
        for i in 0..self.content.len() {
            self.rate[i] = (self.head[i] - column.head[i]) / dt;
            if column.z[i] < around.held_to() {
                self.content[i] = self.at[i].content;
            } else {
                let both = self.begin.gain(i) + self.middle.gain(i);
                self.content[i] += dt * (EXPLICIT * both + IMPLICIT * self.now.gain(i)) / column.dz[i];
            }
        }
        if let Some(told) = &mut self.told {
            let add = |to: &mut Vec<f64>, begin: &[f64], middle: &[f64], now: &[f64]| {
                to.resize(now.len(), 0.0);
                for (i, t) in to.iter_mut().enumerate() {
                    *t += dt * (EXPLICIT * (begin[i] + middle[i]) + IMPLICIT * now[i]);
                }
            };
            add(&mut told.face, &self.begin.face, &self.middle.face, &self.now.face);
            add(&mut told.drunk, &self.begin.drunk, &self.middle.drunk, &self.now.drunk);
            add(&mut told.entered, &self.begin.entered, &self.middle.entered, &self.now.entered);
        }
        std::mem::swap(&mut self.begin, &mut self.now);
        if let Some(roots) = &around.roots {
            // Told once a step: the next begins with the sinks that go with it.
            let before = std::mem::replace(&mut self.makes_up, roots.makes_up(&self.head));
            for d in &mut self.begin.drunk {
                *d *= self.makes_up / before;
            }
        }
    }

    /// Heads at which each cell holds its target and what flows in during `share` \[s\].
    fn stage(&mut self, column: &Column, around: &Around, share: f64) -> Option<()> {
        let mut last = f64::INFINITY;
        for _ in 0..MOST_ROUNDS {
            self.assemble(column, around, share);
            // A dry cell has nothing to spare: what a search left there would soon be more than it holds.
            let weigh = |h: f64| if h < ALL_BUT_DRY { DRY_COUNTS } else { 1.0 };
            let worst = self.right.iter().zip(&self.head).fold(0.0f64, |a, (r, h)| a.max(r.abs() * weigh(*h)));
            if !worst.is_finite() {
                return None;
            }
            if worst < self.balanced || (worst < 10.0 * self.balanced && worst >= 0.5 * last) {
                return Some(());
            }
            last = worst;
            self.solve();
            for (h, d) in self.head.iter_mut().zip(&self.right) {
                *h = guarded(*h, *h + d);
            }
        }
        None
    }

    /// Fluxes, residuals (negated, in `right`) and the Jacobian, as water over `dt` \[m³/m²\].
    fn assemble(&mut self, column: &Column, around: &Around, dt: f64) {
        let n = column.dz.len();
        let held = around.held_to();
        column.at_each(&self.head, &mut self.at);
        let mut below = self.base(column, around);
        for i in 0..n {
            let above = if i + 1 < n { self.between(column, i) } else { self.top(column, around) };
            let a = self.at[i];
            let (drunk, by_head) = around.roots.as_ref().map_or((0.0, 0.0), |r| {
                let (share, slope) = r.stress(self.head[i]);
                let most = self.makes_up * r.demand_m_s * r.shares[i];
                (most * share, most * slope)
            });
            let (entered, by_side) = self.beside(column, around, i);
            self.now.face[i] = below.q;
            self.now.drunk[i] = drunk;
            self.now.entered[i] = entered;
            if column.z[i] < held {
                (self.lower[i], self.diagonal[i], self.upper[i], self.right[i]) = (0.0, 1.0, 0.0, 0.0);
            } else {
                let gained = column.dz[i] * (a.content - self.target[i]);
                self.right[i] = -(gained - dt * (below.q - above.q + entered - drunk));
                self.lower[i] = -dt * below.by_below;
                self.diagonal[i] =
                    column.dz[i] * a.capacity - dt * (below.by_above - above.by_below + by_side - by_head);
                self.upper[i] = dt * above.by_above;
                // A cell that is saturated between two saturated ones still needs a pivot.
                if self.diagonal[i] == 0.0 {
                    self.diagonal[i] = 1e-300;
                }
            }
            below = above;
        }
        self.now.face[n] = below.q;
    }

    fn between(&self, column: &Column, i: usize) -> Face {
        let (a, b) = (self.at[i], self.at[i + 1]);
        let per_m = column.per_m[i];
        let k = 0.5 * (a.conductivity + b.conductivity);
        let pull = (self.head[i + 1] - self.head[i]) * per_m + 1.0;
        Face { q: -k * pull, by_below: -0.5 * a.slope * pull + k * per_m, by_above: -0.5 * b.slope * pull - k * per_m }
    }

    fn base(&self, column: &Column, around: &Around) -> Face {
        let (cell, head, distance) = (self.at[0], self.head[0], 0.5 * column.dz[0]);
        let fixed = |at_edge: f64| {
            let (q, by_above) = edge_face(cell, head, column.medium(0).at(at_edge), at_edge, distance, 1.0);
            Face { q, by_below: 0.0, by_above }
        };
        match around.base {
            Base::Standing(h) | Base::Head(h) => fixed(h),
            Base::Flow(q) => Face { q, by_below: 0.0, by_above: 0.0 },
            Base::Seeping => {
                let out = fixed(0.0);
                if out.q < 0.0 { out } else { Face { q: 0.0, by_below: 0.0, by_above: 0.0 } }
            }
        }
    }

    /// Into a cell through its sides, and its slope by the cell's head.
    fn beside(&self, column: &Column, around: &Around, i: usize) -> (f64, f64) {
        let Some(Beside { level_m, entry: Entry::Through(per_m2) }) = around.beside else { return (0.0, 0.0) };
        let (h, dz) = (self.head[i], column.dz[i]);
        let low = column.z[i] - 0.5 * dz;
        let wet = ((level_m - low) / dz).clamp(0.0, 1.0);
        let mut flow = (0.0, 0.0);
        let mut add = |share: f64, outside: f64| {
            let k = 0.5 * (self.at[i].conductivity + column.wet_conductivity(i));
            let pull = outside - h;
            let by = share * dz * per_m2;
            flow.0 += by * k * pull;
            flow.1 += by * (0.5 * self.at[i].slope * pull - k);
        };
        if wet > 0.0 {
            add(wet, level_m - (low + 0.5 * wet * dz));
        }
        if wet < 1.0 && h > 0.0 {
            add(1.0 - wet, 0.0);
        }
        flow
    }

    fn top(&self, column: &Column, around: &Around) -> Face {
        let n = column.dz.len() - 1;
        let held = |h: f64| {
            let edge = column.medium(n).at(h);
            let (q, by_below) = edge_face(self.at[n], self.head[n], edge, h, 0.5 * column.dz[n], -1.0);
            Face { q, by_below, by_above: 0.0 }
        };
        match around.top {
            Top::Evaporating(q) => Face { q, by_below: 0.0, by_above: 0.0 },
            Top::Head(h) => held(h),
            Top::Drying(q) => {
                let most = held(AIR_DRY);
                if most.q < q { most } else { Face { q, by_below: 0.0, by_above: 0.0 } }
            }
        }
    }

    /// Elimination from both ends to the middle at once, two chains that do not wait for each other; the answer
    /// stands in `right`.
    fn solve(&mut self) {
        let n = self.right.len();
        let (lower, diagonal) = (&mut self.lower[..n], &self.diagonal[..n]);
        let (upper, right) = (&mut self.upper[..n], &mut self.right[..n]);
        let middle = n / 2;
        let (mut u, mut r, mut l, mut s) = (0.0, 0.0, 0.0, 0.0);
        // Rows below the middle keep their upper coefficient, those above it their lower one.
        for k in 0..middle.max(n - 1 - middle) {
            if k < middle {
                let over = 1.0 / (diagonal[k] - lower[k] * u);
                (u, r) = (upper[k] * over, (right[k] - lower[k] * r) * over);
                (upper[k], right[k]) = (u, r);
            }
            let j = n - 1 - k;
            if j > middle {
                let over = 1.0 / (diagonal[j] - upper[j] * l);
                (l, s) = (lower[j] * over, (right[j] - upper[j] * s) * over);
                (lower[j], right[j]) = (l, s);
            }
        }
        let i = middle;
        right[i] = (right[i] - lower[i] * r - upper[i] * s) / (diagonal[i] - lower[i] * u - upper[i] * l);
        for k in 1..=middle.max(n - 1 - middle) {
            if k <= middle {
                right[i - k] -= upper[i - k] * right[i - k + 1];
            }
            if i + k < n {
                right[i + k] -= lower[i + k] * right[i + k - 1];
            }
        }
    }

    /// What crossed; cells that stand in water took from beside them what else they needed.
    fn crossed(&self, column: &Column, around: &Around, dt: f64) -> Crossed {
        let n = column.dz.len();
        let over =
            |f: &dyn Fn(&Flows) -> f64| dt * (EXPLICIT * (f(&self.begin) + f(&self.middle)) + IMPLICIT * f(&self.now));
        // Weights of the companion formula less those of this one.
        let (e0, e1, e2) =
            ((1.0 - EXPLICIT) / 3.0 - EXPLICIT, (3.0 * EXPLICIT + 1.0) / 3.0 - EXPLICIT, IMPLICIT / 3.0 - IMPLICIT);
        let (mut sides, mut error) = (over(&|f| f.entered.iter().sum()), 0.0f64);
        for i in 0..n {
            let gain = |f: &Flows| f.gain(i);
            if column.z[i] < around.held_to() {
                sides += column.dz[i] * (self.at[i].content - self.content[i]) - over(&gain);
            } else {
                let e = e0 * gain(&self.begin) + e1 * gain(&self.middle) + e2 * gain(&self.now);
                error = error.max((dt * e / column.dz[i]).abs());
            }
        }
        Crossed {
            base: over(&|f| f.face[0]),
            sides,
            top: -over(&|f| f.face[n]),
            roots: -over(&|f| f.drunk.iter().sum()),
            error,
        }
    }
}
