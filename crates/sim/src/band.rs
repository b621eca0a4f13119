//! How sure: many runs at points spread evenly over everything uncertain.
//!
//! Points come from an Owen-scrambled Sobol sequence (Burley, J. Comput. Graph. Tech. 9 (2020) no. 4),
//! so that a few hundred runs fill ten dimensions evenly and every machine draws the same. Readings
//! taken on the built bench weigh each run by how well it meets them.

use crate::draw::{Draw, Input, Knobs};
use crate::run::{Level, Run};
use crate::scenario::{Keep, Options, Scenario};
use crate::split;
use serde::Serialize;
use tidewright_rig::Rig;
use tidewright_rig::calibration::{Quantity, StopwatchReading};

/// A predicted figure of a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Figure {
    /// Pump start until the crest is wet \[s\].
    CrestWet,
    /// Pump start until the overflow head is within 1 % of its final value \[s\].
    Steady,
    /// Greatest depth \[m\].
    HighestWater,
    /// Pump stop until the drained mark \[s\].
    Drained,
    /// Least depth in the reservoir \[m\].
    LowestReservoir,
    /// Flow into the tray as the pump stops \[m³/s\].
    LastFlow,
    /// Velocity-giving first flow \[m³/s\].
    FirstFlow,
    /// On the floor at the end \[m³\].
    OnTheFloor,
}

impl Figure {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::CrestWet,
        Self::Steady,
        Self::HighestWater,
        Self::Drained,
        Self::LowestReservoir,
        Self::LastFlow,
        Self::FirstFlow,
        Self::OnTheFloor,
    ];

    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::CrestWet => "riser crest wet after",
            Self::Steady => "level steady after",
            Self::HighestWater => "highest water",
            Self::Drained => "drained after pump stop",
            Self::LowestReservoir => "lowest reservoir",
            Self::LastFlow => "flow while flooded",
            Self::FirstFlow => "flow at the start",
            Self::OnTheFloor => "on the floor",
        }
    }

    /// Its value in a run, for one tray.
    pub fn of(self, run: &Run, tray: usize) -> f64 {
        let flood = run.flood(tray);
        let get = |f: fn(&crate::FloodRecord) -> f64| flood.map_or(f64::INFINITY, f);
        match self {
            Self::CrestWet => get(|f| f.crest_wet_s),
            Self::Steady => get(|f| f.steady_s),
            Self::HighestWater => run.highest_m.get(tray).copied().unwrap_or(0.0),
            Self::Drained => get(|f| f.drained_s),
            Self::LowestReservoir => run.lowest_reservoir_m,
            Self::LastFlow => flood.map_or(0.0, |f| f.last_flow_m3_s.max(0.0)),
            Self::FirstFlow => flood.map_or(0.0, |f| f.first_flow_m3_s),
            Self::OnTheFloor => run.on_the_floor_m3(),
        }
    }
}

/// Low, likely and high value: 5, 50 and 95 of a hundred runs lie below.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Band {
    /// 5 %.
    pub low: f64,
    /// 50 %.
    pub likely: f64,
    /// 95 %.
    pub high: f64,
    /// Share of the runs in which it never happens \[-\].
    pub never: f64,
    /// What makes the band, the largest share first \[-\].
    pub makers: Vec<(Input, f64)>,
}

impl Band {
    /// The input that makes most of the band, where one does.
    pub fn maker(&self) -> Option<Input> {
        self.makers.first().filter(|m| m.1 > 0.2).map(|m| m.0)
    }
}

/// Low, likely and high depth in a tray at one moment of its flood.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DepthBand {
    /// After the pump's start \[s\].
    pub t_s: f64,
    /// 5 % \[m\].
    pub low_m: f64,
    /// 50 % \[m\].
    pub likely_m: f64,
    /// 95 % \[m\].
    pub high_m: f64,
}

/// The bands of one flood of one tray.
#[derive(Clone, Debug, Serialize)]
pub struct TrayBands {
    /// Which tray.
    pub tray: usize,
    /// Figure by figure, in the order of [`Figure::ALL`].
    pub figures: Vec<(Figure, Band)>,
    /// The depth over time, where it was asked for.
    pub depth: Vec<DepthBand>,
    /// How many of the runs still speak after the readings were weighed in.
    pub effective_runs: f64,
    /// How many were run.
    pub runs: usize,
}

impl TrayBands {
    /// The band of one figure.
    pub fn get(&self, figure: Figure) -> &Band {
        &self.figures[Figure::ALL.iter().position(|f| *f == figure).unwrap_or(0)].1
    }

    /// Whether readings and bench contradict each other: no run comes near them.
    pub fn contradicted(&self) -> bool {
        self.effective_runs < 3.0
    }
}

/// Size of the sample that bands are made from unless asked otherwise.
pub const USUAL_RUNS: usize = 512;
const SEED: u32 = 20_417;
/// Model error that stands beside a reading's own \[-\].
const MODEL_ERROR: f64 = 0.02;

/// The sample's point number `i`.
pub fn draw(i: usize) -> Draw {
    let mut d = Draw::MIDDLE;
    for (k, _) in Input::ALL.iter().enumerate() {
        d.0[k] = f64::from(sobol_burley::sample(i as u32, k as u32, SEED)).clamp(1e-6, 1.0 - 1e-6);
    }
    d
}

/// The bands of one flood of one tray, from `runs` runs, readings weighed in; of its depth at each of
/// `times` \[s\] after the pump's start too.
pub fn bands(rig: &Rig, tray: usize, runs: usize, times: &[f64]) -> TrayBands {
    let keep = if times.is_empty() { Keep::Events } else { Keep::Levels };
    let scenario = Scenario {
        // The bands are wide: a tenth of the usual accuracy is ample here.
        options: Options { keep, rtol: 1e-5, ..Options::default() },
        ..Scenario::flood_of(rig, tray)
    };
    let sample = split::map(runs, |i| {
        let d = draw(i);
        let run = crate::run(rig, &Scenario { knobs: Knobs::at(rig, &d), ..scenario.clone() });
        let depths: Vec<f64> = times.iter().map(|t| level_at(&run.levels[tray], *t)).collect();
        (d, Figure::ALL.map(|f| f.of(&run, tray)), depths)
    });
    let mine: Vec<&StopwatchReading> = rig.readings.iter().filter(|r| r.tray == tray).collect();
    let weights: Vec<f64> = sample.iter().map(|s| mine.iter().map(|r| likelihood(r, &s.1)).product()).collect();
    let sum: f64 = weights.iter().sum();
    let squares: f64 = weights.iter().map(|w| w * w).sum();
    let effective = if squares > 0.0 { sum * sum / squares } else { 0.0 };
    // Readings that no run meets leave the prediction as it was; the contradiction is told.
    let weights = if effective < 3.0 { vec![1.0; sample.len()] } else { weights };
    let draws: Vec<Draw> = sample.iter().map(|s| s.0).collect();
    let figures = Figure::ALL
        .iter()
        .enumerate()
        .map(|(k, f)| {
            let values: Vec<f64> = sample.iter().map(|s| s.1[k]).collect();
            (*f, band(&values, &weights, &draws))
        })
        .collect();
    let depth = times
        .iter()
        .enumerate()
        .map(|(k, t_s)| {
            let values: Vec<f64> = sample.iter().map(|s| s.2[k]).collect();
            let [low_m, likely_m, high_m] = quantiles(&values, &weights);
            DepthBand { t_s: *t_s, low_m, likely_m, high_m }
        })
        .collect();
    TrayBands { tray, figures, depth, effective_runs: effective, runs }
}

/// Pump stop, and the end of what is worth showing of one flood \[s\].
pub fn span(flood: &Run, tray: usize) -> (f64, f64) {
    let f = flood.flood(tray);
    let stop = f.map_or(0.0, |f| f.stop_s).min(flood.end_s).max(1.0);
    let drained = f.map_or(0.0, |f| f.drained_s);
    let tail = if drained.is_finite() { (1.9 * drained).max(0.25 * stop) } else { stop };
    (stop, stop + tail.max(60.0))
}

/// Moments of one flood, close enough to draw a band of its depth through them \[s\].
pub fn moments(flood: &Run, tray: usize) -> Vec<f64> {
    let (stop, end) = span(flood, tray);
    let mut out: Vec<f64> = (0..=48).map(|i| stop * f64::from(i) / 48.0).collect();
    out.extend((1..=40).map(|i| stop + (end - stop) * f64::from(i) / 40.0));
    out
}

/// Depth at a time, straight between the levels that were kept.
fn level_at(levels: &[Level], t: f64) -> f64 {
    let i = levels.partition_point(|l| l.t_s < t);
    match (i.checked_sub(1).map(|i| levels[i]), levels.get(i)) {
        (Some(a), Some(b)) if b.t_s > a.t_s => a.depth_m + (t - a.t_s) / (b.t_s - a.t_s) * (b.depth_m - a.depth_m),
        (Some(a), _) => a.depth_m,
        (None, b) => b.map_or(0.0, |l| l.depth_m),
    }
}

/// Depth in a tray at a time, straight between the moments of the course.
pub fn depth_at(run: &Run, tray: usize, t: f64) -> f64 {
    let i = run.course.partition_point(|m| m.t_s < t);
    let depth = |i: usize| run.course[i].trays[tray].depth_m;
    match i {
        _ if run.course.is_empty() => 0.0,
        0 => depth(0),
        i if i >= run.course.len() => depth(run.course.len() - 1),
        i => {
            let (a, b) = (&run.course[i - 1], &run.course[i]);
            let x = if b.t_s > a.t_s { (t - a.t_s) / (b.t_s - a.t_s) } else { 1.0 };
            depth(i - 1) + x * (depth(i) - depth(i - 1))
        }
    }
}

fn likelihood(reading: &StopwatchReading, figures: &[f64; Figure::ALL.len()]) -> f64 {
    let figure = match reading.quantity {
        Quantity::CrestWet => Figure::CrestWet,
        Quantity::HighestWater => Figure::HighestWater,
        Quantity::Drained => Figure::Drained,
    };
    let x = figures[Figure::ALL.iter().position(|f| *f == figure).unwrap_or(0)];
    let sigma = reading.uncertainty_si.hypot(MODEL_ERROR * reading.value_si);
    let z = (x - reading.value_si) / sigma;
    if z.is_finite() { (-0.5 * z * z).exp() } else { 0.0 }
}

fn band(values: &[f64], weights: &[f64], draws: &[Draw]) -> Band {
    let total: f64 = weights.iter().sum();
    let never: f64 = values.iter().zip(weights).filter(|(v, _)| !v.is_finite()).map(|(_, w)| w).sum::<f64>().abs()
        / total.max(1e-300);
    let mut makers: Vec<(Input, f64)> =
        Input::ALL.iter().map(|input| (*input, correlation_squared(values, weights, draws, *input))).collect();
    let sum: f64 = makers.iter().map(|m| m.1).sum();
    if sum > 0.0 {
        makers.iter_mut().for_each(|m| m.1 /= sum);
    }
    makers.sort_by(|a, b| b.1.total_cmp(&a.1));
    let [low, likely, high] = quantiles(values, weights);
    Band { low, likely, high, never, makers }
}

/// Values below which 5, 50 and 95 of a hundred lie, by weight.
fn quantiles(values: &[f64], weights: &[f64]) -> [f64; 3] {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let total: f64 = weights.iter().sum();
    [0.05, 0.5, 0.95].map(|q| {
        let mut sum = 0.0;
        for &i in &order {
            sum += weights[i];
            if sum >= q * total {
                return values[i];
            }
        }
        order.last().map_or(f64::NAN, |i| values[*i])
    })
}

/// Squared weighted correlation of a figure with an input, runs where it never happens left out.
fn correlation_squared(values: &[f64], weights: &[f64], draws: &[Draw], input: Input) -> f64 {
    let (mut n, mut sx, mut sy, mut sxx, mut syy, mut sxy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for ((y, w), d) in values.iter().zip(weights).zip(draws) {
        if !y.is_finite() {
            continue;
        }
        let x = d.of(input);
        n += w;
        sx += w * x;
        sy += w * y;
        sxx += w * x * x;
        syy += w * y * y;
        sxy += w * x * y;
    }
    let (cxy, cxx, cyy) = (sxy - sx * sy / n, sxx - sx * sx / n, syy - sy * sy / n);
    if n > 0.0 && cxx > 0.0 && cyy > 1e-12 * syy { cxy * cxy / (cxx * cyy) } else { 0.0 }
}
