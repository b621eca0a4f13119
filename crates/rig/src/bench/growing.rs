use crate::value::Value;
use serde::Serialize;
use tidewright_physics::quantity::{MolarFlux, ThermodynamicTemperature, Time, VolumeRate};

/// What grows on the bench, and the room and light it grows in.
#[derive(Clone, Debug, PartialEq)]
pub struct Growing {
    /// How far the crop is.
    pub stage: Value<Stage>,
    /// Leaf area over floor area \[-\].
    pub leaf_area: Value<f64>,
    /// Share of the tray that leaves cover \[-\].
    pub cover: Value<f64>,
    /// Plants on each stack of blocks.
    pub plants: Value<f64>,
    /// What one plant drinks, over the whole day, where it was measured.
    pub drinks: Option<Value<VolumeRate>>,
    /// Air while the light is on.
    pub day: Value<ThermodynamicTemperature>,
    /// Air while it is off.
    pub night: Value<ThermodynamicTemperature>,
    /// Relative humidity while the light is on \[-\].
    pub humidity_day: Value<f64>,
    /// Relative humidity while it is off \[-\].
    pub humidity_night: Value<f64>,
    /// Photons of 400–700 nm on the leaves.
    pub photons: Value<MolarFlux>,
    /// When the light goes on \[s after midnight\].
    pub on: Value<f64>,
    /// How long it stays on.
    pub lit: Value<Time>,
}

impl Growing {
    /// Whether the light is on at a time of day \[s after midnight\].
    pub fn is_lit(&self, t_s: f64) -> bool {
        (t_s - self.on.get()).rem_euclid(86_400.0) < self.lit.get().value
    }
}

/// How far a crop is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Roots have not left the plug.
    Rooting,
    /// Small plants between bare medium.
    Young,
    /// Leaves begin to meet.
    Growing,
    /// Full canopy.
    Full,
}

impl Stage {
    /// Leaf area over floor area and share of the floor covered \[-\]: our own four steps of a leafy crop, common practice.
    pub fn leaves(self) -> (f64, f64) {
        match self {
            Self::Rooting => (0.05, 0.05),
            Self::Young => (0.5, 0.3),
            Self::Growing => (1.5, 0.7),
            Self::Full => (3.0, 0.95),
        }
    }
}
