use crate::value::{Spread, Value};
use tidewright_physics::aeration::Curve;
use tidewright_physics::oxygen::transfer::Fitted;
use tidewright_physics::quantity::{Length, Power, Pressure, ThermodynamicTemperature, Time, Volume};

/// Air blown into the reservoir.
#[derive(Clone, Debug, PartialEq)]
pub struct Aeration {
    /// The air pump.
    pub pump: AirPump,
    /// Ports of the manifold with what hangs on them; at least one.
    pub stones: Vec<Stone>,
    /// How long a day it blows.
    pub a_day: Value<Time>,
    /// What a test in clean water gave.
    pub test: Option<CleanWaterTest>,
}

/// An air pump with what stands between it and its manifold.
#[derive(Clone, Debug, PartialEq)]
pub struct AirPump {
    /// Pressure over flow as printed or measured.
    pub curve: Value<Curve>,
    /// Share of the printed flow that it gives \[-\].
    pub as_sold: Value<Spread>,
    /// Electric power.
    pub power: Value<Power>,
    /// Height above the floor of the room.
    pub height: Value<Length>,
    /// Highest point of its line above the floor of the room, where a loop is laid.
    pub high_point: Option<Value<Length>>,
    /// Check valve in its line.
    pub check_valve: Value<bool>,
    /// Pressure that opens the valve.
    pub valve_opening: Value<Pressure>,
}

/// A stone at the end of its line.
#[derive(Clone, Debug, PartialEq)]
pub struct Stone {
    /// What it is called.
    pub name: String,
    /// Whether its port is open.
    pub open: Value<bool>,
    /// Height above the floor of the reservoir.
    pub height: Value<Length>,
    /// Pressure that opens its wet pores.
    pub opening: Value<Pressure>,
    /// Diameter of its bubbles.
    pub bubble: Value<Length>,
    /// True bore of its line.
    pub bore: Value<Length>,
    /// Length of its line.
    pub length: Value<Length>,
}

/// Oxygen over time after stripping, in clean water, with this pump and these stones.
#[derive(Clone, Debug, PartialEq)]
pub struct CleanWaterTest {
    /// What the readings gave.
    pub fitted: Fitted,
    /// Water in the test.
    pub volume: Value<Volume>,
    /// Its temperature.
    pub temperature: Value<ThermodynamicTemperature>,
    /// Line in the file.
    pub line: usize,
}
