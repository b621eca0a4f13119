use crate::value::Value;
use tidewright_physics::quantity::{ElectricCurrent, ElectricPotential, Energy, Length};

/// How the bench gets its electricity.
#[derive(Clone, Debug, PartialEq)]
pub struct Mains {
    /// Whether the file has a section on it.
    pub stated: bool,
    /// Of the socket.
    pub voltage: Value<ElectricPotential>,
    /// What the circuit's breaker carries.
    pub circuit: Value<ElectricCurrent>,
    /// What else hangs on that circuit.
    pub others: Value<ElectricCurrent>,
    /// Residual-current device (GFCI, RCD) before all sockets of the bench.
    pub residual_current: Option<Value<bool>>,
    /// What the timer's contacts carry of a motor or lamp.
    pub timer_rating: Value<ElectricCurrent>,
    /// Whether a contactor switches the lamps, and the timer only its coil.
    pub contactor: Value<bool>,
    /// Inrush of a lamp's driver over its running current \[-\].
    pub lamp_inrush: Value<f64>,
    /// Sockets above the floor of the room.
    pub outlet_height: Value<Length>,
    /// Drip loops in all cords.
    pub drip_loops: Option<Value<bool>>,
    /// Battery behind the air pump.
    pub battery: Option<Value<Energy>>,
    /// Share of the battery's energy that arrives at the air pump \[-\].
    pub battery_share: Value<f64>,
}
