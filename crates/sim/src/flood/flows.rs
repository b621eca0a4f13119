//! Every flow at one moment: the right-hand side of the run.

use super::model::Model;
use super::network::{Way, solve};
use super::outlet;
use super::state::{Hose, Layout, Meter, Mode};
use tidewright_physics::numerics::root;

/// Water over the inlet below which less and less enters it \[m\].
const FILM: f64 = 0.002;

/// Slower than this media neither take nor give \[m³/s\]: a third of a millilitre an hour.
const SEEPAGE: f64 = 1e-10;

/// The bench in motion: its modes, and last answers as guesses for the next.
pub(crate) struct Flows<'m> {
    pub(crate) model: &'m Model,
    pub(crate) layout: Layout,
    pub(crate) mode: Mode,
    /// Depth in each tray \[m\].
    pub(crate) depth: Vec<f64>,
    /// Volume that each depth was read at \[m³\].
    read_at: Vec<f64>,
    /// Depth in the reservoir \[m\].
    pub(crate) reservoir_depth: f64,
    /// Flow from its feed into each tray \[m³/s\].
    pub(crate) feed: Vec<f64>,
    /// Flow over each riser \[m³/s\].
    pub(crate) riser: Vec<f64>,
    /// What each tray at its rim would gain \[m³/s\].
    pub(crate) surplus: Vec<f64>,
    /// What the reservoir at its lowest hole would gain \[m³/s\].
    pub(crate) reservoir_surplus: f64,
    scrap: Vec<f64>,
    ways: Vec<Vec<Way>>,
    guess: Vec<Vec<f64>>,
    guess_while_filling: Vec<Vec<f64>>,
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
        let guess: Vec<Vec<f64>> = ways.iter().map(|w| vec![0.0; w.len()]).collect();
        Self {
            model,
            layout: Layout::of(model),
            mode: Mode::at_rest(model),
            depth: vec![0.0; n],
            read_at: vec![f64::NAN; n],
            reservoir_depth: 0.5 * model.spill_height,
            feed: vec![0.0; n],
            riser: vec![0.0; n],
            surplus: vec![0.0; n],
            reservoir_surplus: 0.0,
            guess_while_filling: guess.clone(),
            scrap: Vec::new(),
            ways,
            guess,
        }
    }

    fn read_depths(&mut self, y: &[f64]) {
        let m = self.model;
        let v = y[Layout::RESERVOIR];
        self.reservoir_depth = if v <= 0.0 {
            0.0
        } else {
            root::increasing(0.0, 2.0 * m.spill_height + 1.0, self.reservoir_depth, 1e-9, |d| {
                (m.reservoir.volume(d) - v, m.reservoir.area(d))
            })
        };
        for (i, t) in m.trays.iter().enumerate() {
            let v = y[self.layout.tray(i)];
            // A tray at rest keeps its depth: a bench pays for the trays that move.
            if v != self.read_at[i] {
                self.depth[i] = t.store.depth(v, self.depth[i]);
                self.read_at[i] = v;
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
            self.feeds(p, dy);
        }
        for t in 0..self.model.trays.len() {
            self.outlets(t, y, dy);
        }
        self.top_up(dy);
        self.spills(dy);
    }

    fn feeds(&mut self, p: usize, dy: &mut [f64]) {
        let m = self.model;
        let pump = &m.pumps[p];
        let l = self.layout;
        let level = m.reservoir_floor + self.reservoir_depth;
        let running = self.mode.running(p);
        let filling = self.mode.hose[p] == Hose::Filling;
        for (k, &t) in pump.trays.iter().enumerate() {
            let tray = &m.trays[t];
            let surface = tray.floor + self.depth[t];
            let way = &mut self.ways[p][k];
            way.open = self.mode.way_open[t];
            way.out = surface.max(tray.floor + tray.outlet);
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
                let total = solve(&pump.source, true, level, &self.ways[p], &mut self.guess_while_filling[p]);
                let beside = if pump.bypass.is_some() {
                    self.guess_while_filling[p].last().copied().unwrap_or(0.0)
                } else {
                    0.0
                };
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
                let drawn = solve(&pump.source, running, level, &self.ways[p], &mut self.guess[p]);
                let share = if running { 1.0 } else { self.siphoned(p, drawn) };
                for (k, &t) in pump.trays.iter().enumerate() {
                    let q = self.guess[p][k];
                    self.deliver(t, if q > 0.0 { share * q } else { self.over_lip(t, q) }, dy);
                }
            }
        }
    }

    /// Share of what would run forward through a stopped pump's hoses that does: no more than comes
    /// over the lips of other trays and, until its inlet falls dry, out of the reservoir.
    fn siphoned(&self, p: usize, drawn: f64) -> f64 {
        let reach = ((self.reservoir_depth - self.model.pumps[p].inlet) / FILM).clamp(0.0, 1.0);
        let flows = self.model.pumps[p].trays.iter().zip(&self.guess[p]);
        let (mut forward, mut comes) = (0.0, reach * drawn.max(0.0));
        for (&t, &q) in flows {
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
        let l = self.layout;
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
        let l = self.layout;
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
        let l = self.layout;
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
                dy[l.reservoir_spill()] += surplus;
            }
        }
    }
}
