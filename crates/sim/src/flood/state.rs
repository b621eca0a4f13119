//! The state of a run: one vector of volumes, and the modes that switch.

use super::model::Model;
use crate::ledger::Places;
use std::ops::Range;

/// Where each volume stands in the state vector \[m³\].
///
/// What every pump shares comes first; then, pump by pump, its hose, its trays, their media and their
/// running totals, so that all that moves with one pump stands together and can rest together.
#[derive(Clone, Debug)]
pub(crate) struct Layout {
    hose: Vec<usize>,
    tray: Vec<usize>,
    media: Vec<usize>,
    meters: Vec<usize>,
    group: Vec<Range<usize>>,
    /// The part of each group that holds water.
    stores: Vec<Range<usize>>,
}

/// Running totals of one tray, behind the volumes.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Meter {
    Fed,
    Back,
    OverRiser,
    Spilled,
}

/// Totals kept for each tray.
const METERS: usize = 4;

impl Layout {
    pub(crate) const RESERVOIR: usize = 0;
    pub(crate) const FLOOR: usize = 1;
    /// Left behind the float valve, counted from nil.
    pub(crate) const SUPPLY: usize = 2;
    /// Drunk and evaporated.
    pub(crate) const AIR: usize = 3;
    /// Running total of what went over the reservoir's lowest hole.
    pub(crate) const RESERVOIR_SPILL: usize = 4;
    /// What every pump shares and holds water.
    pub(crate) const SHARED_WATER: Range<usize> = 0..4;
    /// What every pump shares.
    pub(crate) const SHARED: Range<usize> = 0..5;

    /// `trays_of` names the trays of each pump.
    pub(crate) fn of(trays_of: &[Vec<usize>]) -> Self {
        let n = trays_of.iter().map(Vec::len).sum();
        let (mut tray, mut media, mut meters) = (vec![0; n], vec![0; n], vec![0; n]);
        let (mut hose, mut group) = (Vec::new(), Vec::new());
        let mut stores = Vec::new();
        let mut next = Self::SHARED.end;
        for mine in trays_of {
            let from = next;
            hose.push(next);
            next += 1;
            for place in [&mut tray, &mut media] {
                for &t in mine {
                    place[t] = next;
                    next += 1;
                }
            }
            stores.push(from..next);
            for &t in mine {
                meters[t] = next;
                next += METERS;
            }
            group.push(from..next);
        }
        Self { hose, tray, media, meters, group, stores }
    }

    pub(crate) fn hose(&self, pump: usize) -> usize {
        self.hose[pump]
    }

    pub(crate) fn tray(&self, tray: usize) -> usize {
        self.tray[tray]
    }

    pub(crate) fn media(&self, tray: usize) -> usize {
        self.media[tray]
    }

    pub(crate) fn meter(&self, tray: usize, meter: Meter) -> usize {
        self.meters[tray] + meter as usize
    }

    /// All that moves with one pump.
    pub(crate) fn group(&self, pump: usize) -> Range<usize> {
        self.group[pump].clone()
    }

    pub(crate) fn len(&self) -> usize {
        self.group.last().map_or(Self::SHARED.end, |g| g.end)
    }

    /// Every running total.
    pub(crate) fn meters(&self) -> impl Iterator<Item = usize> + '_ {
        let of_trays = self.meters.iter().flat_map(|m| *m..*m + METERS);
        std::iter::once(Self::RESERVOIR_SPILL).chain(of_trays)
    }

    /// What holds water and is moved by one pump.
    pub(crate) fn stores(&self, pump: usize) -> Range<usize> {
        self.stores[pump].clone()
    }

    /// Every component that holds water.
    pub(crate) fn volumes(&self) -> impl Iterator<Item = usize> + '_ {
        Self::SHARED_WATER.chain(self.stores.iter().cloned().flatten())
    }

    pub(crate) fn initial(&self, model: &Model) -> Vec<f64> {
        let mut y = vec![0.0; self.len()];
        y[Self::RESERVOIR] = model.reservoir_volume;
        for (i, t) in model.trays.iter().enumerate() {
            y[self.media(i)] = t.media_at_start;
        }
        y
    }

    /// Absolute tolerances: a litre's worth of the relative one, so that a tray's last film is not
    /// chased further; running totals are held a hundred times looser.
    pub(crate) fn tolerances(&self, rtol: f64) -> Vec<f64> {
        let mut a = vec![rtol * 1e-3; self.len()];
        for i in self.meters() {
            a[i] = rtol * 0.1;
        }
        // What lies on the floor or came from outside follows from the rest.
        a[Self::FLOOR] = f64::INFINITY;
        a[Self::SUPPLY] = f64::INFINITY;
        a[Self::AIR] = f64::INFINITY;
        a
    }

    pub(crate) fn total(&self, y: &[f64]) -> f64 {
        self.volumes().map(|i| y[i]).sum()
    }

    pub(crate) fn places(&self, y: &[f64]) -> Places {
        Places {
            reservoir_m3: y[Self::RESERVOIR],
            trays_m3: self.tray.iter().map(|i| y[*i]).collect(),
            media_m3: self.media.iter().map(|i| y[*i]).collect(),
            hoses_m3: self.hose.iter().map(|i| y[*i]).collect(),
            floor_m3: y[Self::FLOOR],
            air_m3: y[Self::AIR],
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
