//! Levels that are looked for, and what their crossing switches.

use super::model::Model;
use super::state::Layout;
use crate::run::EventKind;

/// Below this a crossing is not told from rounding \[m³\].
const RESOLUTION: f64 = 1e-11;
/// A hose with less than this counts as empty \[m³\].
pub(crate) const HOSE_EMPTY: f64 = 1e-9;
/// A floor counts as wet under this much water \[m\].
const WET: f64 = 0.0005;

/// What a crossing means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// Only told.
    Tell(EventKind),
    /// The tray reached its rim.
    Rim,
    /// The tray fell to its puddle: air enters its fitting.
    Puddle,
    /// Water stands over the fitting again.
    Covered,
    /// A pump draws air.
    PrimeLost,
    /// It has water again.
    PrimeRegained,
    /// The reservoir reached its lowest hole.
    ReservoirFull,
    FloatOpens,
    FloatShuts,
    SupplyEnds,
    HoseFull,
    HoseEmpty,
}

/// One level in one component of the state.
#[derive(Clone, Debug)]
pub(crate) struct Watch {
    pub(crate) component: usize,
    pub(crate) level: f64,
    /// Depth at the level \[m\], where its crossing is only told and no flow bends: it need not end a step.
    pub(crate) smooth_at: Option<f64>,
    pub(crate) rising: Option<Meaning>,
    pub(crate) falling: Option<Meaning>,
    /// Tray or pump.
    pub(crate) index: usize,
    /// The pump while whose group rests nobody need look; none where always.
    pub(crate) pump: Option<usize>,
    above: bool,
}

impl Watch {
    fn new(component: usize, level: f64, rising: Option<Meaning>, falling: Option<Meaning>, index: usize) -> Self {
        Self { component, level, smooth_at: None, rising, falling, index, pump: None, above: false }
    }

    /// Takes the present side as known.
    pub(crate) fn settle(&mut self, y: &[f64]) {
        self.above = y[self.component] >= self.level;
    }

    /// Takes the present side as known; a point on the level counts as below it.
    pub(crate) fn settle_low(&mut self, y: &[f64]) {
        self.above = y[self.component] > self.level + RESOLUTION;
    }

    /// Counts the present point, which is on the level, as below it.
    pub(crate) fn rest_below(&mut self) {
        self.above = false;
    }

    /// The side that is known.
    pub(crate) fn is_above(&self) -> bool {
        self.above
    }

    /// Whether the value has gone to the other side.
    pub(crate) fn crossed(&self, value: f64) -> bool {
        if self.above { value < self.level - RESOLUTION } else { value > self.level + RESOLUTION }
    }

    /// Whether a value lies on the other side, by however little.
    pub(crate) fn is_beyond(&self, value: f64) -> bool {
        if self.above { value < self.level } else { value > self.level }
    }

    /// Notes the crossing and says what it means.
    pub(crate) fn cross(&mut self) -> Option<Meaning> {
        self.above = !self.above;
        if self.above { self.rising } else { self.falling }
    }
}

/// All levels of a bench.
pub(crate) fn all(model: &Model) -> Vec<Watch> {
    use EventKind as E;
    use Meaning::Tell;
    let l = &model.layout;
    let mut w = Vec::new();
    for (i, t) in model.trays.iter().enumerate() {
        let before = w.len();
        let c = l.tray(i);
        let at = |depth: f64| t.store.volume(depth);
        let mut tell = |depth: f64, rising: Option<E>, falling: Option<E>| {
            w.push(Watch::new(c, at(depth), rising.map(Tell), falling.map(Tell), i));
        };
        // Crest and block ends bend the flows; a mark that is only a mark does not.
        let smooth = |depth: f64, rising: Option<E>, falling: Option<E>| Watch {
            smooth_at: Some(depth),
            ..Watch::new(c, at(depth), rising.map(Tell), falling.map(Tell), i)
        };
        if let Some(r) = &t.riser {
            tell(r.crest, Some(E::CrestWet), Some(E::CrestDry));
            tell(r.crest + r.drowning_head(), Some(E::RiserDrowned), None);
        }
        if let Some(top) = t.block_top.filter(|top| *top < t.rim) {
            tell(top, Some(E::BlockTopWet), None);
        }
        let base_at_floor = t.block_base.is_some_and(|b| b < WET);
        if let Some(base) = t.block_base.filter(|_| !base_at_floor) {
            tell(base.max(WET), Some(E::BlockBaseWet), None);
        }
        w.push(smooth(WET, Some(E::FloorWet), None));
        if base_at_floor {
            w.push(smooth(WET, Some(E::BlockBaseWet), None));
        }
        w.push(smooth(t.drained_mark, None, Some(E::Drained)));
        w.push(Watch::new(c, at(t.rim), Some(Meaning::Rim), None, i));
        w.push(Watch::new(c, at(t.back_depth + 0.0002), None, Some(Meaning::Puddle), i));
        w.push(Watch::new(c, at(t.back_depth + 0.001), Some(Meaning::Covered), None, i));
        w[before..].iter_mut().for_each(|w: &mut Watch| w.pump = Some(t.pump));
    }
    let res = |depth: f64| model.reservoir.volume(depth.max(0.0));
    for (i, p) in model.pumps.iter().enumerate() {
        let before = w.len();
        w.push(Watch::new(Layout::RESERVOIR, res(p.prime_depth), None, Some(Meaning::PrimeLost), i));
        if let Some(d) = p.regain_depth {
            w.push(Watch::new(Layout::RESERVOIR, res(d), Some(Meaning::PrimeRegained), None, i));
        }
        if p.hose_volume > 0.0 {
            w.push(Watch::new(l.hose(i), p.hose_volume, Some(Meaning::HoseFull), None, i));
            w.push(Watch::new(l.hose(i), HOSE_EMPTY, None, Some(Meaning::HoseEmpty), i));
        }
        w[before..].iter_mut().for_each(|w| w.pump = Some(i));
    }
    w.push(Watch::new(Layout::RESERVOIR, res(model.spill_height), Some(Meaning::ReservoirFull), None, 0));
    if let Some(f) = &model.float {
        w.push(Watch::new(Layout::RESERVOIR, res(f.opens), None, Some(Meaning::FloatOpens), 0));
        w.push(Watch::new(Layout::RESERVOIR, res(f.shuts), Some(Meaning::FloatShuts), None, 0));
        if f.tank.is_finite() {
            w.push(Watch::new(Layout::SUPPLY, -f.tank, None, Some(Meaning::SupplyEnds), 0));
        }
    }
    w
}
