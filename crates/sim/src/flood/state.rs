//! The state of a run: one vector of volumes, and the modes that switch.

use super::model::Model;
use crate::ledger::Places;

/// Where each volume stands in the state vector \[m³\].
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layout {
    pumps: usize,
    trays: usize,
}

/// Running totals of one tray, behind the volumes.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Meter {
    Fed,
    Back,
    OverRiser,
    Spilled,
}

impl Layout {
    pub(crate) const RESERVOIR: usize = 0;
    pub(crate) const FLOOR: usize = 1;
    /// Left behind the float valve, counted from nil.
    pub(crate) const SUPPLY: usize = 2;
    const FIXED: usize = 3;

    pub(crate) fn of(model: &Model) -> Self {
        Self { pumps: model.pumps.len(), trays: model.trays.len() }
    }

    pub(crate) fn hose(self, pump: usize) -> usize {
        Self::FIXED + pump
    }

    pub(crate) fn tray(self, tray: usize) -> usize {
        Self::FIXED + self.pumps + tray
    }

    pub(crate) fn media(self, tray: usize) -> usize {
        Self::FIXED + self.pumps + self.trays + tray
    }

    /// Length of the part that holds water.
    pub(crate) fn volumes(self) -> usize {
        Self::FIXED + self.pumps + 2 * self.trays
    }

    pub(crate) fn meter(self, tray: usize, meter: Meter) -> usize {
        self.volumes() + 4 * tray + meter as usize
    }

    pub(crate) fn reservoir_spill(self) -> usize {
        self.volumes() + 4 * self.trays
    }

    pub(crate) fn len(self) -> usize {
        self.reservoir_spill() + 1
    }

    pub(crate) fn initial(self, model: &Model) -> Vec<f64> {
        let mut y = vec![0.0; self.len()];
        y[Self::RESERVOIR] = model.reservoir_volume;
        for (i, t) in model.trays.iter().enumerate() {
            y[self.media(i)] = t.media_at_start;
        }
        y
    }

    /// Absolute tolerances: a litre's worth of the relative one, so that a tray's last film is not
    /// chased further; running totals are held a hundred times looser.
    pub(crate) fn tolerances(self, rtol: f64) -> Vec<f64> {
        let mut a = vec![rtol * 0.1; self.len()];
        a[..self.volumes()].fill(rtol * 1e-3);
        // What lies on the floor or came from outside follows from the rest.
        a[Self::FLOOR] = f64::INFINITY;
        a[Self::SUPPLY] = f64::INFINITY;
        a
    }

    pub(crate) fn total(self, y: &[f64]) -> f64 {
        y[..self.volumes()].iter().sum()
    }

    /// How far the emptiest store lies below nil \[m³\]; the supply is counted from nil and may.
    pub(crate) fn deepest_debt(self, y: &[f64]) -> f64 {
        // What lies on the floor follows from the rest, without a tolerance of its own.
        let stores = y[..self.volumes()].iter().enumerate().filter(|(i, _)| *i != Self::SUPPLY && *i != Self::FLOOR);
        stores.map(|(_, v)| -v).fold(0.0, f64::max)
    }

    pub(crate) fn places(self, y: &[f64]) -> Places {
        Places {
            reservoir_m3: y[Self::RESERVOIR],
            trays_m3: (0..self.trays).map(|i| y[self.tray(i)]).collect(),
            media_m3: (0..self.trays).map(|i| y[self.media(i)]).collect(),
            hoses_m3: (0..self.pumps).map(|i| y[self.hose(i)]).collect(),
            floor_m3: y[Self::FLOOR],
            supply_m3: y[Self::SUPPLY],
        }
    }
}

/// What a pump's hose does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hose {
    /// Takes the pump's water until it is full.
    Filling,
    /// Full: what enters leaves.
    Full,
    /// Air has come in at the tray: it runs empty.
    Emptying,
}

/// Everything that switches.
#[derive(Clone, Debug)]
pub(crate) struct Mode {
    pub(crate) pump_on: Vec<bool>,
    pub(crate) primed: Vec<bool>,
    pub(crate) hose: Vec<Hose>,
    pub(crate) way_open: Vec<bool>,
    /// Air stands in the tray's fitting: nothing runs back.
    pub(crate) air: Vec<bool>,
    /// The tray stands at its rim and spills what it cannot keep.
    pub(crate) at_rim: Vec<bool>,
    pub(crate) reservoir_full: bool,
    pub(crate) float_open: bool,
    pub(crate) supply_ended: bool,
}

impl Mode {
    pub(crate) fn at_rest(model: &Model) -> Self {
        let (p, t) = (model.pumps.len(), model.trays.len());
        Self {
            pump_on: vec![false; p],
            primed: vec![true; p],
            hose: model.pumps.iter().map(|p| if p.hose_volume > 0.0 { Hose::Filling } else { Hose::Full }).collect(),
            way_open: vec![true; t],
            air: vec![true; t],
            at_rim: vec![false; t],
            reservoir_full: false,
            float_open: false,
            supply_ended: false,
        }
    }

    pub(crate) fn running(&self, pump: usize) -> bool {
        self.pump_on[pump] && self.primed[pump]
    }
}
