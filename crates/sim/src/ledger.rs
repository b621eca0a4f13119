//! Where the water is, and that none was made or lost.

use serde::Serialize;

/// Water in every place at one moment \[m³\].
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Places {
    /// In the reservoir.
    pub reservoir_m3: f64,
    /// Standing in each tray.
    pub trays_m3: Vec<f64>,
    /// Held by the media of each tray.
    pub media_m3: Vec<f64>,
    /// In each pump's hoses.
    pub hoses_m3: Vec<f64>,
    /// On the floor.
    pub floor_m3: f64,
    /// Gone into the air: drunk by the crop, and evaporated from tops.
    pub air_m3: f64,
    /// Left in the top-up supply, counted from nil: negative where the mains gave water.
    pub supply_m3: f64,
}

impl Places {
    /// All of it.
    pub fn total_m3(&self) -> f64 {
        self.reservoir_m3
            + self.trays_m3.iter().sum::<f64>()
            + self.media_m3.iter().sum::<f64>()
            + self.hoses_m3.iter().sum::<f64>()
            + self.floor_m3
            + self.air_m3
            + self.supply_m3
    }
}

/// The water account of a run.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Ledger {
    /// At the start.
    pub start: Places,
    /// At the end.
    pub end: Places,
    /// Largest difference of any moment's total from the first, over that total \[-\].
    pub error: f64,
}

impl Ledger {
    /// The limit that every run must keep \[-\].
    pub const LIMIT: f64 = 1e-9;

    /// Whether the account closes.
    pub fn closes(&self) -> bool {
        self.error <= Self::LIMIT
    }
}
