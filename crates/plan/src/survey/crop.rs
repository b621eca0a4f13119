//! The bench with its crop: blocks followed as columns through a day, at both ends of what is not known.

use tidewright_rig::Rig;
use tidewright_sim::roots::{self, RootDay};
use tidewright_sim::scenario::{Keep, Law};
use tidewright_sim::stack::{Branch, Manner};
use tidewright_sim::{Run, Scenario, run, split};

/// What a canopy model says of water is good to a third. Source: the spread of measured and modelled lettuce and basil,
/// from memory.
pub const THIRST: f64 = 4.0 / 3.0;

/// The end at which blocks run dry: thirsty plants, and the medium on its wetting curve.
pub const DRY_END: Manner = Manner { branch: Branch::Wetting, thirst: THIRST, ..Manner::LIKELY };
/// The end at which roots want for air: plants that drink little, and gas that diffuses as little as is published.
pub const STUFFY_END: Manner = Manner { branch: Branch::Wettest, thirst: 1.0 / THIRST, stuffy: true, ..Manner::LIKELY };

/// Days with the crop.
pub struct Crop {
    /// The bench's day with everything at its likely value.
    pub day: Run,
    /// The blocks of each tray in it; none where no blocks stand or they could not be followed.
    pub likely: Vec<Option<RootDay>>,
    /// The same at the dry end.
    pub dry: Vec<Option<RootDay>>,
    /// The same at the end that wants for air.
    pub stuffy: Vec<Option<RootDay>>,
    /// A tray whose blocks could not be followed.
    pub lost: Option<usize>,
}

impl Crop {
    /// Three days of a bench.
    pub fn of(rig: &Rig) -> Self {
        let of = |manner: Manner| {
            let mut day = run(rig, &Scenario::crop_day(rig, manner));
            let mut lost = day.blocks_lost;
            let blocks: Vec<Option<RootDay>> = (0..rig.trays.len())
                .map(|i| {
                    roots::day(rig, &day, i, manner).unwrap_or_else(|_| {
                        lost = lost.or(Some(i));
                        None
                    })
                })
                .collect();
            day.blocks.clear();
            (day, blocks, lost)
        };
        let ends = split::map(3, |i| of([Manner::LIKELY, DRY_END, STUFFY_END][i]));
        let mut ends = ends.into_iter();
        let (Some((day, likely, lost)), Some((_, dry, lost_dry)), Some((_, stuffy, lost_stuffy))) =
            (ends.next(), ends.next(), ends.next())
        else {
            return Self { day: Run::default(), likely: Vec::new(), dry: Vec::new(), stuffy: Vec::new(), lost: None };
        };
        Self { day, likely, dry, stuffy, lost: lost.or(lost_dry).or(lost_stuffy) }
    }

    /// The likely days of all trays that have blocks.
    pub fn days(&self) -> impl Iterator<Item = &RootDay> {
        self.likely.iter().flatten()
    }
}

/// A flood's run with its blocks as columns, its course kept.
pub(super) fn flood(rig: &Rig, tray: usize) -> Run {
    let mut scenario = Scenario::flood_of(rig, tray);
    scenario.options.blocks = Law::Column(Manner::STILL);
    scenario.options.keep = Keep::Course;
    run(rig, &scenario)
}
