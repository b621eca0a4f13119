//! Salt in the blocks of a tray through weeks, on the water of a day that repeats itself.

use crate::block::{Piece, Salt, Spread, Stuck};
use crate::drift::Takes;
use crate::run::Run;
use crate::stack::{Manner, Stack};
use tidewright_rig::Rig;

const DAY_S: f64 = 86_400.0;
/// Days before the one that is written down.
const WARM_UP: u32 = 2;
/// Longest stretch with one depth of water \[s\].
const STRETCH_S: f64 = 900.0;
/// What is called the top \[m\].
pub const TOP_M: f64 = 0.015;
/// How long water is poured on \[s\].
const POURING_S: f64 = 1200.0;

/// The water of one day in the blocks of a tray.
#[derive(Clone, Debug)]
pub struct WaterDay {
    /// Its pieces, from midnight on.
    pub pieces: Vec<Piece>,
    /// Height of each cell \[m\].
    pub sizes_m: Vec<f64>,
    /// Pore space of each cell \[-\].
    pub pores: Vec<f64>,
}

/// Water poured over the tops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leach {
    /// When \[s after midnight\].
    pub at_s: f64,
    /// How much, over the tops' area \[m\].
    pub depth_m: f64,
}

/// Writes down the water of a day: the depth of the tray through the last day of a run that kept its course goes over the
/// blocks again. None where no blocks stand.
///
/// # Errors
/// [`Stuck`] where the water in the blocks cannot be followed.
pub fn water_day(
    rig: &Rig,
    run: &Run,
    tray: usize,
    manner: Manner,
    leach: Option<Leach>,
) -> Result<Option<WaterDay>, Stuck> {
    let manner = Manner { breathes: false, ..manner };
    let Some(mut stack) = Stack::of(rig, tray, manner) else { return Ok(None) };
    let start = run.end_s - DAY_S;
    let depths: Vec<(f64, f64)> = run
        .course
        .iter()
        .filter(|m| m.t_s >= start - 1e-6)
        .map(|m| ((m.t_s - start).clamp(0.0, DAY_S), m.trays.get(tray).map_or(0.0, |t| t.depth_m)))
        .collect();
    let depths = thinned(depths);
    let pours = leach.map(|l| (l.at_s, (l.at_s + POURING_S).min(DAY_S), l.depth_m / POURING_S));
    for day in 0..=WARM_UP {
        if day == WARM_UP {
            stack.record();
            if let Some((from, to, m_s)) = pours {
                stack.pour(from, to, m_s);
            }
        }
        let mut at = 0.0;
        let mut next = 0;
        while at < DAY_S - 1e-9 {
            while next < depths.len() && depths[next].0 <= at + 1e-9 {
                next += 1;
            }
            let mut to = depths.get(next).map_or(DAY_S, |d| d.0).min(at + STRETCH_S).min(DAY_S);
            if let Some((from, until, _)) = pours {
                for edge in [from, until] {
                    if edge > at + 1e-9 && edge < to {
                        to = edge;
                    }
                }
            }
            let depth = match (next.checked_sub(1).and_then(|i| depths.get(i)), depths.get(next)) {
                (Some(a), Some(b)) if b.0 > a.0 => {
                    a.1 + (b.1 - a.1) * ((0.5 * (at + to) - a.0) / (b.0 - a.0)).clamp(0.0, 1.0)
                }
                (Some(a), _) => a.1,
                (None, Some(b)) => b.1,
                (None, None) => 0.0,
            };
            stack.advance((at, to), depth, f64::INFINITY, &mut |_| {})?;
            at = to;
        }
    }
    let (pieces, sizes_m, pores) = stack.recorded();
    Ok(Some(WaterDay { pieces, sizes_m, pores }))
}

/// A course of depths without what changes nothing: moments within half a millimetre and five minutes of the last that
/// stayed.
fn thinned(all: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    const LIKE_M: f64 = 5e-4;
    const SOON_S: f64 = 300.0;
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let last = all.len().saturating_sub(1);
    for (i, d) in all.iter().enumerate() {
        let near = kept.last().is_some_and(|k| (k.1 - d.1).abs() < LIKE_M && d.0 - k.0 < SOON_S);
        if !near || i == last {
            kept.push(*d);
        }
    }
    kept
}

/// A share of the salt and how roots take it \[over the reservoir's concentration\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kind {
    /// Share of the reservoir's conductivity \[-\].
    pub weight: f64,
    /// How roots take it.
    pub takes: Takes,
}

/// What is asked.
#[derive(Clone, Debug)]
pub struct Weeks<'a> {
    /// The day's water.
    pub day: &'a WaterDay,
    /// The water of a day with a leach, and every how many days.
    pub leach: Option<(&'a WaterDay, u32)>,
    /// Concentration of what is poured on, over the reservoir's \[-\].
    pub poured: f64,
    /// Kinds of salt.
    pub kinds: Vec<Kind>,
    /// Strength of the reservoir over what the kinds are told for \[-\].
    pub feed: f64,
    /// How salt spreads.
    pub spread: Spread,
    /// Days.
    pub days: u32,
}

/// The blocks at the end of one day.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct SaltDay {
    /// From 1.
    pub day: u32,
    /// Conductivity of the water over that of the reservoir at full feed, by sixteenths of the height, from the base up \[-\].
    pub profile: Vec<f64>,
    /// Mean of the top 15 mm \[-\].
    pub top: f64,
    /// The very surface: the top cell \[-\].
    pub surface: f64,
    /// Mean of all the water in the block \[-\].
    pub mean: f64,
}

/// Follows the salt; with it goes the worst error of its account, over all that was there.
pub fn weeks(ask: &Weeks<'_>) -> (Vec<SaltDay>, f64) {
    const BANDS: usize = 16;
    let n = ask.day.sizes_m.len();
    let height: f64 = ask.day.sizes_m.iter().sum();
    let mut kinds: Vec<Salt> = ask.kinds.iter().map(|_| Salt::even(n)).collect();
    for k in &mut kinds {
        k.over.fill(ask.feed);
    }
    let mut days = Vec::new();
    let mut worst = 0.0_f64;
    for day in 1..=ask.days {
        let water = match ask.leach {
            Some((leach, every)) if every > 0 && day % every == 0 => leach,
            _ => ask.day,
        };
        for (salt, kind) in kinds.iter_mut().zip(&ask.kinds) {
            let (mut account, mut moved) = (0.0, 0.0);
            let (Some(first), Some(last)) = (water.pieces.first(), water.pieces.last()) else { continue };
            let before = salt.total_m(&water.sizes_m, &first.content.0);
            for piece in &water.pieces {
                let x =
                    salt.advance(piece, &water.sizes_m, &water.pores, ask.spread, kind.takes, (ask.feed, ask.poured));
                account += x.with_water + x.from_above + x.taken;
                moved += x.with_water.abs() + x.from_above + x.taken.abs();
            }
            let after = salt.total_m(&water.sizes_m, &last.content.1);
            worst = worst.max((before + account - after).abs() / (before + moved).max(1e-12));
        }
        let Some(last) = water.pieces.last() else { break };
        let content = &last.content.1;
        let over: Vec<f64> =
            (0..n).map(|i| kinds.iter().zip(&ask.kinds).map(|(s, k)| k.weight * s.over[i]).sum()).collect();
        let mean_of = |from: f64, to: f64| {
            let (mut sum, mut water_m, mut z) = (0.0, 0.0, 0.0);
            for i in 0..n {
                let (low, high) = (z, z + ask.day.sizes_m[i]);
                let part = (high.min(to) - low.max(from)).max(0.0) * content[i].max(1e-9);
                sum += part * over[i];
                water_m += part;
                z = high;
            }
            if water_m > 0.0 { sum / water_m } else { 0.0 }
        };
        let band = height / BANDS as f64;
        days.push(SaltDay {
            day,
            profile: (0..BANDS).map(|k| mean_of(band * k as f64, band * (k + 1) as f64)).collect(),
            top: mean_of((height - TOP_M).max(0.0), height),
            surface: over[n - 1],
            mean: mean_of(0.0, height),
        });
    }
    (days, worst)
}
