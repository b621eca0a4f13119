//! One program tried: a day of the bench at either end of what is not known.

use super::with_program;
use crate::survey::crop::{DRY_END, STUFFY_END};
use tidewright_rig::Rig;
use tidewright_sim::roots::SHORT;
use tidewright_sim::stack::Manner;
use tidewright_sim::{Run, Scenario, run, split};

const DAY_S: f64 = 86_400.0;
/// Share of the roots without enough oxygen, over the day and at the bad end, beyond which a program does not keep the
/// air \[-\]. Ours, no source: roots in the lowest, wettest part of a block are few.
pub const AIR_LOST: f64 = 0.5;

/// Flood starts and minutes, and what they do.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Offer {
    /// Starts \[s after midnight\].
    pub starts: Vec<f64>,
    /// How long the pump runs \[s\].
    pub run_s: f64,
    /// What that does.
    pub judged: Judged,
}

/// What a program does.
#[derive(Clone, Copy, Debug, serde::Serialize)]
pub struct Judged {
    /// Least share of its demand that the crop gets at any time, at the dry end \[-\].
    pub supplied: f64,
    /// Wettest and driest mean content of the blocks at the dry end \[-\].
    pub driest: f64,
    /// Share of the roots short of oxygen, mean over the day at the stuffy end \[-\].
    pub starved: f64,
    /// Floods in a row that may fail, at the worst time, before roots are short of water.
    pub may_miss: u32,
    /// Pump on in a day \[s\].
    pub pump_s: f64,
    /// What it takes \[J/day\].
    pub energy_j: f64,
    /// Drunk in a day at the dry end \[m³\].
    pub drunk_m3: f64,
}

impl Judged {
    /// Whether the roots find water at every time of the day.
    pub fn keeps_wet(&self) -> bool {
        self.supplied >= SHORT
    }

    /// Whether most roots find oxygen.
    pub fn keeps_air(&self) -> bool {
        self.starved <= AIR_LOST
    }
}

/// The dry end of a program.
pub(super) struct DryEnd {
    /// Least share of its demand that the crop gets \[-\].
    pub(super) supplied: f64,
    /// Whether that is in the dark.
    pub(super) at_night: bool,
    driest: f64,
    drunk_m3: f64,
}

impl DryEnd {
    pub(super) fn keeps_wet(&self) -> bool {
        self.supplied >= SHORT
    }
}

/// A bench in one stage, of whose tray programs are tried.
pub(super) struct Ask<'r> {
    pub(super) rig: &'r Rig,
    pub(super) tray: usize,
    /// How long one flood lasts at the dry end \[s\].
    pub(super) lasts_s: f64,
}

impl Ask<'_> {
    fn day(&self, starts: &[f64], run_s: f64, manner: Manner) -> Option<Run> {
        let rig = with_program(self.rig, self.tray, starts, run_s);
        let day = run(&rig, &Scenario::crop_day(&rig, Manner { brisk: true, ..manner }));
        (!day.broke_off && day.blocks_lost.is_none()).then_some(day)
    }

    /// Tries a program at the dry end; none where the blocks cannot be followed.
    pub(super) fn dry_end(&self, starts: &[f64], run_s: f64) -> Option<DryEnd> {
        let day = self.day(starts, run_s, DRY_END)?;
        let blocks = &day.blocks[self.tray];
        let worst = blocks.course.iter().min_by(|a, b| a.supplied.total_cmp(&b.supplied));
        Some(DryEnd {
            // Adding nil takes the sign off a nil.
            supplied: blocks.supplied.clamp(0.0, 1.0) + 0.0,
            at_night: worst.is_some_and(|m| !self.rig.growing.is_lit(m.t_s - 1.0)),
            driest: blocks.driest,
            drunk_m3: blocks.moved.drunk_m3,
        })
    }

    /// Tries a program at both ends; none where the blocks cannot be followed.
    pub(super) fn judge(&self, starts: &[f64], run_s: f64) -> Option<Offer> {
        let (dry, stuffy) = split::both(|| self.dry_end(starts, run_s), || self.day(starts, run_s, STUFFY_END));
        let (dry, stuffy) = (dry?, stuffy?);
        let pump_s = run_s * starts.len() as f64;
        let pump = &self.rig.pumps[self.rig.trays[self.tray].pump];
        Some(Offer {
            judged: Judged {
                supplied: dry.supplied,
                driest: dry.driest,
                starved: stuffy.blocks[self.tray].starved_s / DAY_S,
                may_miss: may_miss(starts, self.lasts_s),
                pump_s,
                energy_j: pump.power.get().value * pump_s,
                drunk_m3: dry.drunk_m3,
            },
            starts: starts.to_vec(),
            run_s,
        })
    }
}

/// Floods in a row after the worst one that may fail: those that come before a flood's water is used up.
fn may_miss(starts: &[f64], lasts_s: f64) -> u32 {
    if starts.is_empty() {
        return 0;
    }
    if !lasts_s.is_finite() {
        return u32::MAX;
    }
    let within = |from: f64| {
        let days = (lasts_s / DAY_S).floor();
        let rest = lasts_s - days * DAY_S;
        let later =
            starts.iter().filter(|t| (*t - from).rem_euclid(DAY_S) > 0.0 && (*t - from).rem_euclid(DAY_S) <= rest);
        days as u32 * starts.len() as u32 + later.count() as u32
    };
    // Of those that come in time all but the last may fail: that one has to come.
    starts.iter().map(|t| within(*t)).min().unwrap_or(0).saturating_sub(1)
}
