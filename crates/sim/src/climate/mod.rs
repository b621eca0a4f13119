//! A day of heat and oxygen on top of a day of water: temperature and dissolved oxygen in reservoir and trays, from midnight to
//! midnight until the day repeats itself, each with an account that closes. `docs/climate-model.md` has the equations.
//!
//! Water moves as in the [`Run`] that is given; what heat does to it (viscosity, thirst) is of a smaller order and left out.

pub mod blown;
mod exchange;
pub mod failure;
mod forcing;
mod heat;
mod oxygen;

pub use blown::{Blown, StoneOut, blown};
pub use heat::{HEATS, losses_w_k};
pub use oxygen::{OXYGENS, USUAL_CONDUCTANCE_US_CM, roots_in_tray_mg_h, roots_mg_h};

use crate::run::Run;
use crate::stack::Demand;
pub use exchange::Flows;
pub use forcing::{Piece, pieces};

use exchange::{Held, Step};
use forcing::order;
use serde::Serialize;
use tidewright_rig::Rig;

/// Where what is not known well stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Which of the three transfers of the stones.
    pub blown: usize,
    /// Share of what falling water takes by the weirs' formula that is counted \[-\]: nil where something must hold.
    pub fall: f64,
    /// Use of microbes and of roots in the reservoir, over what all roots use \[-\].
    pub others: f64,
    /// Factor on what roots use \[-\].
    pub roots: f64,
    /// Share of a still surface's uptake that a lid leaves \[-\]: no lid of a tote is tight. From memory.
    pub under_lid: f64,
}

impl End {
    /// Everything at its middle.
    pub const LIKELY: Self = Self { blown: 1, fall: 0.5, others: 0.2, roots: 1.0, under_lid: 0.5 };
    /// The end with least oxygen. Microbes 10 to 30 % of the roots for a mineral feed, roots 20 to 60 nmol/(g s): from memory.
    pub const LOW: Self = Self { blown: 0, fall: 0.0, others: 0.3, roots: 1.5, under_lid: 0.0 };
    /// The end with most.
    pub const HIGH: Self = Self { blown: 2, fall: 1.0, others: 0.1, roots: 0.5, under_lid: 1.0 };
}

/// The state at one moment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClimateMoment {
    /// After midnight \[s\].
    pub t_s: f64,
    /// Water in the reservoir \[K\].
    pub reservoir_k: f64,
    /// Water, blocks and shell of each tray \[K\].
    pub trays_k: Vec<f64>,
    /// Oxygen in the reservoir \[mg/L\].
    pub oxygen_mg_l: f64,
    /// In each tray's water; none where it has hardly any \[mg/L\].
    pub trays_mg_l: Vec<Option<f64>>,
    /// What the reservoir's water would hold \[mg/L\].
    pub saturation_mg_l: f64,
}

/// An account of heat or oxygen over the day.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Account {
    /// What each kind brought to all vessels together \[J or g\].
    pub brought: Vec<(&'static str, f64)>,
    /// Change of all that is held \[J or g\].
    pub gained: f64,
    /// What the account leaves open, over all that passed \[-\].
    pub error: f64,
}

/// A day that repeats itself.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ClimateDay {
    /// The course of the day.
    pub course: Vec<ClimateMoment>,
    /// The account of heat \[J\].
    pub heat: Account,
    /// The account of oxygen \[g\].
    pub oxygen: Account,
    /// Days until one repeated itself.
    pub days: u32,
    /// Whether it did, to a thousandth of a kelvin and of a milligram a litre.
    pub periodic: bool,
    /// Heater's and chiller's work \[J\].
    pub held_j: [f64; 2],
}

impl ClimateDay {
    /// Coldest and warmest of the reservoir \[K\].
    pub fn temperature_span(&self) -> (f64, f64) {
        span(self.course.iter().map(|m| m.reservoir_k))
    }

    /// Mean of the reservoir over the day \[K\].
    pub fn mean_k(&self) -> f64 {
        self.mean(|m| m.reservoir_k)
    }

    /// Least and most oxygen in the reservoir \[mg/L\].
    pub fn oxygen_span(&self) -> (f64, f64) {
        span(self.course.iter().map(|m| m.oxygen_mg_l))
    }

    /// Least oxygen in a tray's water \[mg/L\]; none where it never stands in it.
    pub fn least_in_tray(&self, tray: usize) -> Option<f64> {
        self.course.iter().filter_map(|m| m.trays_mg_l.get(tray).copied().flatten()).reduce(f64::min)
    }

    /// Mean of a figure over the day.
    pub fn mean(&self, f: impl Fn(&ClimateMoment) -> f64) -> f64 {
        let mut sum = (0.0, 0.0);
        for w in self.course.windows(2) {
            let dt = w[1].t_s - w[0].t_s;
            sum = (sum.0 + dt * 0.5 * (f(&w[0]) + f(&w[1])), sum.1 + dt);
        }
        if sum.1 > 0.0 { sum.0 / sum.1 } else { self.course.first().map_or(0.0, f) }
    }
}

fn span(all: impl Iterator<Item = f64>) -> (f64, f64) {
    all.fold((f64::INFINITY, f64::NEG_INFINITY), |s, x| (s.0.min(x), s.1.max(x)))
}

/// Most days until one repeats itself: a well insulated reservoir follows its room in three or four.
const MOST_DAYS: u32 = 60;
/// A day repeats itself within this \[K, mg/L\].
const SAME: f64 = 1e-3;

/// What does not change from day to day.
pub(crate) struct Ground<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) pieces: Vec<Piece>,
    pub(crate) order: Vec<usize>,
    pub(crate) into: Vec<Option<usize>>,
    pub(crate) demand: Vec<Option<Demand>>,
    pub(crate) blown: Option<Blown>,
}

impl<'a> Ground<'a> {
    /// Of a day of water that kept its course; none where it kept none.
    pub(crate) fn of(rig: &'a Rig, run: &Run) -> Option<Self> {
        let pieces = pieces(rig, run);
        if pieces.is_empty() || run.broke_off {
            return None;
        }
        let demand = |i: usize| rig.trays[i].blocks.as_ref().map(|b| Demand::of(rig, i, b, 1.0));
        Some(Self {
            rig,
            pieces,
            order: order(rig),
            into: rig.trays.iter().map(|t| t.drains_into).collect(),
            demand: (0..rig.trays.len()).map(demand).collect(),
            blown: blown(rig),
        })
    }

    pub(crate) fn step<'s, const N: usize>(
        &'s self,
        piece: &'s Piece,
        capacity: &'s [(f64, f64)],
        terms: &'s [[exchange::Term; N]],
    ) -> Step<'s, N> {
        Step { dt_s: piece.dt_s, capacity, flows: &piece.flows, into: &self.into, order: &self.order, terms }
    }
}

/// Greatest power of heating and of cooling, as hourly means, that holds the reservoir at a temperature all day \[W\]; none where
/// the run kept no course.
pub fn power_to_hold(rig: &Rig, run: &Run, wanted_k: f64) -> Option<[f64; 2]> {
    use tidewright_physics::quantity::{celsius, w};
    use tidewright_rig::Value;
    const WITHOUT_END_W: f64 = 1e5;
    let mut held = rig.clone();
    let why = "to find the power that holds it";
    held.warmth.hold = Some(Value::assumed(celsius(wanted_k - 273.15), why));
    held.warmth.heater = Some(Value::assumed(w(WITHOUT_END_W), why));
    held.warmth.chiller = Some(Value::assumed(w(WITHOUT_END_W), why));
    let ground = Ground::of(&held, run)?;
    Some(heat::day(&ground).most_w)
}

/// Heat and oxygen over a day of water that kept its course. `given_back`: oxygen in what blocks give back, over saturation \[-\].
///
/// None where the run kept no course or broke off.
pub fn day(rig: &Rig, run: &Run, end: End, given_back: f64) -> Option<ClimateDay> {
    let ground = Ground::of(rig, run)?;
    let warm = heat::day(&ground);
    Some(oxygen::day(&ground, warm, end, given_back))
}

fn account<const N: usize>(names: [&'static str; N], held: &Held<N>, before: &[f64], unit: f64) -> Account {
    let mut brought = [0.0; N];
    let mut passed = 0.0;
    for vessel in &held.brought {
        for (sum, x) in brought.iter_mut().zip(vessel) {
            *sum += x;
            passed += x.abs();
        }
    }
    let gained = held.amounts.iter().sum::<f64>() - before.iter().sum::<f64>();
    let scale = passed.max(held.amounts.iter().map(|x| x.abs()).sum::<f64>() * 1e-3).max(1e-300);
    Account {
        error: (gained - brought.iter().sum::<f64>()).abs() / scale,
        brought: names.into_iter().zip(brought.map(|x| x * unit)).collect(),
        gained: gained * unit,
    }
}
