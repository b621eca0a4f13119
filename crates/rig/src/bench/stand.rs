use crate::value::Value;
use serde::Serialize;
use tidewright_physics::quantity::{Length, Pressure};
use tidewright_physics::structure::Section;

/// What a tray stands on.
#[derive(Clone, Debug, PartialEq)]
pub struct Stand {
    /// Beams below the tray.
    pub rail: Member,
    /// How many of them, side by side.
    pub rails: Value<f64>,
    /// Whether they run along the tray's length (or across it).
    pub along: Value<Along>,
    /// Length of a rail.
    pub rail_length: Value<Length>,
    /// From support to support.
    pub span: Value<Length>,
    /// Middles of the rails across their direction, from the front (or left) edge of the tray's floor.
    pub rail_at: Value<Vec<f64>>,
    /// Thickness of a board between rails and tray; nil for none.
    pub deck: Value<Length>,
    /// Legs.
    pub leg: Member,
    /// How many.
    pub legs: Value<f64>,
    /// Free length of a leg.
    pub leg_length: Value<Length>,
    /// Whether diagonals or sheets keep it from swaying.
    pub braced: Value<bool>,
    /// Distance of the outer legs along and across.
    pub base: (Value<Length>, Value<Length>),
    /// Whether it is tied to a wall.
    pub tied: Value<bool>,
    /// What floor it stands on.
    pub floor: Value<Floor>,
    /// Side of the pad under each leg; nil for a bare end.
    pub pad: Value<Length>,
}

/// A beam or a leg.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Part or words for people.
    pub name: String,
    /// What it is made of.
    pub material: Value<Material>,
    /// Cross-section as it stands.
    pub section: Section,
    /// Outer size: width and upright height; both the diameter of a pipe.
    pub outer: (Length, Length),
    /// Wall of a pipe; none where it is solid.
    pub wall: Option<Length>,
    /// Stiffness under a load of minutes.
    pub stiffness: Value<Pressure>,
    /// Stiffness that is left after years under load.
    pub stiffness_in_years: Value<Pressure>,
    /// Bending stress that it may carry for years.
    pub strength: Value<Pressure>,
}

/// What a member is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Material {
    /// Softwood.
    Timber,
    /// PVC pipe.
    Plastic,
    /// Steel.
    Steel,
}

/// Direction of the rails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Along {
    /// As the tray's length.
    Length,
    /// As its width.
    Width,
}

/// What a stand stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Floor {
    /// Nobody said.
    Unknown,
    /// A slab on the ground.
    Slab,
    /// A floor with rooms below, or of timber.
    Suspended,
}
