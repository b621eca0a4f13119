//! Water in pipes, pumps and risers. One file an element.

pub mod fittings;
pub mod friction;
pub mod line;
pub mod outflow;
pub mod pump;
pub mod riser;
