use super::feed::Feed;
use crate::value::{Birth, Spread, Value};
use tidewright_physics::hydraulics::pump::Curve;
use tidewright_physics::quantity::{Frequency, Length, Power, Time, Volume, VolumeRate};

/// A submersible pump and the hose on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pump {
    /// What it is called in this bench.
    pub name: String,
    /// Head against flow as printed, drawn or measured, at the rated frequency.
    pub curve: Value<Curve>,
    /// Share of the printed flow that a new one gives.
    pub as_sold: Value<Spread>,
    /// Share of the printed flow that a worn or clogged one gives.
    pub worn: Value<f64>,
    /// Electrical power.
    pub power: Value<Power>,
    /// Height of inlet or cage above the reservoir floor.
    pub inlet_height: Value<Length>,
    /// Water depth at which it draws air.
    pub prime_depth: Value<Length>,
    /// Frequency that its print is for.
    pub rated_frequency: Value<Frequency>,
    /// Whether water cannot run back through it.
    pub check_valve: Value<bool>,
    /// Loss coefficient of a throttled valve at its outlet, on the hose bore.
    pub throttle: Value<f64>,
    /// A tee that lets part of the flow back into the reservoir.
    pub bypass: Option<Bypass>,
    /// Loss coefficient of the stopped pump for water running back, on the hose bore.
    pub reverse_loss: Value<Spread>,
    /// The hose from it to the tray or to the manifold.
    pub feed: Feed,
    /// Bucket tests made on it, at their lifts.
    pub buckets: Vec<Bucket>,
}

/// One bucket test: this volume in this time at this lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bucket {
    /// Volume caught.
    pub volume: Volume,
    /// Time it took.
    pub time: Time,
    /// Height of the hose's end above the water in the reservoir.
    pub lift: Length,
}

impl Bucket {
    /// Mean flow.
    pub fn flow(&self) -> VolumeRate {
        self.volume / self.time
    }
}

/// A tee near the pump with a short hose back into the reservoir.
#[derive(Clone, Debug, PartialEq)]
pub struct Bypass {
    /// Bore.
    pub bore: Value<Length>,
    /// Length.
    pub length: Value<Length>,
    /// Loss coefficient of tee, valve and exit on that bore.
    pub loss: Value<f64>,
}

impl Pump {
    /// Factors on flow and head of the mains against the rated frequency.
    pub fn speed_factors(&self, mains: Frequency) -> (f64, f64) {
        // What was measured on the spot was measured at the mains that are there.
        if matches!(self.curve.birth, Birth::Measured { .. }) {
            return (1.0, 1.0);
        }
        tidewright_physics::hydraulics::pump::affinity((mains / self.rated_frequency.get()).value)
    }
}
