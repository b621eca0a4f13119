//! What was measured on a bench, as a value: it narrows the bands of every prediction.

use serde::Serialize;

/// What a stopwatch or a ruler was held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Seconds from pump start until the riser's crest is wet.
    CrestWet,
    /// Depth over the tray floor with the pump running for long \[m\].
    HighestWater,
    /// Seconds from pump stop until the drained mark.
    Drained,
}

impl Quantity {
    /// As written in a bench file.
    pub fn word(self) -> &'static str {
        match self {
            Self::CrestWet => "crest wet",
            Self::HighestWater => "highest water",
            Self::Drained => "drained",
        }
    }

    /// All of them.
    pub const ALL: [Self; 3] = [Self::CrestWet, Self::HighestWater, Self::Drained];
}

/// One reading taken on the built bench.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StopwatchReading {
    /// What was read.
    pub quantity: Quantity,
    /// On which tray.
    pub tray: usize,
    /// The reading: seconds, or metres for a depth.
    pub value_si: f64,
    /// Its own uncertainty, one standard deviation, in the same unit.
    pub uncertainty_si: f64,
    /// Line in the bench file.
    pub line: usize,
}
