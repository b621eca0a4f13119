use crate::value::Value;
use tidewright_physics::quantity::{Length, mm};

/// How water leaves a tray, other than through its feed.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// The overflow; none where the flood is ended by the timer alone.
    pub riser: Option<Riser>,
    /// What keeps roots and media out of it.
    pub strainer: Strainer,
    /// Hole at floor level that is always open.
    pub weep: Option<Value<Length>>,
    /// Hose below the riser.
    pub back: Return,
}

/// The standpipe that sets the depth.
#[derive(Clone, Debug, PartialEq)]
pub struct Riser {
    /// Inside diameter.
    pub bore: Value<Length>,
    /// Height at which it takes water.
    pub crest: Crest,
    /// Number of equal risers side by side.
    pub count: Value<f64>,
    /// Height of the seat of its fitting above the tray floor.
    pub seat: Value<Length>,
    /// How far the tube goes into the fitting.
    pub insertion: Value<Length>,
    /// Length of the tube as bought, where the user said.
    pub tube: Option<Value<Length>>,
    /// Height of one stacking ring; nil where it is a plain tube.
    pub ring: Value<Length>,
}

impl Riser {
    /// Length that its tube is cut to for a crest: from its seat up, and what goes into the seat.
    pub fn cut_for(&self, crest: Length) -> Length {
        (crest - self.seat.get() + self.insertion.get()).max(mm(5.0))
    }
}

/// Height of the riser's mouth (or the bottom of its slots) above the tray floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Crest {
    /// The height that a run uses.
    pub height: Value<Length>,
    /// Whether the user wants the tool to say it.
    pub advise: bool,
}

/// Guard or strainer over the riser.
#[derive(Clone, Debug, PartialEq)]
pub struct Strainer {
    /// Whether there is one at all.
    pub fitted: Value<bool>,
    /// Whether a wide sleeve keeps loose media off the riser.
    pub guard: Value<bool>,
    /// Open area over the riser's own cross-section.
    pub open_ratio: Value<f64>,
}

/// The falling hose from the riser to the reservoir.
#[derive(Clone, Debug, PartialEq)]
pub struct Return {
    /// Inside diameter.
    pub bore: Value<Length>,
    /// Length.
    pub length: Value<Length>,
    /// Fall from the tray floor to its end.
    pub drop: Value<Length>,
    /// Whether air can enter below the crest (vent tube or open cascade), so that it cannot prime.
    pub vented: Value<bool>,
}
