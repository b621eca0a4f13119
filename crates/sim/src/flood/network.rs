//! The feed of one pump: where its curve meets the losses of its hoses, running or stopped.

use tidewright_physics::hydraulics::line::{LineSi, ROOT_STEP};
use tidewright_physics::hydraulics::pump::Curve;
use tidewright_physics::numerics::root;

/// One way out of the pump's hose.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way {
    /// Its own hose; none where the pump's hose ends in the tray.
    pub(crate) line: Option<LineSi>,
    /// Level that water must reach to leave it \[m above the room's floor\].
    pub(crate) out: f64,
    /// Level that pushes water back into it \[m\], where any can enter.
    pub(crate) back: Option<f64>,
    /// Whether its valve is open.
    pub(crate) open: bool,
}

/// The answer of the last search: the next one begins where its tangent points.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Last {
    /// Flow; negative when running back \[m³/s\].
    pub(crate) flow: f64,
    /// Head that drove it \[m\] and slope of head over flow there \[s/m²\].
    head: f64,
    slope: f64,
}

impl Last {
    /// The flow of `sign` that `head` drives, by a search that takes head and guess and gives flow and slope.
    fn search(&mut self, head: f64, sign: f64, find: impl FnOnce(f64, f64) -> (f64, f64)) -> f64 {
        let mut guess = self.flow.abs();
        if self.flow * sign > 0.0 && self.slope > 0.0 {
            let ahead = guess + (head - self.head) / self.slope;
            if ahead > 0.5 * guess && ahead < 2.0 * guess {
                guess = ahead;
            }
        }
        let (flow, slope) = find(head, guess);
        *self = Self { flow: flow * sign, head, slope };
        self.flow
    }
}

/// A pump with its own hose.
#[derive(Clone, Debug)]
pub(crate) struct Source {
    pub(crate) curve: Curve,
    /// Factors on flow and head: derating and mains frequency.
    pub(crate) flow_factor: f64,
    pub(crate) head_factor: f64,
    pub(crate) trunk: LineSi,
    pub(crate) reverse: LineSi,
    pub(crate) check_valve: bool,
}

impl Source {
    /// Head \[m\] and slope at a forward flow, pump running.
    fn pump(&self, q: f64) -> (f64, f64) {
        let (h, s) = self.curve.head_and_slope(q / self.flow_factor);
        (self.head_factor * h, self.head_factor * s / self.flow_factor)
    }

    pub(crate) fn shut_off_head(&self) -> f64 {
        self.pump(0.0).0
    }

    fn open_flow(&self) -> f64 {
        self.curve.open_flow().value * self.flow_factor
    }

    fn push(&self, running: bool) -> f64 {
        if running { self.shut_off_head() } else { 0.0 }
    }

    /// Flow through the pump at a head difference over it and its hose \[m\] (far end minus
    /// reservoir surface).
    fn flow_at(&self, difference: f64, running: bool, last: &mut Last) -> f64 {
        let push = self.push(running);
        if difference > push {
            if self.check_valve {
                return 0.0;
            }
            return last.search(difference - push, -1.0, |h, guess| self.reverse.flow_and_slope_at(h, guess));
        }
        if !running {
            // Lower than the reservoir: water runs forward through the stopped pump.
            return last.search(-difference, 1.0, |h, guess| self.reverse.flow_and_slope_at(h, guess));
        }
        let top = self.open_flow();
        last.search(push - difference, 1.0, |spare, guess| {
            let mut slope = 0.0;
            let q = root::increasing(0.0, 4.0 * top, guess, ROOT_STEP * guess.max(0.1 * top), |q| {
                let (h, s) = self.pump(q);
                let (r, rs) = self.trunk.head_and_slope(q);
                slope = rs - s;
                (push - spare + r - h, slope)
            });
            (q, slope)
        })
    }

    /// Slope d(head)/d(flow) of pump and hose at a flow; infinite behind a shut check valve.
    fn slope_at(&self, q: f64, running: bool) -> f64 {
        if q > 0.0 && running {
            self.trunk.head_and_slope(q).1 - self.pump(q).1
        } else if q == 0.0 && self.check_valve {
            f64::INFINITY
        } else {
            self.reverse.head_and_slope(q).1
        }
    }
}

/// What flows behind one pump, and the answers that the next search begins from.
#[derive(Clone, Debug)]
pub(crate) struct Answer {
    /// Way by way.
    pub(crate) ways: Vec<Last>,
    pump: Last,
    /// Level at the node \[m\].
    node: f64,
}

impl Answer {
    pub(crate) fn of(ways: usize) -> Self {
        Self { ways: vec![Last::default(); ways], pump: Last::default(), node: f64::NAN }
    }
}

/// Flow into each way \[m³/s\] (negative: back out of it) and through the pump, for one reservoir level.
///
/// Returns the pump's flow.
pub(crate) fn solve(source: &Source, running: bool, reservoir: f64, ways: &[Way], answer: &mut Answer) -> f64 {
    let mut only = None;
    let mut open = 0;
    for (i, w) in ways.iter().enumerate() {
        if w.open {
            open += 1;
            only = Some(i);
        } else {
            answer.ways[i].flow = 0.0;
        }
    }
    match (open, only) {
        (1, Some(i)) => single(source, running, reservoir, &ways[i], &mut answer.ways[i]),
        (0, _) => 0.0,
        _ => manifold(source, running, reservoir, ways, answer),
    }
}

/// One way: every loss lies in series.
fn single(source: &Source, running: bool, reservoir: f64, way: &Way, last: &mut Last) -> f64 {
    let push = source.push(running);
    let spare = reservoir + push - way.out;
    let excess = way.back.map_or(0.0, |b| b - reservoir - push);
    let Some(line) = way.line else {
        let difference = if spare >= 0.0 { way.out - reservoir } else { excess + push };
        let shut = spare < 0.0 && (excess <= 0.0 || source.check_valve);
        last.flow = if shut { 0.0 } else { source.flow_at(difference, running, last) };
        return last.flow;
    };
    if spare > 0.0 {
        return last.search(spare, 1.0, |spare, guess| {
            let top = if running { 4.0 * source.open_flow() } else { line.flow_at(spare, guess) };
            in_series(top, guess, spare - push, |q| {
                let (r, rs) = line.head_and_slope(q);
                if running {
                    let (h, s) = source.pump(q);
                    let (t, ts) = source.trunk.head_and_slope(q);
                    (r + t - h, rs + ts - s)
                } else {
                    let (t, ts) = source.reverse.head_and_slope(q);
                    (t + r, ts + rs)
                }
            })
        });
    }
    if excess <= 0.0 || source.check_valve {
        last.flow = 0.0;
        return 0.0;
    }
    last.search(excess, -1.0, |excess, guess| {
        let top = line.flow_at(excess, guess);
        in_series(top, guess, excess, |q| {
            let (r, rs) = line.head_and_slope(q);
            let (t, ts) = source.reverse.head_and_slope(q);
            (r + t, rs + ts)
        })
    })
}

/// The flow up to `top` at which losses in series need `head`, and their slope.
fn in_series(top: f64, guess: f64, head: f64, losses: impl Fn(f64) -> (f64, f64)) -> (f64, f64) {
    let mut slope = 0.0;
    let q = root::increasing(0.0, top.max(1e-12), guess, ROOT_STEP * guess.max(1e-2 * top), |q| {
        let (loss, s) = losses(q);
        slope = s;
        (loss - head, s)
    });
    (q, slope)
}

/// Flow into one way at a node level, with its slope dq/d(level).
fn way_flow(way: &Way, node: f64, last: &mut Last) -> (f64, f64) {
    let Some(line) = way.line else { return (0.0, 0.0) };
    let (head, sign) = match way.back {
        _ if node > way.out => (node - way.out, 1.0),
        Some(b) if b > node => (b - node, -1.0),
        _ => {
            last.flow = 0.0;
            return (0.0, 0.0);
        }
    };
    let q = last.search(head, sign, |h, guess| line.flow_and_slope_at(h, guess));
    (q, if last.slope > 0.0 { 1.0 / last.slope } else { 0.0 })
}

/// Several open ways from one node: the level at the node at which what comes equals what goes.
fn manifold(source: &Source, running: bool, reservoir: f64, ways: &[Way], answer: &mut Answer) -> f64 {
    let push = source.push(running);
    let mut low = reservoir;
    let mut high = reservoir + push;
    for w in ways.iter().filter(|w| w.open) {
        low = low.min(w.out);
        high = high.max(w.back.unwrap_or(w.out).min(reservoir + push)).max(w.back.unwrap_or(low));
    }
    let (low, high) = (low - 1e-6, high + 1e-6);
    let Answer { ways: flows, pump, node: guess } = answer;
    let mut excess_at = |node: f64, flows: &mut [Last]| {
        let pumped = source.flow_at(node - reservoir, running, pump);
        let slope = source.slope_at(pumped, running);
        let mut excess = -pumped;
        let mut slopes = if slope.is_finite() && slope > 0.0 { 1.0 / slope } else { 0.0 };
        let mut most = pumped.abs();
        for (w, f) in ways.iter().zip(flows.iter_mut()).filter(|(w, _)| w.open) {
            let (q, s) = way_flow(w, node, f);
            excess += q;
            slopes += s;
            most = most.max(q.abs());
        }
        (excess, slopes.max(1e-12), most)
    };
    let mut node = root::increasing(low, high, *guess, 1e-8, |node| {
        let (excess, slopes, _) = excess_at(node, flows);
        (excess, slopes)
    });
    // Where a way begins to flow the slope is all but infinite: a small Newton step there proves
    // nothing, so the balance itself is looked at.
    let (left, _, most) = excess_at(node, flows);
    if left.abs() > 1e-6 * most + 1e-12
        && let Some(n) = root::bracketed(low, high, 1e-14, |n| excess_at(n, flows).0)
    {
        node = n;
        excess_at(node, flows);
    }
    *guess = node;
    // The pump moves exactly what the branches do, so that no water is made at the node.
    ways.iter().zip(flows.iter()).filter(|(w, _)| w.open).map(|(_, f)| f.flow).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use tidewright_physics::hydraulics::line::Line;
    use tidewright_physics::quantity::{l_h, m, mm};

    fn hose(bore: f64, length: f64, loss: f64) -> LineSi {
        Line { bore: mm(bore), length: m(length), roughness: mm(0.0), loss, viscosity_m2_s: 1.0034e-6 }.si()
    }

    fn source() -> Source {
        let trunk = hose(13.0, 2.0, 6.0);
        Source {
            curve: Curve::Power { max_head: m(1.8), open_flow: l_h(833.0), shape: 2.0 },
            flow_factor: 1.0,
            head_factor: 1.0,
            trunk,
            reverse: trunk.with_more_loss(20.0),
            check_valve: false,
        }
    }

    fn way(out: f64, back: Option<f64>) -> Way {
        Way { line: Some(hose(10.0, 0.5, 3.0)), out, back, open: true }
    }

    /// Flow of the pump and into each way, the reservoir standing at 0.28 m.
    fn solved(source: &Source, running: bool, ways: &[Way]) -> (f64, Vec<f64>) {
        let mut answer = Answer::of(ways.len());
        let q = solve(source, running, 0.28, ways, &mut answer);
        (q, answer.ways.iter().map(|l| l.flow).collect())
    }

    #[test]
    fn law_equal_branches_share_equally_and_balance() {
        let (q, f) = solved(&source(), true, &[way(0.75, None); 3]);
        assert!((f[0] - f[1]).abs() < 1e-12 && (f[1] - f[2]).abs() < 1e-12);
        assert!((q - f.iter().sum::<f64>()).abs() < 1e-15);
        let node = 0.75 + hose(10.0, 0.5, 3.0).head_and_slope(f[0]).0;
        let node_flow = source().flow_at(node - 0.28, true, &mut Last::default());
        assert!((node_flow - q).abs() < 1e-9, "{node_flow} {q}");
    }

    #[test]
    fn law_a_high_branch_starves_and_a_high_tray_runs_into_a_low_one_after_the_stop() {
        let (_, f) = solved(&source(), true, &[way(0.6, None), way(2.5, None)]);
        assert!(f[0] > 0.0 && f[1] == 0.0);
        let (q, f) = solved(&source(), false, &[way(0.6, None), way(0.9, Some(1.0))]);
        assert!(f[1] < 0.0 && f[0] >= 0.0 && q < 0.0, "{f:?} {q}");
        let mut closed = source();
        closed.check_valve = true;
        let (q, f) = solved(&closed, false, &[way(0.6, None), way(0.9, Some(1.0))]);
        assert!(q.abs() < 1e-9 && f[0] > 0.0 && (f[0] + f[1]).abs() < 1e-9, "{f:?} {q}");
    }
}
