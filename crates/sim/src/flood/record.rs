//! What is written down while time passes.

use super::flows::Flows;
use super::state::{Layout, Meter};
use crate::ledger::Ledger;
use crate::run::{BlockCourse, Event, EventKind, FloodRecord, Level, Moment, Run, TrayMoment, TrayTotals};
use crate::scenario::Keep;
use crate::stack::{BlockMoment, Moved};

/// Moments of blocks closer than this are told apart only where water moves \[s\].
const APART: f64 = 60.0;

/// The growing record of a run.
pub(crate) struct Record {
    pub(crate) run: Run,
    keep: Keep,
    total_at_start: f64,
    /// Water in the groups that rest \[m³\].
    resting: f64,
    /// Index of the open or last flood of each tray.
    latest: Vec<Option<usize>>,
    /// Up to when the blocks of each tray were told \[s\].
    told_upto: Vec<f64>,
    /// Time and volume of each tray since its pump started, to find when it was steady.
    trace: Vec<Vec<(f64, f64)>>,
}

impl Record {
    pub(crate) fn new(flows: &Flows<'_>, y: &[f64], keep: Keep) -> Self {
        let n = flows.model.trays.len();
        let places = flows.model.layout.places(y);
        let run = Run {
            lowest_reservoir_m: flows.reservoir_depth,
            highest_reservoir_m: flows.reservoir_depth,
            highest_m: flows.depth.iter().map(|d| d.max(0.0)).collect(),
            totals: vec![TrayTotals::default(); n],
            blocks: vec![BlockCourse::default(); n],
            levels: vec![Vec::new(); if keep == Keep::Levels { n } else { 0 }],
            ledger: Ledger { start: places.clone(), end: places, error: 0.0 },
            ..Run::default()
        };
        Self {
            run,
            keep,
            total_at_start: flows.model.layout.total(y),
            resting: 0.0,
            latest: vec![None; n],
            told_upto: vec![0.0; n],
            trace: vec![Vec::new(); n],
        }
    }

    pub(crate) fn event(&mut self, t: f64, kind: EventKind, index: usize, depth_m: f64) {
        self.run.events.push(Event { t_s: t, kind, index, depth_m });
        let Some(flood) = self.latest.get(index).copied().flatten().and_then(|i| self.run.floods.get_mut(i)) else {
            return;
        };
        let first = |slot: &mut f64, value: f64| {
            if slot.is_infinite() {
                *slot = value;
            }
        };
        let stopped = flood.stop_s.is_finite();
        match kind {
            EventKind::CrestWet if !stopped => first(&mut flood.crest_wet_s, t - flood.start_s),
            EventKind::BlockBaseWet if !stopped => first(&mut flood.base_wet_s, t - flood.start_s),
            EventKind::CrestDry if stopped => first(&mut flood.crest_dry_s, t - flood.stop_s),
            EventKind::Drained if stopped => first(&mut flood.drained_s, t - flood.stop_s),
            EventKind::Puddle if stopped => first(&mut flood.puddle_s, t - flood.stop_s),
            _ => {}
        }
    }

    pub(crate) fn flood_starts(&mut self, t: f64, tray: usize, flow: f64) {
        self.latest[tray] = Some(self.run.floods.len());
        self.trace[tray].clear();
        const NEVER: f64 = f64::INFINITY;
        self.run.floods.push(FloodRecord {
            tray,
            start_s: t,
            stop_s: NEVER,
            crest_wet_s: NEVER,
            base_wet_s: NEVER,
            steady_s: NEVER,
            highest_m: 0.0,
            depth_at_stop_m: 0.0,
            final_depth_m: f64::NAN,
            crest_dry_s: NEVER,
            drained_s: NEVER,
            puddle_s: NEVER,
            first_flow_m3_s: flow,
            last_flow_m3_s: flow,
            first_back_flow_m3_s: 0.0,
        });
    }

    /// The flood of a tray, if it is under way.
    pub(crate) fn open_flood(&mut self, tray: usize) -> Option<&mut FloodRecord> {
        let i = self.latest[tray]?;
        self.run.floods.get_mut(i).filter(|f| f.stop_s.is_infinite())
    }

    /// The latest flood of a tray, ended or not.
    pub(crate) fn latest_flood(&mut self, tray: usize) -> Option<&mut FloodRecord> {
        self.latest[tray].and_then(|i| self.run.floods.get_mut(i))
    }

    /// Where a tray's volume has been since its pump started.
    pub(crate) fn trace_point(&mut self, tray: usize, t: f64, volume: f64) {
        self.trace[tray].push((t, volume));
    }

    /// How deep a tray is.
    pub(crate) fn level(&mut self, tray: usize, t_s: f64, depth_m: f64) {
        self.run.levels[tray].push(Level { t_s, depth_m });
    }

    /// When the volume last came up through a level, after the pump's start.
    pub(crate) fn passed(&self, tray: usize, level: f64) -> Option<f64> {
        let i = self.trace[tray].windows(2).rposition(|w| w[0].1 < level && w[1].1 >= level)?;
        let trace = &self.trace[tray];
        // Cubic through four neighbours, inverted by a few secant steps: the course is smooth here.
        let lo = i.saturating_sub(1).min(trace.len().saturating_sub(4));
        let near = &trace[lo..(lo + 4).min(trace.len())];
        let at = |t: f64| -> f64 {
            near.iter()
                .enumerate()
                .map(|(a, p)| {
                    let others = near.iter().enumerate().filter(|(b, _)| *b != a);
                    p.1 * others.map(|(_, q)| (t - q.0) / (p.0 - q.0)).product::<f64>()
                })
                .sum()
        };
        let (t0, t1) = (trace[i].0, trace[i + 1].0);
        tidewright_physics::numerics::root::bracketed(t0, t1, 1e-6, |t| at(t) - level).or(Some(t1))
    }

    /// Other groups rest than did.
    pub(crate) fn groups_rest(&mut self, flows: &Flows<'_>, y: &[f64]) {
        let layout = &flows.model.layout;
        let awake: f64 = flows.awake().flat_map(|p| &y[layout.stores(p)]).sum();
        self.resting = layout.total(y) - awake - y[Layout::SHARED_WATER].iter().sum::<f64>();
    }

    /// Extremes and the water account, after each step.
    pub(crate) fn step(&mut self, flows: &Flows<'_>, y: &[f64]) {
        for i in flows.moving_trays() {
            let d = flows.depth[i];
            self.run.highest_m[i] = self.run.highest_m[i].max(d);
            if let Some(f) = self.open_flood(i) {
                f.highest_m = f.highest_m.max(d);
            }
        }
        let d = flows.reservoir_depth;
        self.run.lowest_reservoir_m = self.run.lowest_reservoir_m.min(d);
        self.run.highest_reservoir_m = self.run.highest_reservoir_m.max(d);
        let layout = &flows.model.layout;
        let mut total = self.resting + y[Layout::SHARED_WATER].iter().sum::<f64>();
        // A vessel cannot hold less than nothing: an account that closes by a debt does not close.
        // The supply is counted from nil, and what lies on the floor follows from the rest.
        for p in flows.awake() {
            total += y[layout.stores(p)].iter().sum::<f64>();
        }
        let error = ((total - self.total_at_start) / self.total_at_start.max(1e-6)).abs();
        let debt = -flows.least_store(y) > 1e-6 + 1e-5 * self.total_at_start;
        let error = if debt { f64::INFINITY } else { error };
        // A NaN must not hide behind max.
        if error > self.run.ledger.error || error.is_nan() {
            self.run.ledger.error = error;
        }
    }

    /// A moment of the blocks of a tray.
    pub(crate) fn block_moment(&mut self, tray: usize, moment: BlockMoment) {
        let blocks = &mut self.run.blocks[tray];
        let since = moment.t_s - std::mem::replace(&mut self.told_upto[tray], moment.t_s);
        blocks.supplied = blocks.supplied.min(moment.supplied);
        blocks.driest = blocks.driest.min(moment.mean);
        blocks.starved_s += since.max(0.0) * moment.starved;
        let course = &mut blocks.course;
        // What the eye cannot tell apart is kept once.
        let same = |m: &BlockMoment| moment.t_s - m.t_s < APART && (moment.mean - m.mean).abs() < 0.002;
        if self.keep == Keep::Course && course.len() > 1 && same(&course[course.len() - 2]) {
            course.pop();
        }
        if self.keep == Keep::Course {
            course.push(moment);
        }
    }

    /// Water that the blocks of a tray moved.
    pub(crate) fn blocks_moved(&mut self, tray: usize, moved: Moved) {
        self.run.blocks[tray].moved += moved;
    }

    pub(crate) fn moment(&mut self, t: f64, flows: &Flows<'_>, y: &[f64]) {
        if self.keep != Keep::Course {
            return;
        }
        let l = &flows.model.layout;
        let trays = flows
            .model
            .trays
            .iter()
            .enumerate()
            .map(|(i, tray)| TrayMoment {
                depth_m: flows.depth[i],
                feed_m3_s: flows.feed[i],
                riser_m3_s: flows.riser[i],
                media: if tray.envelope > 0.0 { y[l.media(i)] / tray.envelope } else { 0.0 },
            })
            .collect();
        self.run.course.push(Moment { t_s: t, reservoir_m: flows.reservoir_depth, floor_m3: y[Layout::FLOOR], trays });
    }

    /// Closes the record.
    pub(crate) fn end(mut self, t: f64, flows: &Flows<'_>, y: &[f64], evaluations: u64) -> Run {
        let l = &flows.model.layout;
        let run = &mut self.run;
        run.end_s = t;
        run.ledger.end = l.places(y);
        for i in 0..run.totals.len() {
            run.totals[i] = TrayTotals {
                fed_m3: y[l.meter(i, Meter::Fed)],
                back_m3: y[l.meter(i, Meter::Back)],
                over_riser_m3: y[l.meter(i, Meter::OverRiser)],
                spilled_m3: y[l.meter(i, Meter::Spilled)],
            };
        }
        run.reservoir_spill_m3 = y[Layout::RESERVOIR_SPILL];
        run.topped_up_m3 = run.ledger.start.supply_m3 - y[Layout::SUPPLY];
        run.evaluations = evaluations;
        self.run
    }
}
