//! Courses made small enough to travel: few points, events kept.

use serde::Serialize;
use std::collections::BinaryHeap;
use tidewright_plan::Survey;
use tidewright_rig::units;
use tidewright_sim::roots::RootDay;
use tidewright_sim::stack::{BlockMoment, PROFILE};
use tidewright_sim::{EventKind, Run};

/// Most points that a course is cut down to.
pub const MOST_POINTS: usize = 600;

/// What happened when, for ticks and for jumping to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tick {
    /// When \[s\].
    pub t_s: f64,
    /// In words.
    pub words: String,
    /// Which tray, where it is one.
    pub tray: Option<usize>,
}

/// One course, column by column.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Course {
    /// Times \[s\].
    pub t_s: Vec<f64>,
    /// Reservoir depth \[m\].
    pub reservoir_m: Vec<f64>,
    /// Depth of each tray \[m\].
    pub trays_m: Vec<Vec<f64>>,
    /// Into each tray from its feed, negative when running back \[m³/s\].
    pub feed_m3_s: Vec<Vec<f64>>,
    /// Over each riser \[m³/s\].
    pub riser_m3_s: Vec<Vec<f64>>,
    /// What happened.
    pub events: Vec<Tick>,
}

/// Water by height in the blocks of one tray through the day.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BlockSeries {
    /// Times \[s\].
    pub t_s: Vec<f64>,
    /// From the base up, band by band: share of the pores that water fills \[%\].
    pub wet: Vec<Vec<f64>>,
}

impl BlockSeries {
    fn of(day: &RootDay, pores: f64) -> Self {
        const MOST: f64 = 160.0;
        const APART_S: f64 = 1800.0;
        let mut kept: Vec<&BlockMoment> = Vec::new();
        let mut change = 0.004;
        // Those between which something is to be seen; fewer where that is still too many.
        loop {
            kept.clear();
            for m in &day.course {
                let far = kept.last().is_none_or(|k: &&BlockMoment| {
                    let moved = k.profile.iter().zip(&m.profile).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
                    moved > change || m.t_s - k.t_s > APART_S
                });
                if far {
                    kept.push(m);
                }
            }
            if kept.len() as f64 <= MOST || change > 1.0 {
                break;
            }
            change *= 2.0;
        }
        let percent = |m: &BlockMoment, k: usize| round(100.0 * (m.profile[k] / pores).min(1.0), 1.0);
        Self {
            t_s: kept.iter().map(|m| round(m.t_s, 1.0)).collect(),
            wet: (0..PROFILE).map(|k| kept.iter().map(|m| percent(m, k)).collect()).collect(),
        }
    }

    /// Share of the pores filled in a band at a time \[-\].
    pub fn at(&self, band: usize, t: f64) -> f64 {
        let i = self.t_s.partition_point(|x| *x < t).min(self.t_s.len().saturating_sub(1));
        self.wet.get(band).and_then(|w| w.get(i)).map_or(0.0, |p| p / 100.0)
    }
}

/// All courses of a bench.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Series {
    /// A day from midnight.
    pub day: Course,
    /// One flood of each tray from its pump's start.
    pub floods: Vec<Course>,
    /// Blocks of each tray through the day, where they were followed.
    pub blocks: Vec<Option<BlockSeries>>,
    /// Starts \[s after midnight\] and lengths \[s\] of the floods of each tray in the day.
    pub starts_s: Vec<Vec<[f64; 2]>>,
    /// The moment that is drawn first \[s after midnight\].
    pub now_s: f64,
}

impl Course {
    /// A run's course cut down; only trays' own events are told, those of pumps once.
    pub fn of(run: &Run, trays: usize) -> Self {
        let keep = thin(run, trays, MOST_POINTS);
        let moments: Vec<_> = keep.iter().map(|i| &run.course[*i]).collect();
        let column = |f: &dyn Fn(&tidewright_sim::run::TrayMoment) -> f64, digits: f64| {
            (0..trays)
                .map(|k| moments.iter().map(|m| m.trays.get(k).map_or(0.0, |t| round(f(t), digits))).collect())
                .collect()
        };
        Self {
            t_s: moments.iter().map(|m| round(m.t_s, 10.0)).collect(),
            reservoir_m: moments.iter().map(|m| round(m.reservoir_m, 1e5)).collect(),
            trays_m: column(&|t| t.depth_m, 1e5),
            feed_m3_s: column(&|t| t.feed_m3_s, 1e8),
            riser_m3_s: column(&|t| t.riser_m3_s, 1e8),
            events: run.events.iter().filter(|e| e.t_s.is_finite()).map(tick).take(4000).collect(),
        }
    }

    /// Depths at a time, straight between points: reservoir, then tray by tray.
    pub fn at(&self, t: f64) -> (f64, Vec<f64>) {
        let i = self.t_s.partition_point(|x| *x < t);
        let pick = |v: &Vec<f64>| -> f64 {
            let last = v.len().saturating_sub(1);
            let (Some(b), Some(a)) = (v.get(i.min(last)), v.get(i.saturating_sub(1).min(last))) else { return 0.0 };
            let (t0, t1) = (self.t_s[i.saturating_sub(1).min(last)], self.t_s[i.min(last)]);
            if t1 > t0 { a + (b - a) * ((t - t0) / (t1 - t0)).clamp(0.0, 1.0) } else { *b }
        };
        (pick(&self.reservoir_m), self.trays_m.iter().map(pick).collect())
    }

    /// Where it ends \[s\].
    pub fn end(&self) -> f64 {
        self.t_s.last().copied().unwrap_or(0.0)
    }
}

fn tick(e: &tidewright_sim::Event) -> Tick {
    let tray = !matches!(
        e.kind,
        EventKind::PumpOn
            | EventKind::PumpOff
            | EventKind::HoseFull
            | EventKind::PrimeLost
            | EventKind::PrimeRegained
            | EventKind::FloatOpens
            | EventKind::FloatShuts
            | EventKind::ReservoirOverflow
            | EventKind::ReservoirBelowRim
    );
    Tick { t_s: round(e.t_s, 10.0), words: e.kind.words().to_owned(), tray: tray.then_some(e.index) }
}

fn round(x: f64, scale: f64) -> f64 {
    let r = (x * scale).round() / scale;
    if r.is_finite() { r } else { 0.0 }
}

/// Indices of the moments worth keeping: both ends, those next to events, and then always the one
/// that straight lines between the kept ones miss by most.
fn thin(run: &Run, trays: usize, most: usize) -> Vec<usize> {
    let n = run.course.len();
    if n <= most {
        return (0..n).collect();
    }
    let channels: Vec<Vec<f64>> = std::iter::once(run.course.iter().map(|m| m.reservoir_m).collect())
        .chain((0..trays).flat_map(|k| {
            let pick = |f: fn(&tidewright_sim::run::TrayMoment) -> f64| {
                run.course.iter().map(|m| m.trays.get(k).map_or(0.0, f)).collect::<Vec<f64>>()
            };
            [pick(|t| t.depth_m), pick(|t| t.feed_m3_s), pick(|t| t.riser_m3_s)]
        }))
        .map(|v: Vec<f64>| {
            let (lo, hi) = v.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |a, x| (a.0.min(*x), a.1.max(*x)));
            let span = if hi - lo > 1e-9 { hi - lo } else { f64::INFINITY };
            v.iter().map(|x| x / span).collect()
        })
        .collect();
    let mut kept = vec![0, n - 1];
    for e in run.events.iter().filter(|e| e.t_s.is_finite()).take(most / 2) {
        kept.push(run.course.partition_point(|m| m.t_s < e.t_s).min(n - 1));
    }
    kept.sort_unstable();
    kept.dedup();
    let mut heap: BinaryHeap<Piece> = kept.windows(2).filter_map(|w| worst(run, &channels, w[0], w[1])).collect();
    while kept.len() < most {
        let Some(piece) = heap.pop() else { break };
        if piece.error < 1e-5 {
            break;
        }
        kept.push(piece.at);
        heap.extend(worst(run, &channels, piece.from, piece.at));
        heap.extend(worst(run, &channels, piece.at, piece.to));
    }
    kept.sort_unstable();
    kept
}

struct Piece {
    error: f64,
    at: usize,
    from: usize,
    to: usize,
}

impl PartialEq for Piece {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Piece {}
impl PartialOrd for Piece {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Piece {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.error.total_cmp(&other.error).then(other.at.cmp(&self.at))
    }
}

fn worst(run: &Run, channels: &[Vec<f64>], from: usize, to: usize) -> Option<Piece> {
    let (t0, t1) = (run.course[from].t_s, run.course[to].t_s);
    let mut best = Piece { error: -1.0, at: from, from, to };
    for i in from + 1..to {
        let x = if t1 > t0 { (run.course[i].t_s - t0) / (t1 - t0) } else { 0.0 };
        let error = channels.iter().map(|c| (c[from] + x * (c[to] - c[from]) - c[i]).abs()).fold(0.0, f64::max);
        if error > best.error {
            best = Piece { error, at: i, from, to };
        }
    }
    (best.at != from).then_some(best)
}

impl Series {
    /// The courses of a survey, its day given with its course kept.
    pub fn of(survey: &Survey) -> Self {
        let (n, day) = (survey.rig.trays.len(), &survey.day);
        let mut starts_s = vec![Vec::new(); n];
        for f in &day.floods {
            if let Some(v) = starts_s.get_mut(f.tray) {
                let run = if f.stop_s.is_finite() { f.stop_s - f.start_s } else { day.end_s - f.start_s };
                v.push([round(f.start_s, 10.0), round(run.max(0.0), 10.0)]);
            }
        }
        // The first look is at a flood that stands: two thirds into the first one.
        let now_s = starts_s.iter().flatten().map(|s| s[0] + 0.68 * s[1]).fold(f64::INFINITY, f64::min);
        Self {
            day: Course::of(day, n),
            floods: survey.trays.iter().map(|t| Course::of(&t.flood, n)).collect(),
            blocks: blocks(survey),
            starts_s,
            now_s: if now_s.is_finite() { round(now_s, 1.0) } else { 0.0 },
        }
    }

    /// Water in the blocks at the first look, band by band \[-\].
    pub fn wet_now(&self) -> Vec<Option<Vec<f64>>> {
        let at = |b: &BlockSeries| (0..PROFILE).map(|k| b.at(k, self.now_s)).collect();
        self.blocks.iter().map(|b| b.as_ref().map(at)).collect()
    }

    /// Depths at the first look: of the day where its course is there, else of the first flood.
    pub fn now(&self) -> (f64, Vec<f64>) {
        match (&self.day, self.floods.first()) {
            (d, Some(f)) if d.t_s.is_empty() => f.at(f.end() * 0.3),
            (d, _) => d.at(self.now_s),
        }
    }
}

fn blocks(survey: &Survey) -> Vec<Option<BlockSeries>> {
    let Some(crop) = &survey.crop else { return Vec::new() };
    let pores = |i: usize| survey.rig.trays[i].blocks.as_ref().map(|b| b.medium.retention.theta_s);
    crop.likely.iter().enumerate().map(|(i, d)| Some(BlockSeries::of(d.as_ref()?, pores(i)?))).collect()
}

/// "12:15:30" or "12:15".
pub fn clock(seconds: f64) -> String {
    let s = seconds.round();
    if (s % 60.0).abs() < 0.5 {
        units::clock(s)
    } else {
        format!("{}:{:02}", units::clock(s - s % 60.0), (s % 60.0) as i64)
    }
}
