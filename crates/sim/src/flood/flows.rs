//! Every flow at one moment: the right-hand side of the run.

use super::model::Model;
use super::network::{Answer, Last, Way, solve};
use super::outlet;
use super::state::{Hose, Layout, Meter, Mode};
use super::store::DEPTH_STEP;
use std::ops::Range;
use tidewright_physics::numerics::root;

/// Water over the inlet below which less and less enters it \[m\].
const FILM: f64 = 0.002;

/// Slower than this media neither take nor give \[m³/s\]: a third of a millilitre an hour.
const SEEPAGE: f64 = 1e-10;

/// The bench in motion: its modes, and last answers as guesses for the next.
pub(crate) struct Flows<'m> {
    pub(crate) model: &'m Model,
    pub(crate) mode: Mode,
    /// Pumps with whose hose and trays nothing can happen before a pump is switched.
    resting: Vec<bool>,
    /// Depth in each tray \[m\].
    pub(crate) depth: Vec<f64>,
    /// Volume \[m³\] and free surface \[m²\] at each depth, and at the reservoir's.
    read_at: Vec<(f64, f64)>,
    reservoir_at: (f64, f64),
    /// Depth in the reservoir \[m\].
    pub(crate) reservoir_depth: f64,
    /// Flow from its feed into each tray \[m³/s\].
    pub(crate) feed: Vec<f64>,
    /// Flow over each riser \[m³/s\].
    pub(crate) riser: Vec<f64>,
    /// What blocks that are followed as columns are foreseen to take during a step \[m³/s\].
    pub(crate) soaking: Vec<f64>,
    /// What each tray at its rim would gain \[m³/s\].
    pub(crate) surplus: Vec<f64>,
    /// What the reservoir at its lowest hole would gain \[m³/s\].
    pub(crate) reservoir_surplus: f64,
    scrap: Vec<f64>,
    ways: Vec<Vec<Way>>,
    answer: Vec<Answer>,
    answer_while_filling: Vec<Answer>,
}

impl<'m> Flows<'m> {
    pub(crate) fn new(model: &'m Model) -> Self {
        let n = model.trays.len();
        let ways: Vec<Vec<Way>> = model
            .pumps
            .iter()
            .map(|p| {
                let shared = p.trays.len() + usize::from(p.bypass.is_some()) > 1;
                let mut ways: Vec<Way> = p
                    .trays
                    .iter()
                    .map(|&t| {
                        // A shared pump needs a resistance of its own before each tray.
                        let stub = shared.then(|| p.source.trunk.shortened(0.05).with_loss(1.8));
                        Way { line: model.trays[t].line.or(stub), out: 0.0, back: None, open: true }
                    })
                    .collect();
                ways.extend(p.bypass.map(|line| Way { line: Some(line), out: 0.0, back: None, open: true }));
                ways
            })
            .collect();
        let answer: Vec<Answer> = ways.iter().map(|w| Answer::of(w.len())).collect();
        Self {
            model,
            mode: Mode::at_rest(model),
            resting: vec![false; model.pumps.len()],
            depth: vec![0.0; n],
            read_at: vec![(f64::NAN, 0.0); n],
            reservoir_at: (f64::NAN, 0.0),
            reservoir_depth: 0.5 * model.spill_height,
            feed: vec![0.0; n],
            riser: vec![0.0; n],
            soaking: vec![0.0; n],
            surplus: vec![0.0; n],
            reservoir_surplus: 0.0,
            answer_while_filling: answer.clone(),
            scrap: Vec::new(),
            ways,
            answer,
        }
    }

    /// Depths at a state; a search begins where the last surface's tangent points.
    pub(crate) fn read_depths(&mut self, y: &[f64]) {
        let m = self.model;
        let v = y[Layout::RESERVOIR];
        let ahead = |(at, area): (f64, f64)| if area > 0.0 { (v - at) / area } else { 0.0 };
        if v <= 0.0 {
            self.reservoir_depth = 0.0;
        } else if v != self.reservoir_at.0 {
            let guess = self.reservoir_depth + ahead(self.reservoir_at);
            let mut area = 0.0;
            self.reservoir_depth = root::increasing(0.0, 2.0 * m.spill_height + 1.0, guess, DEPTH_STEP, |d| {
                area = m.reservoir.area(d);
                (m.reservoir.volume(d) - v, area)
            });
            self.reservoir_at = (v, area);
        }
        for p in 0..m.pumps.len() {
            if self.resting[p] {
                continue;
            }
            for &i in &m.pumps[p].trays {
                let v = y[m.layout.tray(i)];
                let (at, area) = self.read_at[i];
                if v != at {
                    let guess = if area > 0.0 { self.depth[i] + (v - at) / area } else { self.depth[i] };
                    let (depth, area) = m.trays[i].store.depth_and_area(v, guess);
                    (self.depth[i], self.read_at[i]) = (depth, (v, area));
                }
            }
        }
    }

    /// Depths and flows at a state, for the record.
    pub(crate) fn look(&mut self, y: &[f64]) {
        let mut scrap = std::mem::take(&mut self.scrap);
        scrap.resize(y.len(), 0.0);
        self.slopes(y, &mut scrap);
        self.scrap = scrap;
    }

    /// dy/dt: every flow leaves one place and enters another.
    pub(crate) fn slopes(&mut self, y: &[f64], dy: &mut [f64]) {
        dy.fill(0.0);
        self.read_depths(y);
        for p in 0..self.model.pumps.len() {
            if !self.resting[p] {
                self.feeds(p, dy);
                for &t in &self.model.pumps[p].trays {
                    self.outlets(t, y, dy);
                }
            }
        }
        self.top_up(dy);
        self.spills(dy);
    }

    /// Wakes every pump's group; see [`Self::rest`].
    pub(crate) fn wake(&mut self) {
        self.resting.fill(false);
    }

    /// Lets the groups rest with which nothing can happen before a pump is switched, by their slopes
    /// now; true where one more does.
    pub(crate) fn rest(&mut self, dy: &[f64]) -> bool {
        let mut more = false;
        for p in 0..self.resting.len() {
            if !self.resting[p] && self.may_rest(p, dy) {
                (self.resting[p], more) = (true, true);
            }
        }
        more
    }

    /// Pumps whose groups do not rest.
    pub(crate) fn awake(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.resting.len()).filter(|p| !self.resting[*p])
    }

    pub(crate) fn rests(&self, pump: usize) -> bool {
        self.resting[pump]
    }

    /// What the emptiest store that moves holds \[m³\].
    pub(crate) fn least_store(&self, y: &[f64]) -> f64 {
        let stores = self.awake().flat_map(|p| &y[self.model.layout.stores(p)]);
        stores.copied().fold(y[Layout::RESERVOIR], f64::min)
    }

    /// The parts of the state that move.
    pub(crate) fn moving(&self) -> Vec<Range<usize>> {
        std::iter::once(Layout::SHARED).chain(self.awake().map(|p| self.model.layout.group(p))).collect()
    }

    /// Nothing in the group moves, and neither the reservoir nor another tray can move it.
    fn may_rest(&self, p: usize, dy: &[f64]) -> bool {
        let m = self.model;
        let pump = &m.pumps[p];
        let highest_water = m.reservoir_floor + m.spill_height;
        let dry = match self.mode.hose[p] {
            Hose::Filling => true,
            Hose::Emptying => false,
            Hose::Full => {
                pump.bypass.is_none()
                    && pump.trays.iter().all(|&t| {
                        let out_of_reach = m.trays[t].floor + m.trays[t].outlet > highest_water;
                        !self.mode.way_open[t] || (self.mode.air[t] && out_of_reach)
                    })
            }
        };
        let alone = |t: usize| !self.mode.at_rim[t] && m.trays.iter().all(|above| above.drains_into != Some(t));
        dry && !self.mode.pump_on[p]
            && dy[m.layout.group(p)].iter().all(|d| *d == 0.0)
            && pump.trays.iter().all(|&t| alone(t))
    }

    /// Trays of the groups that do not rest.
    pub(crate) fn moving_trays(&self) -> impl Iterator<Item = usize> + '_ {
        self.awake().flat_map(|p| self.model.pumps[p].trays.iter().copied())
    }

    fn feeds(&mut self, p: usize, dy: &mut [f64]) {
        let m = self.model;
        let pump = &m.pumps[p];
        let l = &self.model.layout;
        let level = m.reservoir_floor + self.reservoir_depth;
        let running = self.mode.running(p);
        let filling = self.mode.hose[p] == Hose::Filling;
        for (k, &t) in pump.trays.iter().enumerate() {
            let tray = &m.trays[t];
            let surface = tray.floor + self.depth[t];
            let way = &mut self.ways[p][k];
            way.open = self.mode.way_open[t];
            way.out = surface.max(tray.floor + if running { tray.outlet } else { tray.broken_at });
            let wet = !self.mode.air[t] && self.depth[t] > tray.back_depth;
            way.back = wet.then_some(surface);
            if m.feed_off {
                (way.out, way.back) = (tray.floor + tray.outlet, None);
            }
            if filling {
                (way.out, way.back) = (way.out.max(pump.high_point), None);
            }
            self.feed[t] = 0.0;
        }
        if pump.bypass.is_some()
            && let Some(way) = self.ways[p].last_mut()
        {
            (way.out, way.back) = (level, Some(level));
        }
        match self.mode.hose[p] {
            Hose::Filling if !running => {}
            Hose::Filling => {
                let answer = &mut self.answer_while_filling[p];
                let total = solve(&pump.source, true, level, &self.ways[p], answer);
                let beside = pump.bypass.and_then(|_| answer.ways.last()).map_or(0.0, |w| w.flow);
                let into = (total - beside).max(0.0);
                dy[l.hose(p)] += into;
                dy[Layout::RESERVOIR] -= into;
            }
            Hose::Emptying => {
                let lowest = pump.trays.iter().map(|&t| m.trays[t].floor).fold(f64::MAX, f64::min);
                let q = pump.source.reverse.flow_at((lowest - level).max(0.05), 0.0);
                dy[l.hose(p)] -= q;
                dy[Layout::RESERVOIR] += q;
            }
            Hose::Full => {
                let drawn = solve(&pump.source, running, level, &self.ways[p], &mut self.answer[p]);
                let share = if running { 1.0 } else { self.siphoned(p, drawn) };
                for (k, &t) in pump.trays.iter().enumerate() {
                    let q = self.answer[p].ways[k].flow;
                    self.deliver(t, if q > 0.0 { share * q } else { self.over_lip(t, q) }, dy);
                }
            }
        }
    }

    /// Share of what would run forward through a stopped pump's hoses that does: no more than comes
    /// over the lips of other trays and, until its inlet falls dry, out of the reservoir.
    fn siphoned(&self, p: usize, drawn: f64) -> f64 {
        let reach = ((self.reservoir_depth - self.model.pumps[p].inlet) / FILM).clamp(0.0, 1.0);
        let flows = self.model.pumps[p].trays.iter().zip(&self.answer[p].ways);
        let (mut forward, mut comes) = (0.0, reach * drawn.max(0.0));
        for (&t, Last { flow: q, .. }) in flows {
            let q = *q;
            if q > 0.0 { forward += q } else { comes -= self.over_lip(t, q) }
        }
        if forward > 0.0 { (comes / forward).min(1.0) } else { 1.0 }
    }

    /// A flow back out of a tray (negative), as far as its fitting's lip lets it.
    fn over_lip(&self, t: usize, flow: f64) -> f64 {
        let (m, tray) = (self.model, &self.model.trays[t]);
        if flow < 0.0 && m.lip_control {
            -(-flow).min(outlet::over_lip(m.weir, tray.lip_bore, self.depth[t] - tray.back_depth))
        } else {
            flow
        }
    }

    /// Moves one feed's water between reservoir and tray.
    fn deliver(&mut self, t: usize, q: f64, dy: &mut [f64]) {
        let m = self.model;
        let l = &self.model.layout;
        self.feed[t] = q;
        dy[Layout::RESERVOIR] -= q;
        if q < 0.0 {
            dy[l.tray(t)] += q;
            dy[l.meter(t, Meter::Back)] -= q;
        } else if m.feed_off {
            dy[Layout::FLOOR] += q;
        } else {
            dy[l.tray(t)] += q;
            dy[l.meter(t, Meter::Fed)] += q;
        }
    }

    fn outlets(&mut self, t: usize, y: &[f64], dy: &mut [f64]) {
        let m = self.model;
        let tray = &m.trays[t];
        let l = &self.model.layout;
        let depth = self.depth[t];
        let over = tray.riser.map_or(0.0, |r| r.flow(depth));
        self.riser[t] = over;
        let out = over + outlet::weep(tray.weep_area, depth);
        dy[l.tray(t)] -= out;
        dy[l.meter(t, Meter::OverRiser)] += over;
        match (m.return_off, tray.drains_into) {
            (true, _) => dy[Layout::FLOOR] += out,
            (false, Some(below)) => dy[l.tray(below)] += out,
            (false, None) => dy[Layout::RESERVOIR] += out,
        }
        if let Some(media) = &tray.media {
            let q = media.uptake(y[l.media(t)], depth);
            let q = if q.abs() < SEEPAGE { 0.0 } else { q };
            dy[l.media(t)] += q;
            dy[l.tray(t)] -= q;
        }
        if self.soaking[t] != 0.0 {
            let base = tray.block_base.unwrap_or(0.0);
            // Columns take what the last step foresaw, as long as there is water to take.
            let q = self.soaking[t] * if self.soaking[t] > 0.0 { ((depth - base) / FILM).clamp(0.0, 1.0) } else { 1.0 };
            dy[l.media(t)] += q;
            dy[l.tray(t)] -= q;
        }
    }

    fn top_up(&mut self, dy: &mut [f64]) {
        if let Some(f) = &self.model.float
            && self.mode.float_open
            && !self.mode.supply_ended
        {
            dy[Layout::RESERVOIR] += f.flow;
            dy[Layout::SUPPLY] -= f.flow;
        }
    }

    /// A vessel at its rim keeps its level; what it cannot keep goes to the floor.
    fn spills(&mut self, dy: &mut [f64]) {
        let l = &self.model.layout;
        for t in 0..self.depth.len() {
            if self.mode.at_rim[t] {
                let surplus = dy[l.tray(t)];
                self.surplus[t] = surplus;
                if surplus > 0.0 {
                    dy[l.tray(t)] = 0.0;
                    dy[Layout::FLOOR] += surplus;
                    dy[l.meter(t, Meter::Spilled)] += surplus;
                }
            }
        }
        if self.mode.reservoir_full {
            let surplus = dy[Layout::RESERVOIR];
            self.reservoir_surplus = surplus;
            if surplus > 0.0 {
                dy[Layout::RESERVOIR] = 0.0;
                dy[Layout::FLOOR] += surplus;
                dy[Layout::RESERVOIR_SPILL] += surplus;
            }
        }
    }
}
