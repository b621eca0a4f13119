//! What a person needs to build, commission and run a bench, worked out of its file: the order of work, the cuts, the card of the
//! first day, what the same times mean later, turning over between crops, what to do when power fails.

pub mod commission;
pub mod cuts;
pub mod gauge;
pub mod tasks;
pub mod turnover;
pub mod work;

pub use commission::{CardRow, Trial, card, trials};
pub use cuts::{CutGroup, cuts};
pub use gauge::{GaugeRow, gauge};
pub use tasks::{Tasks, tasks};
pub use turnover::{Turnover, turnover};
pub use work::{Step, steps};
