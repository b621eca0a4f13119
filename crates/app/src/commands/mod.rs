//! One file a command.

pub(crate) mod bench;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod draw;
pub(crate) mod evidence;
pub(crate) mod explain;
pub(crate) mod flood;
pub(crate) mod man;
pub(crate) mod medium;
pub(crate) mod new;
pub(crate) mod open;
pub(crate) mod parts;
pub(crate) mod program;
pub(crate) mod roots;
pub(crate) mod season;
pub(crate) mod spills;
pub(crate) mod working;
