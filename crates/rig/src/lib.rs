//! What is there; nothing moves.
//!
//! [`read()`] turns the text of a bench file into a [`Rig`]: every value with its unit, its place and
//! where it came from, and every fault of the file at once as [`Finding`]s.

pub mod bench;
pub mod calibration;
pub mod chemistry;
pub mod edit;
pub mod finding;
pub mod light;
pub mod outline;
pub mod parts;
pub mod photometry;
pub mod read;
pub mod resolved;
pub mod room;
pub mod solution;
pub mod units;
pub mod value;
pub mod weighed;

pub use bench::Rig;
pub use finding::{Finding, Severity};
pub use read::{Reading, read, read_bytes};
pub use value::{Birth, Spread, Value};
