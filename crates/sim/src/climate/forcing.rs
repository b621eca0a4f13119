//! A day of the bench's water as heat and oxygen meet it: where it is and what moves, piece by piece.

use super::exchange::Flows;
use crate::flood;
use crate::run::{Moment, Run};
use tidewright_rig::Rig;

pub(crate) const DAY_S: f64 = 86_400.0;
/// Longest piece while water moves, and while it rests \[s\].
const MOVING_S: f64 = 60.0;
const RESTING_S: f64 = 300.0;
/// Less than this does not move \[m³/s\]: a millilitre a minute.
const STILL_M3_S: f64 = 1.7e-8;

/// One piece of the day.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Piece {
    /// Begin, after midnight \[s\].
    pub from_s: f64,
    /// Length \[s\].
    pub dt_s: f64,
    /// Free water at begin and end, the reservoir's first \[m³\].
    pub water: Vec<(f64, f64)>,
    /// Held by media \[m³\].
    pub media: Vec<(f64, f64)>,
    /// Depth in each tray, the reservoir's first \[m\].
    pub depth: Vec<f64>,
    /// What moves.
    pub flows: Flows,
    /// Whether each pump runs.
    pub pumps: Vec<bool>,
    /// Water that the vessels gain besides \[m³/s\], the reservoir's first: from media, hoses, a can.
    pub rest: Vec<f64>,
}

/// Pieces of a day that kept its course; none where it kept none.
pub fn pieces(rig: &Rig, run: &Run) -> Vec<Piece> {
    let stores: Vec<_> = rig.trays.iter().map(|t| flood::store(t, 1.0)).collect();
    let envelope: Vec<f64> = rig
        .trays
        .iter()
        .map(|t| match (&t.blocks, &t.bed) {
            (_, Some(b)) => t.shape.volume(b.depth.get()).value,
            (Some(b), None) => b.volume().value,
            (None, None) => 0.0,
        })
        .collect();
    let reservoir = rig.reservoir.shape.si();
    let water = |m: &Moment| -> Vec<f64> {
        let trays = m.trays.iter().zip(&stores).map(|(t, s)| s.volume(t.depth_m).max(0.0));
        std::iter::once(reservoir.volume(m.reservoir_m)).chain(trays).collect()
    };
    let switches: Vec<f64> = rig.growing.room().iter().map(|r| r.from_s).collect();
    let mut course: Vec<&Moment> = run.course.iter().collect();
    course.dedup_by(|b, a| b.t_s - a.t_s < 1e-6);
    let mut out = Vec::with_capacity(2 * course.len());
    let mut w1 = course.first().map_or_else(Vec::new, |m| water(m));
    for pair in course.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let w0 = std::mem::replace(&mut w1, water(b));
        let span = b.t_s - a.t_s;
        let mean = |f: &dyn Fn(&crate::run::TrayMoment) -> f64| -> Vec<f64> {
            a.trays.iter().zip(&b.trays).map(|(x, y)| 0.5 * (f(x).max(0.0) + f(y).max(0.0))).collect()
        };
        let flows =
            Flows { feed: mean(&|t| t.feed_m3_s), back: mean(&|t| -t.feed_m3_s), riser: mean(&|t| t.riser_m3_s) };
        let moves = flows.feed.iter().chain(&flows.back).chain(&flows.riser).any(|q| *q > STILL_M3_S);
        let pumps: Vec<bool> =
            (0..rig.pumps.len()).map(|p| rig.trays_of(p).any(|(i, _)| flows.feed[i] > STILL_M3_S)).collect();
        let rest = unexplained(rig, &flows, &w0, &w1, span);
        let media = |m: &Moment, i: usize| m.trays[i].media * envelope[i];
        for (from, to) in cut(a.t_s, b.t_s, if moves { MOVING_S } else { RESTING_S }, &switches) {
            let (x, y) = ((from - a.t_s) / span, (to - a.t_s) / span);
            let line = |p: f64, q: f64| (p + x * (q - p), p + y * (q - p));
            out.push(Piece {
                from_s: from,
                dt_s: to - from,
                water: w0.iter().zip(&w1).map(|(p, q)| line(*p, *q)).collect(),
                media: (0..rig.trays.len()).map(|i| line(media(a, i), media(b, i))).collect(),
                depth: std::iter::once(0.5 * (a.reservoir_m + b.reservoir_m))
                    .chain(a.trays.iter().zip(&b.trays).map(|(p, q)| 0.5 * (p.depth_m + q.depth_m)))
                    .collect(),
                flows: flows.clone(),
                pumps: pumps.clone(),
                rest: rest.clone(),
            });
        }
    }
    out
}

/// What the flows leave open of each vessel's change \[m³/s\].
fn unexplained(rig: &Rig, f: &Flows, before: &[f64], after: &[f64], span: f64) -> Vec<f64> {
    let n = rig.trays.len();
    let mut net = vec![0.0; n + 1];
    for i in 0..n {
        net[i + 1] += f.feed[i] - f.back[i] - f.riser[i];
        net[0] += f.back[i] - f.feed[i];
        net[rig.trays[i].drains_into.map_or(0, |j| j + 1)] += f.riser[i];
    }
    (0..=n).map(|v| (after[v] - before[v]) / span - net[v]).collect()
}

/// A stretch in parts no longer than `most`, and at every switch of the room.
fn cut(from: f64, to: f64, most: f64, switches: &[f64]) -> Vec<(f64, f64)> {
    let mut ends: Vec<f64> =
        switches.iter().map(|s| s.rem_euclid(DAY_S)).filter(|s| *s > from + 1e-6 && *s < to - 1e-6).collect();
    ends.push(to);
    ends.sort_by(f64::total_cmp);
    let mut out = Vec::new();
    let mut at = from;
    for end in ends {
        let n = ((end - at) / most).ceil().max(1.0);
        for k in 0..n as usize {
            out.push((at + (end - at) * k as f64 / n, at + (end - at) * (k + 1) as f64 / n));
        }
        at = end;
    }
    out
}

/// Trays from the highest down: each before the one that it drains into.
pub(crate) fn order(rig: &Rig) -> Vec<usize> {
    let mut all: Vec<usize> = (0..rig.trays.len()).collect();
    all.sort_by(|a, b| rig.trays[*b].elevation.get().value.total_cmp(&rig.trays[*a].elevation.get().value));
    // A tray that stands no higher than the one below it is moved before it.
    let mut out: Vec<usize> = Vec::with_capacity(all.len());
    fn put(rig: &Rig, i: usize, out: &mut Vec<usize>, depth: usize) {
        if out.contains(&i) || depth > rig.trays.len() {
            return;
        }
        for (j, t) in rig.trays.iter().enumerate() {
            if t.drains_into == Some(i) {
                put(rig, j, out, depth + 1);
            }
        }
        out.push(i);
    }
    for i in all {
        put(rig, i, &mut out, 0);
    }
    out
}
