use crate::value::Value;
use serde::Serialize;
use tidewright_physics::quantity::{Power, ThermodynamicTemperature, Velocity};

/// What warms and cools the water, besides pump, lamp and room.
#[derive(Clone, Debug, PartialEq)]
pub struct Warmth {
    /// Whether the file has a section on it.
    pub stated: bool,
    /// What stands around the reservoir.
    pub jacket: Value<Jacket>,
    /// Air over open water.
    pub draught: Value<Velocity>,
    /// Temperature that is wanted in the reservoir, where one is.
    pub hold: Option<Value<ThermodynamicTemperature>>,
    /// Heater in the reservoir.
    pub heater: Option<Value<Power>>,
    /// Heat that a chiller takes out.
    pub chiller: Option<Value<Power>>,
}

/// What stands around the reservoir.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Jacket {
    /// Bare plastic.
    None,
    /// Bubble foil or cloth.
    Foil,
    /// Foam boards of 20 mm.
    Foam,
}
