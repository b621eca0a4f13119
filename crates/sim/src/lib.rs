//! The only place where time passes.
//!
//! `(&Rig, &Scenario) → Run`: water moves between vessels, hoses, blocks and the floor until the
//! scenario ends. A [`Run`] carries what happened when, and a ledger that must close.

pub mod band;
pub mod block;
pub mod climate;
pub mod draw;
pub mod drift;
mod flood;
pub mod ledger;
pub mod roots;
pub mod run;
pub mod salt;
pub mod scenario;
pub mod season;
pub mod split;
pub mod stack;

pub use draw::{Draw, Knobs};
pub use run::{Event, EventKind, FloodRecord, Run};
pub use scenario::{Faults, Program, Scenario, Start};

use tidewright_rig::Rig;

/// Simulates one scenario on one bench.
///
/// Deterministic: the same arguments give the same run on every machine and thread count.
pub fn run(rig: &Rig, scenario: &Scenario) -> Run {
    flood::simulate(rig, scenario)
}
