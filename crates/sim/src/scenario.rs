//! What is asked of a bench: which program runs, from what start, with which faults.

use crate::draw::Knobs;
use crate::stack::Manner;
use tidewright_rig::Rig;
use tidewright_rig::bench::Moisture;

/// What the timer does.
#[derive(Clone, Debug, PartialEq)]
pub enum Program {
    /// One flood of the named trays from time nil, then draining until nothing moves.
    Once {
        /// Which trays flood.
        trays: Vec<bool>,
    },
    /// The pumps of the named trays never stop.
    StuckOn {
        /// Which trays are meant.
        trays: Vec<bool>,
        /// When to stop looking \[s\].
        until_s: f64,
    },
    /// A whole day of the timer, from midnight.
    Day,
    /// As many days, one after the other, until a day repeats itself.
    DaysUntilPeriodic {
        /// At most so many.
        most: u32,
    },
}

/// Water in the media when it begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// As the bench file says.
    AsWritten,
    /// As bought.
    Dry,
    /// At container capacity.
    Moist,
}

impl Start {
    /// The moisture it means for blocks with this entry in the bench file.
    pub fn moisture(self, written: Moisture) -> Moisture {
        match self {
            Self::AsWritten => written,
            Self::Dry => Moisture::Dry,
            Self::Moist => Moisture::Moist,
        }
    }
}

/// What is wrong with the bench during the run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Faults {
    /// No riser takes water.
    pub risers_blocked: bool,
    /// Strainers are two thirds covered.
    pub fouled: bool,
    /// Returns do not arrive: what leaves a riser goes to the floor.
    pub return_off: bool,
    /// Feeds are off at the tray: what the pump gives goes to the floor.
    pub feed_off: bool,
}

/// How exactly, and which small effects.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// Relative tolerance of a step.
    pub rtol: f64,
    /// Whether the hose must fill before water arrives.
    pub hose_holdup: bool,
    /// Whether the last millimetres leave only over the fitting's lip.
    pub lip_control: bool,
    /// What is kept of the course.
    pub keep: Keep,
    /// How blocks take and give water.
    pub blocks: Law,
}

/// How blocks take and give water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// Each towards what it holds at this level, in its own time: quick, for samples of many runs.
    FirstOrder,
    /// As columns of water, roots and air.
    Column(Manner),
}

/// What a run keeps besides its events and extremes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keep {
    /// Nothing more.
    Events,
    /// The depth in each tray over time.
    Levels,
    /// Levels and flows over time.
    Course,
}

impl Default for Options {
    fn default() -> Self {
        Self { rtol: 1e-6, hose_holdup: true, lip_control: true, keep: Keep::Course, blocks: Law::FirstOrder }
    }
}

/// One question to a bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What the timer does.
    pub program: Program,
    /// Water in the media at the start.
    pub start: Start,
    /// What is wrong.
    pub faults: Faults,
    /// Where every uncertain number stands.
    pub knobs: Knobs,
    /// How exactly.
    pub options: Options,
}

impl Scenario {
    /// One flood of every tray, everything at its middle value.
    pub fn one_flood(rig: &Rig) -> Self {
        Self::once(rig, vec![true; rig.trays.len()])
    }

    /// One flood of one tray (and of the trays that its pump cannot but flood too).
    pub fn flood_of(rig: &Rig, tray: usize) -> Self {
        Self::once(rig, (0..rig.trays.len()).map(|i| i == tray).collect())
    }

    fn once(rig: &Rig, trays: Vec<bool>) -> Self {
        Self {
            program: Program::Once { trays },
            start: Start::AsWritten,
            faults: Faults::default(),
            knobs: Knobs::nominal(rig),
            options: Options::default(),
        }
    }

    /// A day that repeats itself.
    pub fn day(rig: &Rig) -> Self {
        Self { program: Program::DaysUntilPeriodic { most: 4 }, ..Self::one_flood(rig) }
    }

    /// A day that repeats itself with blocks as columns that a crop drinks from, topped up each midnight.
    pub fn crop_day(rig: &Rig, manner: Manner) -> Self {
        let options = Options { blocks: Law::Column(manner), ..Options::default() };
        Self { program: Program::DaysUntilPeriodic { most: 8 }, options, ..Self::one_flood(rig) }
    }

    /// The same question to blocks that are followed as columns.
    #[must_use]
    pub fn with_columns(mut self) -> Self {
        self.options.blocks = Law::Column(Manner::STILL);
        self
    }

    /// The timer stuck on with every riser blocked.
    pub fn stuck_and_blocked(rig: &Rig, tray: usize) -> Self {
        let trays = (0..rig.trays.len()).map(|i| i == tray).collect();
        Self {
            program: Program::StuckOn { trays, until_s: 86_400.0 },
            faults: Faults { risers_blocked: true, ..Faults::default() },
            ..Self::one_flood(rig)
        }
    }
}
