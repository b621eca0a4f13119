//! Equations of the bench and nothing else: no file, no clock, no bench.
//!
//! Every public equation states its formula, its symbols with `[unit]`, where it holds, and the
//! publication it comes from. Signatures speak in [`quantity`] types; bodies read like the
//! textbook, in SI base units. The symbols are those of `docs/symbols.md`.

pub mod aeration;
pub mod air;
pub mod chemistry;
pub mod geometry;
pub mod heat;
pub mod hydraulics;
pub mod light;
pub mod media;
pub mod numerics;
pub mod oxygen;
pub mod packing;
pub mod quantity;
pub mod structure;
pub mod transpiration;
pub mod water;

/// Standard gravity g \[m/s²\]. Source: CGPM 1901, resolution 2 (exact by convention).
pub const GRAVITY_M_S2: f64 = 9.806_65;
