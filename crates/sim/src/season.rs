//! A whole crop, day by day: each day begins with the blocks as the day before left them.

use crate::block::Stuck;
use crate::scenario::{Keep, Law, Options, Program, Scenario};
use crate::stack::{Manner, Stack};
use crate::{flood, run::Run};
use tidewright_rig::Rig;

/// One day of one tray's blocks.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct SeasonDay {
    /// From 1.
    pub day: u32,
    /// Drunk by the crop \[m³\].
    pub drunk_m3: f64,
    /// Evaporated from the tops \[m³\].
    pub evaporated_m3: f64,
    /// Least share of its demand that the crop got \[-\].
    pub supplied: f64,
    /// Driest mean content \[-\].
    pub driest: f64,
    /// Share of the roots short of oxygen, mean of the day \[-\].
    pub starved: f64,
    /// What the water account does not explain, over all water \[-\].
    pub ledger_error: f64,
}

/// Days of a bench, `rig_of` giving it as it is on each (leaf area, program), topped up each midnight; for each tray its
/// days, none where no blocks stand.
///
/// # Errors
/// [`Stuck`] where the water in some blocks cannot be followed.
pub fn season(days: u32, manner: Manner, rig_of: impl Fn(u32) -> Rig) -> Result<Vec<Option<Vec<SeasonDay>>>, Stuck> {
    let first = rig_of(1);
    let n = first.trays.len();
    let mut out: Vec<Option<Vec<SeasonDay>>> = (0..n).map(|i| first.trays[i].blocks.is_some().then(Vec::new)).collect();
    let mut stacks: Vec<Option<Stack>> = vec![None; n];
    for day in 1..=days {
        let rig = rig_of(day);
        let options = Options {
            keep: Keep::Events,
            rtol: 1e-4,
            blocks: Law::Column(Manner { brisk: true, ..manner }),
            ..Options::default()
        };
        let scenario = Scenario { program: Program::Day, options, ..Scenario::one_flood(&rig) };
        let (run, left): (Run, Vec<Option<Stack>>) = flood::go_on(&rig, &scenario, stacks);
        stacks = left;
        if run.blocks_lost.is_some() || run.broke_off {
            return Err(Stuck { after_s: run.end_s });
        }
        for (i, days) in out.iter_mut().enumerate() {
            let (Some(days), of) = (days, &run.blocks[i]) else { continue };
            days.push(SeasonDay {
                day,
                drunk_m3: of.moved.drunk_m3,
                evaporated_m3: of.moved.evaporated_m3,
                supplied: of.supplied,
                driest: of.driest,
                starved: of.starved_s / 86_400.0,
                ledger_error: run.ledger.error,
            });
        }
    }
    Ok(out)
}
