//! Through time: settings and steps; what happens inside a step stands in `crossing`.

mod crossing;
mod soaking;

use super::flows::Flows;
use super::model::Model;
use super::program::{Plan, Setting, plan};
use super::record::Record;
use super::state::{Hose, Layout};
use super::watch::{self, Watch};
use crate::run::{EventKind, Run};
use crate::scenario::{Keep, Program, Scenario};
use crate::stack::Stack;
use soaking::Soaking;
use tidewright_physics::numerics::ode::Dopri5;

/// More steps than any bench needs: a chattering one is broken off and says so.
const MOST_STEPS: u32 = 30_000;
/// Slower than this nothing moves \[m³/s\]: 7 mL an hour.
const STILL: f64 = 2e-9;
/// A step after which a vessel owes more than this \[m³\] has stepped over a bend in its flows: it is made
/// again at half its length, unless it is as short as the next.
const MOST_DEBT: f64 = 1e-7;
const SHORTEST: f64 = 0.01;
/// With blocks as columns a day counts as the one before when no vessel differs by more than this, over all water.
const ALIKE_WITH_CROP: f64 = 1e-4;
/// Points written down inside a long step.
const FEWEST_INSIDE: usize = 3;
const MOST_INSIDE: usize = 24;
/// … so that none lie further apart than this \[s\], as far as the most allow.
const APART: f64 = 4.0;

pub(crate) fn go(model: &Model, scenario: &Scenario) -> (Run, Vec<Option<Stack>>) {
    let plan = plan(model, &scenario.program);
    let mut drive = Drive::new(model, scenario);
    match scenario.program {
        Program::DaysUntilPeriodic { most } => drive.days(&plan, most),
        _ => {
            drive.pass(&plan);
            drive.finish()
        }
    }
}

struct Drive<'m> {
    flows: Flows<'m>,
    ode: Dopri5,
    watches: Vec<Watch>,
    /// Which of them are looked at: those that end a step, and mere marks.
    bends: Vec<usize>,
    marks: Vec<usize>,
    record: Record,
    soaking: Soaking,
    stuck: bool,
    keep: Keep,
    rtol: f64,
    done: bool,
    steps: u32,
    evaluations: u64,
    /// Room for a state between two steps.
    point: Vec<f64>,
}

impl<'m> Drive<'m> {
    fn new(model: &'m Model, scenario: &Scenario) -> Self {
        let mut flows = Flows::new(model);
        let layout = &model.layout;
        let y = layout.initial(model);
        flows.look(&y);
        let mut watches = watch::all(model);
        for w in &mut watches {
            w.settle(&y);
        }
        // A reservoir that begins below a switch point is beyond it already.
        if let Some(f) = &model.float {
            flows.mode.float_open = flows.reservoir_depth < f.opens;
        }
        let keep = scenario.options.keep;
        Self {
            ode: Dopri5::new(0.0, &y, scenario.options.rtol, &layout.tolerances(scenario.options.rtol)),
            record: Record::new(&flows, &y, keep),
            soaking: Soaking::new(model.trays.iter().map(|t| t.stack.clone()).collect()),
            stuck: matches!(scenario.program, Program::StuckOn { .. }),
            rtol: scenario.options.rtol,
            done: false,
            steps: 0,
            evaluations: 0,
            point: vec![0.0; y.len()],
            flows,
            watches,
            bends: Vec::new(),
            marks: Vec::new(),
            keep,
        }
    }

    fn finish(mut self) -> (Run, Vec<Option<Stack>>) {
        let y = self.ode.y.clone();
        self.flows.look(&y);
        self.record.step(&self.flows, &y);
        // A flood that never stopped tends to a depth as well.
        for tray in 0..self.flows.depth.len() {
            if self.record.open_flood(tray).is_some() {
                let depth = self.final_depth(tray);
                if let Some(f) = self.record.open_flood(tray) {
                    f.final_depth_m = depth;
                }
            }
        }
        let broke_off = self.record.run.broke_off;
        let mut run = self.record.end(self.ode.t, &self.flows, &y, self.evaluations + self.ode.calls);
        run.broke_off = broke_off;
        (run, self.soaking.stacks)
    }

    /// Days one after the other until the volumes at midnight repeat; the last day is the record.
    fn days(mut self, plan: &Plan, most: u32) -> (Run, Vec<Option<Stack>>) {
        let model = self.flows.model;
        let layout = &model.layout;
        let mut days = 0;
        // The first day only brings blocks to where they stand at midnight.
        self.soaking.roughly(true);
        loop {
            let before = self.ode.y.clone();
            self.pass(plan);
            days += 1;
            let total = layout.total(&before).abs().max(1e-6);
            let alike = if self.soaking.is_empty() { 1e-6 } else { ALIKE_WITH_CROP };
            let same = layout.volumes().filter(|i| *i != Layout::AIR);
            // What the crop drank is topped up by hand, unless a float valve has.
            let missing = if model.float.is_none() { self.ode.y[Layout::AIR] } else { 0.0 };
            let given = |i: usize| if i == Layout::RESERVOIR { missing } else { 0.0 };
            let apart = same.map(|i| (self.ode.y[i] + given(i) - before[i]).abs()).fold(0.0, f64::max) / total;
            let same = apart < alike && (days > 1 || self.soaking.is_empty());
            self.soaking.roughly(false);
            if same || days >= most || self.record.run.broke_off || self.record.run.blocks_lost.is_some() {
                let (mut run, stacks) = self.finish();
                (run.days, run.periodic) = (days, same);
                return (run, stacks);
            }
            // The next day begins where this one ended; totals begin anew.
            let mut y = self.ode.y.clone();
            for i in layout.meters() {
                y[i] = 0.0;
            }
            y[Layout::RESERVOIR] += missing;
            y[Layout::AIR] = 0.0;
            self.soaking.midnight();
            self.evaluations += self.ode.calls;
            self.ode = Dopri5::new(0.0, &y, self.rtol, &layout.tolerances(self.rtol));
            self.record = Record::new(&self.flows, &y, self.keep);
            self.done = false;
        }
    }

    fn pass(&mut self, plan: &Plan) {
        for (i, setting) in plan.settings.iter().enumerate() {
            let until = plan.settings.get(i + 1).map_or(plan.end, |s| s.from);
            let last = i + 1 == plan.settings.len();
            self.switch(setting);
            self.segment(until, last && plan.ends_when_still);
            if self.done {
                return;
            }
        }
        if !self.soaking.is_empty() && !plan.ends_when_still {
            // Blocks that nothing stood around since are told up to midnight.
            self.blocks_rest(self.ode.t);
        }
    }

    fn restart(&mut self) {
        let h = (0.5 * self.ode.next_step()).clamp(0.2, 20.0);
        self.ode.restart(self.ode.t, h);
    }

    /// Pumps and valves as the setting says.
    fn switch(&mut self, s: &Setting) {
        let t = self.ode.t;
        let model = self.flows.model;
        let y = self.ode.y.clone();
        for w in self.watches.iter_mut().filter(|w| w.component == Layout::RESERVOIR) {
            if w.pump.is_some_and(|p| self.flows.rests(p)) {
                w.settle_low(&y);
            }
        }
        self.flows.wake();
        self.groups_rest();
        self.flows.look(&y);
        let flooding = |on: &[bool], ways: &[bool]| -> Vec<bool> {
            model.trays.iter().enumerate().map(|(i, tray)| on[tray.pump] && ways[i]).collect()
        };
        let was = flooding(&self.flows.mode.pump_on, &self.flows.mode.way_open);
        let is = flooding(&s.pumps, &s.ways);
        let final_depths: Vec<Option<f64>> =
            (0..was.len()).map(|i| (was[i] && !is[i]).then(|| self.final_depth(i))).collect();
        for p in 0..s.pumps.len() {
            if s.pumps[p] == self.flows.mode.pump_on[p] {
                continue;
            }
            self.flows.mode.pump_on[p] = s.pumps[p];
            let kind = if s.pumps[p] { EventKind::PumpOn } else { EventKind::PumpOff };
            self.record.event(t, kind, p, self.flows.reservoir_depth);
            if s.pumps[p] {
                // Exactly at the level, where the last flood left it, counts as below: so does the watch.
                self.flows.mode.primed[p] = self.flows.reservoir_depth > model.pumps[p].prime_depth + 1e-6;
                if !self.flows.mode.primed[p] {
                    self.record.event(t, EventKind::PrimeLost, p, self.flows.reservoir_depth);
                }
                if self.flows.mode.hose[p] == Hose::Emptying {
                    self.flows.mode.hose[p] = Hose::Filling;
                }
            } else if self.flows.mode.hose[p] == Hose::Filling && model.pumps[p].hose_volume > 0.0 {
                self.empty_hose(p);
            }
        }
        self.flows.mode.way_open.clone_from(&s.ways);
        for i in 0..was.len() {
            if was[i] && !is[i] {
                self.flood_stops(i, t, final_depths[i]);
            }
        }
        self.release_hoses();
        self.flows.look(&y);
        for i in 0..was.len() {
            if is[i] && !was[i] {
                self.record.flood_starts(t, i, self.flows.feed[i].max(0.0));
                self.record.trace_point(i, t, y[self.flows.model.layout.tray(i)]);
            } else if was[i] && !is[i] {
                let back = (-self.flows.feed[i]).max(0.0);
                if let Some(f) = self.record.latest_flood(i) {
                    f.first_back_flow_m3_s = back;
                }
            }
        }
        self.restart();
        self.record.moment(t, &self.flows, &y);
    }

    fn flood_stops(&mut self, tray: usize, t: f64, final_depth: Option<f64>) {
        let model = &self.flows.model.trays[tray];
        let depth = self.flows.depth[tray];
        let flow = self.flows.feed[tray];
        let final_depth = final_depth.unwrap_or(f64::NAN);
        let steady = model.riser.as_ref().filter(|r| final_depth > r.crest).and_then(|r| {
            let mark = r.crest + 0.99 * (final_depth - r.crest);
            if depth < mark { None } else { self.record.passed(tray, model.store.volume(mark)) }
        });
        if let Some(f) = self.record.open_flood(tray) {
            f.stop_s = t;
            f.depth_at_stop_m = depth;
            f.last_flow_m3_s = flow;
            f.final_depth_m = final_depth;
            f.steady_s = steady.map_or(f64::INFINITY, |s| s - f.start_s);
        }
        if let Some(s) = steady {
            let e = crate::run::Event { t_s: s, kind: EventKind::Steady, index: tray, depth_m: final_depth };
            let at = self.record.run.events.partition_point(|x| x.t_s <= s);
            self.record.run.events.insert(at, e);
        }
    }

    /// Depth that a tray tends to with everything left as it is: one Newton step on its net flow,
    /// the reservoir giving what the tray takes.
    fn final_depth(&mut self, tray: usize) -> f64 {
        let l = &self.flows.model.layout;
        let mut y = self.ode.y.clone();
        let mut dy = vec![0.0; y.len()];
        self.flows.slopes(&y, &mut dy);
        let f0 = dy[l.tray(tray)];
        let before = self.flows.depth[tray];
        if self.flows.mode.at_rim[tray] {
            return before;
        }
        let nudge = 1e-6;
        y[l.tray(tray)] += nudge;
        y[Layout::RESERVOIR] -= nudge;
        self.flows.slopes(&y, &mut dy);
        let slope = (dy[l.tray(tray)] - f0) / nudge;
        let back = self.ode.y.clone();
        let answer = if slope < 0.0 {
            self.flows.model.trays[tray].store.depth(back[l.tray(tray)] - f0 / slope, before)
        } else {
            before
        };
        self.flows.look(&back);
        answer
    }

    fn segment(&mut self, until: f64, may_end: bool) {
        while self.ode.t < until && !self.done {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                self.record.run.broke_off = true;
                self.done = true;
                return;
            }
            self.refresh();
            if self.soaking.is_empty() && self.flows.rest(self.ode.slope()) {
                self.groups_rest();
            }
            if self.still() {
                if may_end {
                    self.done = true;
                    return;
                }
                // No level moves until the next setting, or as long as blocks may be left alone; what circulates is
                // counted on.
                let end = if self.soaking.is_empty() { until } else { self.blocks_rest(until) };
                for i in self.flows.model.layout.meters() {
                    self.ode.y[i] += self.ode.slope()[i] * (end - self.ode.t);
                }
                self.ode.t = end;
                self.ode.restart(end, 1.0);
                self.flows.look(&self.ode.y);
                self.record.moment(end, &self.flows, &self.ode.y);
                if end < until {
                    continue;
                }
                return;
            }
            let flows = &mut self.flows;
            let mut rhs = |_t: f64, y: &[f64], dy: &mut [f64]| flows.slopes(y, dy);
            if self.ode.step(until, &mut rhs).is_err() {
                self.record.run.broke_off = true;
                self.done = true;
                return;
            }
            self.after_step();
        }
    }

    fn still(&self) -> bool {
        let slope = self.ode.slope();
        let draining = self.flows.soaking.iter().any(|q| q.abs() >= STILL);
        !draining && self.flows.model.layout.volumes().all(|i| slope[i].abs() < STILL)
    }

    /// Other groups rest than did: whoever looks at the state looks at what moves.
    fn groups_rest(&mut self) {
        self.ode.move_only(&self.flows.moving());
        self.record.groups_rest(&self.flows, &self.ode.y);
        let looked_at = |w: &Watch| w.pump.is_none_or(|p| !self.flows.rests(p));
        (self.bends, self.marks) = (0..self.watches.len())
            .filter(|i| looked_at(&self.watches[*i]))
            .partition(|i| self.watches[*i].smooth_at.is_none());
    }

    /// The slopes, and with them depths and flows, of the present moment.
    fn refresh(&mut self) {
        let flows = &mut self.flows;
        self.ode.refresh(&mut |_t: f64, y: &[f64], dy: &mut [f64]| flows.slopes(y, dy));
    }
}
