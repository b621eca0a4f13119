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

pub(crate) use model::store;

use crate::run::Run;
use crate::scenario::Scenario;
use crate::stack::Stack;
use tidewright_rig::Rig;

pub(crate) fn simulate(rig: &Rig, scenario: &Scenario) -> Run {
    go_on(rig, scenario, Vec::new()).0
}

/// The same with blocks as another day left them, and the blocks as this one leaves them.
pub(crate) fn go_on(rig: &Rig, scenario: &Scenario, before: Vec<Option<Stack>>) -> (Run, Vec<Option<Stack>>) {
    let mut model = model::Model::of(rig, scenario);
    for (tray, stack) in model.trays.iter_mut().zip(before) {
        if let (Some(new), Some(old)) = (&mut tray.stack, stack) {
            new.takes_over(old);
            tray.media_at_start = new.water_m3();
        }
    }
    drive::go(&model, scenario)
}
