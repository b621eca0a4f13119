//! What happens inside a step: levels crossed, marks passed, rims left.

use super::{APART, Drive, FEWEST_INSIDE, MOST_DEBT, MOST_INSIDE, SHORTEST, STILL};
use crate::flood::state::{Hose, Layout};
use crate::flood::watch::{self, Meaning, Watch};
use crate::run::EventKind;
use crate::scenario::Keep;
use tidewright_physics::numerics::root;

impl Drive<'_> {
    /// When, inside the last step and before `until`, a watch is crossed.
    fn when(&self, w: &Watch, until: f64) -> Option<f64> {
        if !w.crossed(self.ode.y[w.component]) {
            return None;
        }
        // A level left by less than the resolution before the step began is crossed at its begin.
        if w.is_beyond(self.ode.interpolate_one(self.ode.t_old, w.component)) {
            return Some(self.ode.t_old);
        }
        // Without a root the other crossing comes first.
        root::bracketed(self.ode.t_old, until, 1e-9, |t| self.ode.interpolate_one(t, w.component) - w.level)
    }

    /// Looks for the earliest crossing inside the step; goes back to it if there is one.
    pub(super) fn after_step(&mut self) {
        let mut first: Option<(f64, usize)> = None;
        for &i in &self.bends {
            if let Some(t) = self.when(&self.watches[i], first.map_or(self.ode.t, |f| f.0)) {
                first = Some((t, i));
                if t <= self.ode.t_old {
                    break;
                }
            }
        }
        let mut end = first.map_or(self.ode.t, |f| f.0);
        if let Some(t) = self.rim_left(end) {
            (end, first) = (t, None);
        }
        if end < self.ode.t {
            self.ode.cut_to(end);
        }
        let length = end - self.ode.t_old;
        if length > SHORTEST && self.flows.least_store(&self.ode.y) < -MOST_DEBT {
            self.ode.take_back(0.5 * length);
            return;
        }
        if !self.soaking.is_empty() && !self.blocks_follow(end) {
            self.ode.take_back(0.5 * length);
            return;
        }
        self.tell_marks(end);
        self.write_inside(end);
        if let Some((_, i)) = first {
            self.flows.read_depths(&self.ode.y);
            self.record.step(&self.flows, &self.ode.y);
            // Levels that coincide are crossed together.
            let (component, level) = (self.watches[i].component, self.watches[i].level);
            let side = self.watches[i].is_above();
            for k in 0..self.watches.len() {
                let w = &self.watches[k];
                if w.component == component && (w.level - level).abs() < 1e-10 && w.is_above() == side {
                    self.cross(k);
                }
            }
            self.restart();
            self.refresh();
        } else {
            // The step's last stage stands at its end, so the flows are those of this moment, unless
            // the search for a falling rim has looked elsewhere since.
            let mode = &self.flows.mode;
            if mode.reservoir_full || mode.at_rim.contains(&true) {
                self.flows.look(&self.ode.y);
            }
            self.record.step(&self.flows, &self.ode.y);
        }
        self.leave_rims();
        let layout = &self.flows.model.layout;
        for tray in self.flows.moving_trays() {
            if self.record.open_flood(tray).is_some() {
                self.record.trace_point(tray, self.ode.t, self.ode.y[layout.tray(tray)]);
            }
        }
        if self.keep == Keep::Levels {
            for tray in self.flows.moving_trays() {
                self.record.level(tray, self.ode.t, self.flows.depth[tray]);
            }
        }
        if self.keep == Keep::Course {
            self.flows.look(&self.ode.y);
            self.record.moment(self.ode.t, &self.flows, &self.ode.y);
        }
    }

    /// Tells the marks that were passed before `end`, in order of time.
    fn tell_marks(&mut self, end: f64) {
        let mut told: Vec<(f64, usize)> = Vec::new();
        for &i in &self.marks {
            told.extend(self.when(&self.watches[i], end).map(|t| (t, i)));
        }
        told.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (t, i) in told {
            let w = &mut self.watches[i];
            let (index, depth) = (w.index, w.smooth_at.unwrap_or_default());
            if let Some(Meaning::Tell(kind)) = w.cross() {
                self.record.event(t, kind, index, depth);
            }
        }
    }

    /// Points inside the step, for the course and for the search of the steady depth.
    fn write_inside(&mut self, end: f64) {
        let t_old = self.ode.t_old;
        if end - t_old < 1e-6 {
            return;
        }
        let inside = (((end - t_old) / APART) as usize).clamp(FEWEST_INSIDE, MOST_INSIDE);
        let mut point = std::mem::take(&mut self.point);
        for k in 1..=inside {
            let t = t_old + (end - t_old) * k as f64 / (inside + 1) as f64;
            let layout = &self.flows.model.layout;
            for tray in self.flows.moving_trays() {
                let v = self.ode.interpolate_one(t, layout.tray(tray));
                if self.record.open_flood(tray).is_some() {
                    self.record.trace_point(tray, t, v);
                }
                if self.keep == Keep::Levels {
                    let depth = self.flows.model.trays[tray].store.depth(v, self.flows.depth[tray]);
                    self.record.level(tray, t, depth);
                }
            }
            if self.keep == Keep::Course {
                self.ode.interpolate(t, &mut point);
                self.flows.look(&point);
                self.record.moment(t, &self.flows, &point);
            }
        }
        self.point = point;
        if self.keep == Keep::Course {
            self.flows.look(&self.ode.y);
        }
    }

    fn cross(&mut self, watch: usize) {
        let Some(meaning) = self.watches[watch].cross() else { return };
        let index = self.watches[watch].index;
        let t = self.ode.t;
        let tray_depth = self.flows.depth.get(index).copied().unwrap_or(0.0);
        let water = self.flows.reservoir_depth;
        let mode = &mut self.flows.mode;
        match meaning {
            Meaning::Tell(kind) => self.record.event(t, kind, index, tray_depth),
            Meaning::Rim => {
                mode.at_rim[index] = true;
                self.record.event(t, EventKind::RimOvertopped, index, tray_depth);
            }
            Meaning::Puddle => {
                self.record.event(t, EventKind::Puddle, index, tray_depth);
                if !self.flows.mode.running(self.flows.model.trays[index].pump) {
                    self.flows.mode.air[index] = true;
                    self.release_hoses();
                }
            }
            Meaning::Covered => {
                mode.air[index] = false;
                // Water from above falls through a stopped pump's empty hose as through a full one.
                let pump = self.flows.model.trays[index].pump;
                if !mode.pump_on[pump] && mode.way_open[index] && mode.hose[pump] == Hose::Filling {
                    mode.hose[pump] = Hose::Full;
                }
            }
            Meaning::PrimeLost => {
                if mode.pump_on[index] && mode.primed[index] {
                    mode.primed[index] = false;
                    self.record.event(t, EventKind::PrimeLost, index, water);
                    let running = (0..self.flows.model.pumps.len()).any(|p| self.flows.mode.running(p));
                    self.done |= self.stuck && !running;
                }
            }
            Meaning::PrimeRegained => {
                if mode.pump_on[index] && !mode.primed[index] {
                    mode.primed[index] = true;
                    if mode.hose[index] == Hose::Emptying {
                        mode.hose[index] = Hose::Filling;
                    }
                    self.record.event(t, EventKind::PrimeRegained, index, water);
                }
            }
            Meaning::ReservoirFull => {
                mode.reservoir_full = true;
                self.record.event(t, EventKind::ReservoirOverflow, 0, water);
            }
            Meaning::FloatOpens => {
                mode.float_open = true;
                self.record.event(t, EventKind::FloatOpens, 0, water);
            }
            Meaning::FloatShuts => {
                if mode.float_open {
                    mode.float_open = false;
                    self.record.event(t, EventKind::FloatShuts, 0, water);
                }
            }
            Meaning::SupplyEnds => mode.supply_ended = true,
            Meaning::HoseFull => {
                mode.hose[index] = Hose::Full;
                self.record.event(t, EventKind::HoseFull, index, water);
                self.water_arrives(index);
            }
            Meaning::HoseEmpty => {
                if mode.hose[index] == Hose::Emptying {
                    mode.hose[index] = Hose::Filling;
                }
            }
        }
    }

    /// The first flow of a flood is that of the full hose.
    fn water_arrives(&mut self, pump: usize) {
        self.flows.look(&self.ode.y);
        for &tray in &self.flows.model.pumps[pump].trays {
            let flow = self.flows.feed[tray].max(0.0);
            if let Some(f) = self.record.open_flood(tray)
                && f.first_flow_m3_s == 0.0
            {
                f.first_flow_m3_s = flow;
            }
        }
    }

    /// A stopped pump's hose runs empty once air stands in every tray's fitting.
    pub(super) fn release_hoses(&mut self) {
        let model = self.flows.model;
        for (p, pump) in model.pumps.iter().enumerate() {
            let mode = &self.flows.mode;
            let stopped = !mode.running(p) && mode.hose[p] == Hose::Full && pump.hose_volume > 0.0;
            let airy = pump.trays.iter().all(|&t| mode.air[t] || !mode.way_open[t]);
            let all_shut = pump.trays.iter().all(|&t| !mode.way_open[t]);
            if stopped && airy && !all_shut && !pump.source.check_valve {
                self.empty_hose(p);
            }
        }
    }

    pub(super) fn empty_hose(&mut self, p: usize) {
        let empty = self.ode.y[self.flows.model.layout.hose(p)] <= 2.0 * watch::HOSE_EMPTY;
        let kept = self.flows.model.pumps[p].source.check_valve;
        self.flows.mode.hose[p] = if kept || empty { Hose::Filling } else { Hose::Emptying };
    }

    /// Whether a vessel at its rim loses water; one that neither gains nor loses stays there.
    fn any_rim_falls(&self) -> bool {
        let m = &self.flows.mode;
        let tray = m.at_rim.iter().zip(&self.flows.surplus).any(|(at, s)| *at && *s < -STILL);
        tray || (m.reservoir_full && self.flows.reservoir_surplus < -STILL)
    }

    /// When, inside the last step and before `end`, the first vessel at its rim began to fall.
    fn rim_left(&mut self, end: f64) -> Option<f64> {
        if !self.flows.mode.reservoir_full && !self.flows.mode.at_rim.contains(&true) {
            return None;
        }
        let mut point = vec![0.0; self.ode.y.len()];
        let mut falls = |this: &mut Self, t: f64| {
            this.ode.interpolate(t, &mut point);
            this.flows.look(&point);
            this.any_rim_falls()
        };
        if !falls(self, end) {
            return None;
        }
        let (mut before, mut after) = (self.ode.t_old, end);
        while after - before > 1e-6 {
            let middle = 0.5 * (before + after);
            if falls(self, middle) { after = middle } else { before = middle }
        }
        Some(after)
    }

    /// A vessel leaves its rim when it no longer gains water.
    fn leave_rims(&mut self) {
        let t = self.ode.t;
        let mut left = false;
        for i in 0..self.flows.depth.len() {
            if self.flows.mode.at_rim[i] && self.flows.surplus[i] < -STILL {
                self.flows.mode.at_rim[i] = false;
                let depth = self.flows.depth[i];
                self.record.event(t, EventKind::RimDry, i, depth);
                self.settle(self.flows.model.layout.tray(i));
                left = true;
            }
        }
        if self.flows.mode.reservoir_full && self.flows.reservoir_surplus < -STILL {
            self.flows.mode.reservoir_full = false;
            self.record.event(t, EventKind::ReservoirBelowRim, 0, self.flows.reservoir_depth);
            self.settle(Layout::RESERVOIR);
            left = true;
        }
        if left {
            self.restart();
        }
    }

    /// Rim watches stand exactly on the level after a spill: they count as below it again.
    fn settle(&mut self, component: usize) {
        let y = &self.ode.y;
        for w in self.watches.iter_mut().filter(|w| w.component == component) {
            if matches!(w.rising, Some(Meaning::Rim | Meaning::ReservoirFull)) {
                w.settle(y);
                if (y[component] - w.level).abs() < 1e-9 {
                    w.rest_below();
                }
            }
        }
    }
}
