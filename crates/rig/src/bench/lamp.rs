use crate::value::Value;
use tidewright_physics::light::web::Web;
use tidewright_physics::quantity::{Angle, Length, PhotonFlow, Power};

/// A lamp over a tray; it hangs level.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    /// What it is called.
    pub name: String,
    /// Over which tray.
    pub tray: usize,
    /// Mains power.
    pub power: Value<Power>,
    /// Photons of 400–700 nm.
    pub photons: Value<PhotonFlow>,
    /// Length and width of what shines; nil both for a point.
    pub size: (Value<Length>, Value<Length>),
    /// Its middle from the tray's middle, along and across.
    pub at: (Value<Length>, Value<Length>),
    /// Above the floor of the tray.
    pub height: Value<Length>,
    /// How it throws its light.
    pub throw: LampThrow,
}

/// How a lamp throws its light.
#[derive(Clone, Debug, PartialEq)]
pub enum LampThrow {
    /// The full angle within which intensity is above half.
    Beam(Value<Angle>),
    /// By a photometric file.
    File {
        /// Its name.
        name: String,
        /// Intensity over directions.
        web: Web,
    },
}
