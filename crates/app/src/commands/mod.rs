//! One file a command.

pub(crate) mod acid;
pub(crate) mod bench;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod draw;
pub(crate) mod drift;
pub(crate) mod evidence;
pub(crate) mod explain;
pub(crate) mod flood;
pub(crate) mod man;
pub(crate) mod medium;
pub(crate) mod mix;
pub(crate) mod new;
pub(crate) mod open;
pub(crate) mod parts;
pub(crate) mod program;
pub(crate) mod roots;
pub(crate) mod salt;
pub(crate) mod season;
pub(crate) mod spills;
pub(crate) mod water;
pub(crate) mod working;
