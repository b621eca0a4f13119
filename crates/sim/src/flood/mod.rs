//! Flood and drain: modes and events, cut out of a continuous flow of water.
//!
//! `model` turns a rig and a scenario into numbers, `state` says what they are, `network` and
//! `outlet` give the flows at one moment, `soak` what media take and give, `watch` which levels are
//! looked for, `drive` goes through time.

mod drive;
mod flows;
mod model;
mod network;
mod outlet;
mod program;
mod record;
mod soak;
mod state;
mod store;
mod watch;

use crate::run::Run;
use crate::scenario::Scenario;
use tidewright_rig::Rig;

pub(crate) fn simulate(rig: &Rig, scenario: &Scenario) -> Run {
    let model = model::Model::of(rig, scenario);
    drive::go(&model, scenario)
}
