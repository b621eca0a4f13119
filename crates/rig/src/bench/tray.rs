use super::blocks::{Blocks, LooseBed};
use super::drain::Drain;
use super::feed::Feed;
use super::holes::Holes;
use crate::value::Value;
use tidewright_physics::geometry::{Relief, Shape};
use tidewright_physics::quantity::{Length, Time, mm};

/// The tub that floods.
#[derive(Clone, Debug, PartialEq)]
pub struct Tray {
    /// What it is called in this bench.
    pub name: String,
    /// Inside shape.
    pub shape: Shape,
    /// Height of its floor, at the flood fitting, above the floor of the room.
    pub elevation: Value<Length>,
    /// How far one end stands lower than the other.
    pub tilt: Value<Length>,
    /// Whether the low end is the drain's.
    pub tilts_to_drain: Value<bool>,
    /// How far the middle of the floor hangs below its fittings.
    pub bow: Value<Length>,
    /// Height of the flood fitting's lip above the floor: water below it stays.
    pub lip: Value<Length>,
    /// Nine heights of the floor against the flood fitting, rim row by row, where measured.
    pub floor_readings: Option<[f64; 9]>,
    /// The floor as the water meets it.
    pub relief: Relief,
    /// Where the feed comes in.
    pub entry: Entry,
    /// Position of the flood fitting in plan, from one corner of the floor.
    pub feed_at: (Value<Length>, Value<Length>),
    /// Position of the riser in plan.
    pub drain_at: (Value<Length>, Value<Length>),
    /// What is cut into it.
    pub holes: Holes,
    /// Which pump feeds it.
    pub pump: usize,
    /// Its own hose from the manifold, where the pump is shared.
    pub branch: Option<Branch>,
    /// Riser, strainer, return.
    pub drain: Drain,
    /// Tray below that it drains into, instead of the reservoir.
    pub drains_into: Option<usize>,
    /// Blocks or pots.
    pub blocks: Option<Blocks>,
    /// Loose media over the whole floor.
    pub bed: Option<LooseBed>,
    /// When it floods.
    pub schedule: Schedule,
}

/// Where the feed enters the tray.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// Through a fitting in the floor.
    Floor,
    /// Over the rim.
    OverRim {
        /// Height of the hose's end above the tray floor.
        end: Value<Length>,
        /// Height of a hole that lets air in, if there is one.
        break_hole: Option<Value<Length>>,
        /// Height of the bend above the tray floor.
        bend: Value<Length>,
    },
}

/// A tray's own hose from the manifold.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// The hose.
    pub hose: Feed,
    /// What opens it.
    pub valve: Valve,
}

/// What stands in a branch.
#[derive(Clone, Debug, PartialEq)]
pub enum Valve {
    /// Nothing: always open.
    AlwaysOpen,
    /// Opens with the tray's flood, shuts this long after it.
    Timed {
        /// How long it stays open after the pump stops.
        stays_open: Value<Time>,
    },
}

/// When a tray floods.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// Start times, seconds after midnight, rising.
    pub starts: Value<Vec<f64>>,
    /// How long the pump runs each time.
    pub run: Value<Time>,
}

impl Tray {
    /// Height above the tray floor at which the feed's water must arrive.
    pub fn outlet_height(&self) -> Length {
        match &self.entry {
            Entry::Floor => Length::default(),
            Entry::OverRim { end, .. } => end.get(),
        }
    }

    /// Height of the crest above the floor, where there is a riser.
    pub fn crest(&self) -> Option<Length> {
        self.drain.riser.as_ref().map(|r| r.crest.height.get())
    }

    /// Height of the rim above the floor.
    pub fn rim(&self) -> Length {
        self.shape.depth()
    }

    /// Height of the block tops above the floor, where there are blocks.
    pub fn block_tops(&self) -> Option<Length> {
        self.blocks.as_ref().map(|b| b.base.get() + b.total_height())
    }

    /// Length and width of its floor.
    pub fn floor(&self) -> (Length, Length) {
        self.shape.plan_at(Length::default())
    }

    /// Flange over a hole: it cannot be smaller than the hole and a lip of 10 mm. Common practice, no source.
    pub fn flange_over(&self, hole: Length) -> Length {
        self.holes.flange.get().max(hole + mm(10.0))
    }

    /// Middles of its drain fittings, from the front left corner of its floor: several stand in a row across, a flange and two
    /// centimetres from one to the next \[m\].
    pub fn drain_places(&self) -> Vec<(f64, f64)> {
        let count = self.drain.riser.as_ref().map_or(0, |r| r.count.get().max(1.0) as usize);
        let (along, across) = (self.drain_at.0.get().value, self.drain_at.1.get().value);
        let apart = self.flange_over(self.holes.drain.get()).value + 0.02;
        (0..count).map(|i| (along, across + (i as f64 - 0.5 * (count - 1) as f64) * apart)).collect()
    }

    /// From where places on its floor are measured, in words.
    pub fn corner(&self) -> &'static str {
        if self.shape.is_round() {
            "the front left corner of a square around the floor"
        } else {
            "the front left corner of the floor"
        }
    }

    /// Middles of its blocks, row by row from the front: along from the middle of the floor, across from its front \[m\].
    pub fn block_places(&self) -> Vec<(f64, f64)> {
        /// More are not told apart.
        const MOST: usize = 3600;
        let Some(b) = &self.blocks else { return Vec::new() };
        let count = b.count.get().max(1.0) as usize;
        let rows = (b.rows.get().max(1.0) as usize).min(count);
        let per_row = count.div_ceil(rows.max(1));
        let rows = count.div_ceil(per_row);
        // In a round tub they stand in the square that fits into it.
        let round = self.shape.is_round();
        let share = if round { std::f64::consts::FRAC_1_SQRT_2 } else { 1.0 };
        let floor = self.floor();
        let (length, width) = (floor.0.value * share, floor.1.value * share);
        let front = (floor.1.value - width) / 2.0;
        (0..count.min(MOST))
            .map(|i| {
                let (row, at) = (i / per_row, i % per_row);
                let x = (at as f64 + 0.5) / per_row as f64 * length - length / 2.0;
                (x, front + (row as f64 + 0.5) / rows as f64 * width)
            })
            .collect()
    }
}
