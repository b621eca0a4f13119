//! The bench as it is: one file for each part, in the order of the water.

mod air;
mod blocks;
mod costs;
mod drain;
mod feed;
mod growing;
mod holes;
mod lamp;
mod power;
mod pump;
mod reservoir;
mod solution;
mod stand;
mod timer;
mod tray;
mod warmth;

pub use air::{Aeration, AirPump, CleanWaterTest, Stone};
pub use blocks::{Blocks, LooseBed, Medium, Moisture};
pub use costs::{Costs, Price};
pub use drain::{Crest, Drain, Return, Riser, Strainer};
pub use feed::{Feed, Fitting};
pub use growing::{Crop, Growing, Habit, Roof, RoomStep, Stage};
pub use holes::Holes;
pub use lamp::{Lamp, LampThrow};
pub use power::Mains;
pub use pump::{Bucket, Bypass, Pump};
pub use reservoir::{Reservoir, Supply, TopUp};
pub use solution::{MeterScale, Mixing, TopUpWith};
pub use stand::{Along, Floor, Material, Member, Stand};
pub use timer::{AfterPowerCut, Timer, TimerKind};
pub use tray::{Branch, Entry, Schedule, Tray, Valve};
pub use warmth::{Jacket, Warmth};

use crate::calibration::StopwatchReading;
use crate::read::SheetLine;
use crate::units::System;
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{Frequency, Length, ThermodynamicTemperature};

/// Where the bench stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Temperature of the water.
    pub water_temperature: Value<ThermodynamicTemperature>,
    /// Height above the sea.
    pub altitude: Value<Length>,
    /// Mains frequency here.
    pub mains_frequency: Value<Frequency>,
}

/// A whole bench, validated: whatever simulates it cannot meet a nonsense value.
#[derive(Clone, Debug, PartialEq)]
pub struct Rig {
    /// What its people call it.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// The units its people measure in.
    pub system: System,
    /// Where it stands.
    pub site: Site,
    /// The tote or barrel below.
    pub reservoir: Reservoir,
    /// One pump or several; at least one.
    pub pumps: Vec<Pump>,
    /// One tray or several; at least one.
    pub trays: Vec<Tray>,
    /// What switches the pumps.
    pub timer: Timer,
    /// What grows, in which room and light.
    pub growing: Growing,
    /// What goes into its water.
    pub mixing: Mixing,
    /// Air blown into the reservoir, where it is.
    pub aeration: Option<Aeration>,
    /// What warms and cools the water.
    pub warmth: Warmth,
    /// Lamps over the trays.
    pub lamps: Vec<Lamp>,
    /// Share of the light that misses the canopy and comes back from walls \[-\].
    pub walls: Value<f64>,
    /// What each tray stands on, where it is said.
    pub stand: Option<Stand>,
    /// Electricity.
    pub mains: Mains,
    /// Money.
    pub costs: Costs,
    /// What was measured on it.
    pub readings: Vec<StopwatchReading>,
    /// Metal or other parts in the water, as written.
    pub wet_metal: Vec<String>,
    /// Every value that was read or assumed, in the order of the file.
    pub sheet: Vec<SheetLine>,
}

impl Rig {
    /// The same bench with its crop as on a day, from 1. Plants that were weighed tell nothing of other days: the canopy
    /// does.
    #[must_use]
    pub fn on_day(mut self, day: u32) -> Self {
        let from = || Birth::Derived { from: format!("day {day} of the crop") };
        let g = &mut self.growing;
        let (area, cover, stage) = g.crop.on_day(f64::from(day));
        (g.leaf_area, g.cover, g.stage) =
            (Value::new(area, from()), Value::new(cover, from()), Value::new(stage, from()));
        g.drinks = None;
        self
    }

    /// The same bench with one riser cut to another crest.
    #[must_use]
    pub fn with_crest(mut self, tray: usize, crest: Length) -> Self {
        if let Some(riser) = self.trays.get_mut(tray).and_then(|t| t.drain.riser.as_mut()) {
            let mut birth = riser.crest.height.birth.clone();
            if riser.crest.advise {
                birth = Birth::Derived { from: "advice: block tops, rim and overflow head".into() };
            }
            riser.crest.height = Value::new(crest, birth.clone());
            let paths = [format!("tray[{tray}].drain.crest"), "tray.drain.crest".to_owned(), "drain.crest".to_owned()];
            if let Some(line) = self.sheet.iter_mut().find(|l| paths.contains(&l.path) && l.birth.word() != "given") {
                line.text = format!("{:.0} mm", crest.value * 1e3);
                line.birth = birth;
            }
        }
        self
    }

    /// Whether water and blocks run as on another bench: everything that they feel is the same.
    pub fn runs_as(&self, other: &Self) -> bool {
        // Named one by one, so that whoever adds a field says here whether the water feels it.
        let Self { site, reservoir, pumps, trays, timer, growing, mixing, lamps, walls, readings, .. } = self;
        let Self {
            name: _,
            about: _,
            system: _,
            aeration: _,
            warmth: _,
            stand: _,
            mains: _,
            costs: _,
            wet_metal: _,
            sheet: _,
            site: _,
            reservoir: _,
            pumps: _,
            trays: _,
            timer: _,
            growing: _,
            mixing: _,
            lamps: _,
            walls: _,
            readings: _,
        } = other;
        (site, reservoir, pumps, trays) == (&other.site, &other.reservoir, &other.pumps, &other.trays)
            && (timer, growing, mixing) == (&other.timer, &other.growing, &other.mixing)
            && (lamps, walls, readings) == (&other.lamps, &other.walls, &other.readings)
    }

    /// Trays that this pump feeds.
    pub fn trays_of(&self, pump: usize) -> impl Iterator<Item = (usize, &Tray)> {
        self.trays.iter().enumerate().filter(move |(_, t)| t.pump == pump)
    }
}

impl Rig {
    /// The dotted key of a field of a pump's section.
    pub fn key_of_pump(&self, pump: usize, field: &str) -> String {
        let listed = format!("pump[{pump}].{field}");
        let many = self.pumps.len() > 1 || self.sheet.iter().any(|l| l.path == listed);
        if many { listed } else { format!("pump.{field}") }
    }

    /// The dotted key of a field of a pump's hose.
    pub fn key_of_feed(&self, pump: usize, field: &str) -> String {
        let own =
            if self.pumps.len() > 1 { format!("pump[{pump}].feed.{field}") } else { format!("pump.feed.{field}") };
        if self.sheet.iter().any(|l| l.path == own) { own } else { format!("feed.{field}") }
    }
}
