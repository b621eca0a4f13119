use crate::value::Value;
use serde::Serialize;
use tidewright_physics::quantity::{Length, MolarFlux, ThermodynamicTemperature, Time, Velocity, VolumeRate};

/// A crop, as the parts data hold it.
#[derive(Clone, Debug, PartialEq)]
pub struct Crop {
    /// Name in the parts data.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Length of each stage \[d\].
    pub days: [f64; 5],
    /// Leaf area over floor area of a full stand \[-\].
    pub leaf_area: f64,
    /// Share of the full stand's leaf that drinks in the late stage \[-\].
    pub late: f64,
    /// Basal crop coefficient of the full stand, over the grass of FAO-56 \[-\].
    pub kcb: f64,
    /// How it stands and what light and water it likes.
    pub habit: Habit,
    /// Where its numbers come from.
    pub source: String,
}

/// How tall and wide a crop gets, and what light and water it likes: representative, from memory.
#[derive(Clone, Copy, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Habit {
    /// Height of a full plant \[m\].
    pub height_m: f64,
    /// Across a full plant that has room \[m\].
    pub across_m: f64,
    /// Light of a day, low and high \[mol/(m² d)\].
    pub dli: [f64; 2],
    /// Water about the roots, low and high \[°C\].
    pub root_degc: [f64; 2],
}

impl Default for Habit {
    fn default() -> Self {
        Self { height_m: 0.25, across_m: 0.25, dli: [12.0, 17.0], root_degc: [18.0, 24.0] }
    }
}

impl Crop {
    /// Leaf area over floor area and share of the floor covered \[-\]: our own steps of a stand, common practice.
    pub fn leaves(&self, stage: Stage) -> (f64, f64) {
        let (share, cover) = match stage {
            Stage::Rooting => (1.0 / 60.0, 0.05),
            Stage::Young => (1.0 / 6.0, 0.3),
            Stage::Growing => (0.5, 0.7),
            Stage::Full => (1.0, 0.95),
            Stage::Late => (self.late, 0.95),
        };
        (share * self.leaf_area, cover)
    }

    /// Basal crop coefficient in a stage: from bare plugs, 0.15, to the full stand, by the share that leaves cover \[-\].
    ///
    /// Source: FAO Irrigation and Drainage Paper 56 (1998), table 17 for both ends; between them by cover, as its eq. 97
    /// does (from memory).
    pub fn coefficient(&self, stage: Stage, cover: f64) -> f64 {
        const BARE: f64 = 0.15;
        const FULL_COVER: f64 = 0.95;
        let full = if stage == Stage::Late { self.late } else { 1.0 } * self.kcb;
        BARE + (full - BARE).max(0.0) * (cover / FULL_COVER).min(1.0)
    }

    /// Leaf area over floor area, share of the floor covered and stage on a day, from 1: straight between the middles of
    /// stages.
    pub fn on_day(&self, day: f64) -> (f64, f64, Stage) {
        let mut knots = vec![(0.0, self.leaves(Stage::Rooting))];
        let mut now = Stage::Rooting;
        for stage in Stage::ALL {
            let (from, to) = self.span(stage);
            if to >= from {
                knots.push((0.5 * (from - 1.0 + to), self.leaves(stage)));
                if day >= from {
                    now = stage;
                }
            }
        }
        let t = (day - 0.5).max(0.0);
        let i = knots.partition_point(|k| k.0 <= t).min(knots.len() - 1).max(1);
        let (a, b) = (knots[i - 1], knots[i]);
        let x = if b.0 > a.0 { ((t - a.0) / (b.0 - a.0)).clamp(0.0, 1.0) } else { 1.0 };
        (a.1.0 + x * (b.1.0 - a.1.0), a.1.1 + x * (b.1.1 - a.1.1), now)
    }

    /// Share of the full height that a plant has in a stage \[-\]: ours, common practice.
    pub fn height_share(stage: Stage) -> f64 {
        match stage {
            Stage::Rooting => 0.15,
            Stage::Young => 0.35,
            Stage::Growing => 0.7,
            Stage::Full | Stage::Late => 1.0,
        }
    }

    /// First and last day of a stage, the first day on the bench being 1.
    pub fn span(&self, stage: Stage) -> (f64, f64) {
        let i = Stage::ALL.iter().position(|s| *s == stage).unwrap_or(0);
        let before: f64 = self.days[..i].iter().sum();
        (before + 1.0, before + self.days[i])
    }
}

/// Air and light of a room from a time of day on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomStep {
    /// After midnight \[s\].
    pub from_s: f64,
    /// Air \[K\].
    pub air_k: f64,
    /// Relative humidity \[-\].
    pub humidity: f64,
    /// Photons of 400–700 nm on the leaves \[mol/(m² s)\].
    pub photons_mol_m2_s: f64,
}

/// What grows on the bench, and the room and light it grows in.
#[derive(Clone, Debug, PartialEq)]
pub struct Growing {
    /// What it is.
    pub crop: Crop,
    /// How far the crop is.
    pub stage: Value<Stage>,
    /// Leaf area over floor area \[-\].
    pub leaf_area: Value<f64>,
    /// Share of the tray that leaves cover \[-\].
    pub cover: Value<f64>,
    /// How deep the plug with the seedling sits in its block.
    pub plug: Value<Length>,
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
    /// Under what roof it stands.
    pub place: Value<Roof>,
    /// Wind at 2 m \[m/s\], where there is sky or a greenhouse over it.
    pub wind: Value<Velocity>,
    /// Air and light through the day as a logger had them; empty where set points stand for them.
    pub logged: Vec<RoomStep>,
    /// When the light goes on \[s after midnight\].
    pub on: Value<f64>,
    /// How long it stays on.
    pub lit: Value<Time>,
}

impl Growing {
    /// Air and light through the day, from midnight on, each until the next.
    pub fn room(&self) -> Vec<RoomStep> {
        if !self.logged.is_empty() {
            return self.logged.clone();
        }
        let step = |from_s: f64, lit: bool| RoomStep {
            from_s,
            air_k: if lit { self.day.get() } else { self.night.get() }.value,
            humidity: if lit { self.humidity_day.get() } else { self.humidity_night.get() },
            photons_mol_m2_s: if lit { self.photons.get().value } else { 0.0 },
        };
        let (on, lit_s) = (self.on.get().rem_euclid(86_400.0), self.lit.get().value);
        if lit_s >= 86_400.0 {
            return vec![step(0.0, true)];
        }
        let off = (on + lit_s).rem_euclid(86_400.0);
        let mut all = vec![step(0.0, self.is_lit(0.0)), step(on, true), step(off, false)];
        all.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        all.dedup_by(|b, a| {
            (b.from_s - a.from_s).abs() < 1e-6 && {
                *a = *b;
                true
            }
        });
        all
    }

    /// Whether the light is on at a time of day \[s after midnight\].
    pub fn is_lit(&self, t_s: f64) -> bool {
        (t_s - self.on.get()).rem_euclid(86_400.0) < self.lit.get().value
    }
}

/// Under what roof a bench stands: how its crop's water is reckoned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Roof {
    /// In a room, under lamps.
    Lamps,
    /// In a greenhouse.
    Greenhouse,
    /// Under the sky.
    Sky,
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
    /// Past its height: leaves age.
    Late,
}

impl Stage {
    /// All, in order of time.
    pub const ALL: [Self; 5] = [Self::Rooting, Self::Young, Self::Growing, Self::Full, Self::Late];

    /// As a bench file has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Rooting => "rooting",
            Self::Young => "young",
            Self::Growing => "growing",
            Self::Full => "full",
            Self::Late => "late",
        }
    }
}
