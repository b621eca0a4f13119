//! What came of a scenario.

use crate::ledger::Ledger;
use crate::stack::{BlockMoment, Moved};
use serde::Serialize;

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// A pump starts.
    PumpOn,
    /// Its hose is full: water arrives.
    HoseFull,
    /// Water stands on the tray floor.
    FloorWet,
    /// Water reaches the undersides of the blocks.
    BlockBaseWet,
    /// Water reaches the riser's crest.
    CrestWet,
    /// The riser's mouth drowns: from here it no longer works as a weir.
    RiserDrowned,
    /// The overflow head is within 1 % of its final value.
    Steady,
    /// Water reaches the tops of the blocks.
    BlockTopWet,
    /// Water runs over the rim of the tray.
    RimOvertopped,
    /// Water falls below the rim again.
    RimDry,
    /// A pump draws air.
    PrimeLost,
    /// It draws water again.
    PrimeRegained,
    /// The float valve opens.
    FloatOpens,
    /// The float valve shuts.
    FloatShuts,
    /// The reservoir runs over.
    ReservoirOverflow,
    /// The reservoir is below its rim again.
    ReservoirBelowRim,
    /// A pump stops.
    PumpOff,
    /// Water falls below the crest.
    CrestDry,
    /// Water falls to the drained mark.
    Drained,
    /// Water falls to the puddle that stays.
    Puddle,
}

impl EventKind {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::PumpOn => "pump on",
            Self::HoseFull => "hose full",
            Self::FloorWet => "floor wet",
            Self::BlockBaseWet => "block base wet",
            Self::CrestWet => "crest wet",
            Self::RiserDrowned => "riser drowned",
            Self::Steady => "steady depth",
            Self::BlockTopWet => "block top wet",
            Self::RimOvertopped => "rim overtopped",
            Self::RimDry => "below the rim again",
            Self::PrimeLost => "prime lost",
            Self::PrimeRegained => "prime regained",
            Self::FloatOpens => "float valve opens",
            Self::FloatShuts => "float valve shuts",
            Self::ReservoirOverflow => "reservoir overflows",
            Self::ReservoirBelowRim => "reservoir below its rim again",
            Self::PumpOff => "pump off",
            Self::CrestDry => "crest dry again",
            Self::Drained => "drained",
            Self::Puddle => "only the puddle left",
        }
    }
}

/// One event.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Event {
    /// When \[s\].
    pub t_s: f64,
    /// What.
    pub kind: EventKind,
    /// Which tray, or which pump for pump events; nil for the reservoir.
    pub index: usize,
    /// Depth in that tray (in the reservoir for events of pump, float and reservoir) \[m\].
    pub depth_m: f64,
}

/// One flood of one tray.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FloodRecord {
    /// Which tray.
    pub tray: usize,
    /// Pump on \[s\].
    pub start_s: f64,
    /// Pump off \[s\]; infinite where it never stopped.
    pub stop_s: f64,
    /// Crest wet, after the start \[s\]; infinite where it never was.
    pub crest_wet_s: f64,
    /// Block base wet, after the start \[s\].
    pub base_wet_s: f64,
    /// Overflow head within 1 % of its final value, after the start \[s\].
    pub steady_s: f64,
    /// Greatest depth \[m\].
    pub highest_m: f64,
    /// Depth at pump stop \[m\].
    pub depth_at_stop_m: f64,
    /// Depth that the flood tends to with the pump running for ever \[m\].
    pub final_depth_m: f64,
    /// Crest dry again, after the stop \[s\].
    pub crest_dry_s: f64,
    /// Drained mark reached, after the stop \[s\].
    pub drained_s: f64,
    /// Only the puddle left, after the stop \[s\].
    pub puddle_s: f64,
    /// Pump flow into the tray at the start \[m³/s\].
    pub first_flow_m3_s: f64,
    /// Pump flow into the tray at the stop \[m³/s\].
    pub last_flow_m3_s: f64,
    /// Flow back through the pump just after the stop \[m³/s\].
    pub first_back_flow_m3_s: f64,
}

/// The state at one moment of the kept course.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moment {
    /// When \[s\].
    pub t_s: f64,
    /// Depth in the reservoir \[m\].
    pub reservoir_m: f64,
    /// Water on the floor \[m³\].
    pub floor_m3: f64,
    /// Tray by tray.
    pub trays: Vec<TrayMoment>,
}

/// One tray at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TrayMoment {
    /// Depth over the floor at its fitting \[m\].
    pub depth_m: f64,
    /// From its feed, negative when running back \[m³/s\].
    pub feed_m3_s: f64,
    /// Over its riser \[m³/s\].
    pub riser_m3_s: f64,
    /// Mean water content of its media \[-\].
    pub media: f64,
}

/// How deep a tray is at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// When \[s\].
    pub t_s: f64,
    /// Depth over the floor at its fitting \[m\].
    pub depth_m: f64,
}

/// Totals of one tray over the run \[m³\].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct TrayTotals {
    /// In through its feed.
    pub fed_m3: f64,
    /// Back through its feed.
    pub back_m3: f64,
    /// Over its riser.
    pub over_riser_m3: f64,
    /// Over its rim.
    pub spilled_m3: f64,
}

/// The blocks of one tray over the run, where they were followed as columns.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BlockCourse {
    /// What they took, gave back and lost.
    pub moved: Moved,
    /// Least share of its demand that the crop got at any time \[-\].
    pub supplied: f64,
    /// Driest mean content \[-\].
    pub driest: f64,
    /// Time by the share of the roots that were short of oxygen \[s\].
    pub starved_s: f64,
    /// Their state over time, where the course was kept.
    pub course: Vec<BlockMoment>,
}

impl Default for BlockCourse {
    fn default() -> Self {
        Self { moved: Moved::default(), supplied: 1.0, driest: 1.0, starved_s: 0.0, course: Vec::new() }
    }
}

/// What came of a scenario.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Run {
    /// When it ended \[s\].
    pub end_s: f64,
    /// What happened, in order of time.
    pub events: Vec<Event>,
    /// Flood by flood.
    pub floods: Vec<FloodRecord>,
    /// The course, where it was kept.
    pub course: Vec<Moment>,
    /// Depth in each tray, where only that was kept.
    #[serde(skip)]
    pub levels: Vec<Vec<Level>>,
    /// Least depth in the reservoir \[m\].
    pub lowest_reservoir_m: f64,
    /// Greatest depth in the reservoir \[m\].
    pub highest_reservoir_m: f64,
    /// Greatest depth in each tray \[m\].
    pub highest_m: Vec<f64>,
    /// Totals of each tray.
    pub totals: Vec<TrayTotals>,
    /// The blocks of each tray.
    #[serde(skip)]
    pub blocks: Vec<BlockCourse>,
    /// The tray whose blocks could not be followed to the end; nothing after is then known.
    pub blocks_lost: Option<usize>,
    /// Over the reservoir's lowest hole \[m³\].
    pub reservoir_spill_m3: f64,
    /// Through the float valve \[m³\].
    pub topped_up_m3: f64,
    /// The water account.
    pub ledger: Ledger,
    /// Days that were run until one repeated itself (0 for other programs).
    pub days: u32,
    /// Whether the last day repeated the one before.
    pub periodic: bool,
    /// Whether the solver had to give up before the end; nothing after is then known.
    pub broke_off: bool,
    /// Right-hand sides evaluated.
    pub evaluations: u64,
}

impl Run {
    /// The first event of a kind at a place.
    pub fn first(&self, kind: EventKind, index: usize) -> Option<&Event> {
        self.events.iter().find(|e| e.kind == kind && e.index == index)
    }

    /// Whether something happened anywhere.
    pub fn any(&self, kind: EventKind) -> bool {
        self.events.iter().any(|e| e.kind == kind)
    }

    /// The first flood of a tray.
    pub fn flood(&self, tray: usize) -> Option<&FloodRecord> {
        self.floods.iter().find(|f| f.tray == tray)
    }

    /// Water that came onto the floor during the run \[m³\].
    pub fn on_the_floor_m3(&self) -> f64 {
        self.ledger.end.floor_m3 - self.ledger.start.floor_m3
    }
}
