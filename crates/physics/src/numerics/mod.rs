//! The numerical methods that the equations need: roots, interpolation, integration in time.

pub mod ode;
pub mod pchip;
pub mod root;
