use crate::value::Value;
use tidewright_physics::geometry::Shape;
use tidewright_physics::quantity::{Length, Volume, VolumeRate};

/// The vessel that everything drains back into.
#[derive(Clone, Debug, PartialEq)]
pub struct Reservoir {
    /// Inside shape.
    pub shape: Shape,
    /// Water in it with the pump off and the trays empty.
    pub fill: Value<Volume>,
    /// Height above its floor of the lowest hole or of the rim, where it spills.
    pub spill_height: Value<Length>,
    /// Whether a lid covers it.
    pub lid: Value<bool>,
    /// Height of its floor above the floor of the room.
    pub elevation: Value<Length>,
    /// How water is put back.
    pub top_up: TopUp,
}

/// How the water that the crop drinks comes back.
#[derive(Clone, Debug, PartialEq)]
pub enum TopUp {
    /// A person with a can.
    ByHand,
    /// A float valve that opens below a height.
    FloatValve {
        /// Height above the reservoir floor at which it shuts.
        height: Value<Length>,
        /// Flow while open.
        flow: Value<VolumeRate>,
        /// Where the water comes from.
        supply: Supply,
    },
}

/// What stands behind a float valve.
#[derive(Clone, Debug, PartialEq)]
pub enum Supply {
    /// The mains: it never ends.
    Mains,
    /// A tank of this volume.
    Tank(Value<Volume>),
}

impl Reservoir {
    /// Depth of the water at rest.
    pub fn rest_depth(&self) -> Length {
        self.shape.depth_of(self.fill.get())
    }

    /// Volume at which it spills.
    pub fn spill_volume(&self) -> Volume {
        self.shape.volume(self.spill_height.get())
    }
}
