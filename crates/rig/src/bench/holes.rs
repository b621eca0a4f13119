use crate::value::Value;
use tidewright_physics::quantity::Length;

/// What is cut into a tray, and what stands in the way of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Holes {
    /// Hole of the flood fitting.
    pub feed: Value<Length>,
    /// Hole of the drain fitting.
    pub drain: Value<Length>,
    /// Flange of either fitting: the flat that it needs.
    pub flange: Value<Length>,
    /// Room that fitting and elbow take below the tray.
    pub below: Value<Length>,
    /// Radius between wall and floor, where nothing seals.
    pub wall_radius: Value<Length>,
    /// Ribs of the mould across the length: places from the left edge of the floor.
    pub ribs: Vec<f64>,
}
