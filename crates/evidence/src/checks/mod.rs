//! The check functions: each reads a case's inputs and calls public functions of the other crates.
//! One file a domain, named as the module under test.

pub(crate) mod aeration;
pub(crate) mod air;
pub(crate) mod climate;
pub(crate) mod drift;
pub(crate) mod fit;
pub(crate) mod fittings;
pub(crate) mod flood;
pub(crate) mod friction;
pub(crate) mod geometry;
pub(crate) mod light;
pub(crate) mod line;
pub(crate) mod media;
pub(crate) mod mixing;
pub(crate) mod outflow;
pub(crate) mod oxygen;
pub(crate) mod pump;
pub(crate) mod riser;
pub(crate) mod roots;
pub(crate) mod solution;
pub(crate) mod structure;
pub(crate) mod trade;
pub(crate) mod water;

/// What a check gives back.
pub(crate) type Results = Result<Vec<(&'static str, f64)>, String>;

/// A length under its name with each unit that cases use.
macro_rules! lengths {
    ($name:literal, $value:expr) => {{
        let m: f64 = $value.value;
        vec![
            (concat!($name, "_mm"), m * 1e3),
            (concat!($name, "_m"), m),
            (concat!($name, "_in"), m / tidewright_physics::quantity::INCH_M),
            (concat!($name, "_ft"), m / (12.0 * tidewright_physics::quantity::INCH_M)),
        ]
    }};
}

/// A flow under its name with each unit that cases use.
macro_rules! flows {
    ($name:literal, $value:expr) => {{
        let m3_s: f64 = $value.value;
        vec![
            (concat!($name, "_l_h"), m3_s * tidewright_physics::quantity::LITRES_PER_HOUR),
            (concat!($name, "_l_s"), m3_s * 1e3),
            (concat!($name, "_us_gpm"), m3_s * 60.0 / tidewright_physics::quantity::US_GALLON_M3),
            (concat!($name, "_cfs"), m3_s / (12.0 * tidewright_physics::quantity::INCH_M).powi(3)),
        ]
    }};
}

pub(crate) use {flows, lengths};
