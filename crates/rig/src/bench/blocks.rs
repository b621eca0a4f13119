use crate::value::Value;
use serde::Serialize;
use tidewright_physics::media::Retention;
use tidewright_physics::quantity::{Area, Length, Mass, Volume};

/// A growing medium, as the parts data hold it.
#[derive(Clone, Debug, PartialEq)]
pub struct Medium {
    /// Name in the parts data.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Retention curve while drying.
    pub retention: Retention,
    /// α of the drying curve at its low and its high end \[1/m\]; both its own where nobody measured.
    pub alpha_span: (f64, f64),
    /// α while wetting over α while drying \[-\].
    pub wetting_alpha: f64,
    /// Saturated conductivity \[m/s\].
    pub ks_m_s: f64,
    /// Dry bulk density \[kg/m³\].
    pub dry_density: f64,
    /// Water content when bought dry \[-\].
    pub dry_content: f64,
    /// First-order time to take water up \[s\].
    pub soak_s: f64,
    /// First-order time to give water back \[s\].
    pub release_s: f64,
    /// Whether it draws water well above the surface, so that a dry margin does not keep its top dry.
    pub wicks: bool,
    /// Floods a day that growers give to seedlings, growing plants and a full stand, low and high. Common practice, no source.
    pub usual_floods: Option<[[f64; 2]; 3]>,
    /// Where its numbers come from.
    pub source: String,
}

impl Medium {
    /// Floods a day that growers give in a stage, low and high.
    pub fn usual_floods(&self, stage: super::Stage) -> Option<[f64; 2]> {
        use super::Stage::{Full, Growing, Late, Rooting, Young};
        let i = match stage {
            Rooting | Young => 0,
            Growing => 1,
            Full | Late => 2,
        };
        self.usual_floods.map(|u| u[i])
    }
}

/// Water in the medium at the start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Moisture {
    /// As bought.
    Dry,
    /// At container capacity.
    Moist,
}

/// Blocks or pots that stand on the tray floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Blocks {
    /// What they are made of.
    pub medium: Medium,
    /// What the lowest layer of a stack is made of, where it is another: a slab under blocks.
    pub lower: Option<Medium>,
    /// Plan length of one.
    pub length: Value<Length>,
    /// Plan width of one.
    pub width: Value<Length>,
    /// Height of one.
    pub height: Value<Length>,
    /// How many stand on each other.
    pub layers: Value<f64>,
    /// How many stacks.
    pub count: Value<f64>,
    /// In how many rows.
    pub rows: Value<f64>,
    /// Whether a film closes their sides.
    pub wrapped: Value<bool>,
    /// Whether a lid or foil closes their tops around the stem.
    pub covered: Value<bool>,
    /// Water in them at the start.
    pub start: Value<Moisture>,
    /// Height of their underside above the tray floor.
    pub base: Value<Length>,
}

impl Blocks {
    /// Height of a stack.
    pub fn total_height(&self) -> Length {
        self.height.get() * self.layers.get()
    }

    /// Plan area of all stacks.
    pub fn plan_area(&self) -> Area {
        self.length.get() * self.width.get() * self.count.get()
    }

    /// Envelope volume of all stacks.
    pub fn volume(&self) -> Volume {
        self.plan_area() * self.total_height()
    }

    /// Mass of all stacks, dry.
    pub fn dry_mass(&self) -> Mass {
        tidewright_physics::quantity::kg(self.medium.dry_density * self.volume().value)
    }
}

/// Loose media over the whole floor.
#[derive(Clone, Debug, PartialEq)]
pub struct LooseBed {
    /// What it is.
    pub medium: Medium,
    /// Depth of the bed.
    pub depth: Value<Length>,
    /// Space between the grains that water fills and leaves \[-\].
    pub void_fraction: Value<f64>,
}
