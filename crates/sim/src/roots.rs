//! A day of one tray's blocks: floods wet them and roots dry them, from midnight to midnight until the day
//! repeats itself. Read from a run in which blocks were followed as columns.

use crate::block::Stuck;
use crate::run::Run;
use crate::stack::{BlockMoment, Manner, Stack};
use tidewright_rig::Rig;

const DAY_S: f64 = 86_400.0;
/// A flood is looked at for its depth, and a drought in stretches, of this length \[s\].
const STRETCH_S: f64 = 900.0;
/// Roots count as short of water below this share of their demand \[-\].
pub const SHORT: f64 = 0.9;
/// How long without a flood is looked at \[s\].
const DROUGHT_S: f64 = 14.0 * DAY_S;
/// Shallower than this over the blocks' undersides no flood is one \[m\].
const SHALLOW_M: f64 = 0.001;

/// A day of the blocks of one tray.
#[derive(Clone, Debug, serde::Serialize)]
pub struct RootDay {
    /// Which tray.
    pub tray: usize,
    /// What one plant asks for in a day \[m³\].
    pub demand_per_plant_m3: f64,
    /// Transpiration of the whole tray while lit \[m³/s\].
    pub lit_m3_s: f64,
    /// Transpiration of the whole tray while dark \[m³/s\].
    pub dark_m3_s: f64,
    /// The course of the day.
    pub course: Vec<BlockMoment>,
    /// What the pump brings into the tray in that day \[m³\].
    pub fed_m3: f64,
    /// Taken up from floods and puddles in the day, all blocks \[m³\].
    pub taken_m3: f64,
    /// Given back to the tray \[m³\].
    pub given_back_m3: f64,
    /// Drunk \[m³\].
    pub drunk_m3: f64,
    /// Asked for \[m³\].
    pub demand_m3: f64,
    /// Evaporated from the blocks' tops \[m³\].
    pub evaporated_m3: f64,
    /// Time of the day in which air fills less than a tenth of the blocks \[s\].
    pub airless_s: f64,
    /// Oxygen at the roots over that of air, mean of roots and day \[-\].
    pub oxygen: f64,
    /// Share of the roots that had less than 2.1 mg/L, mean over the day \[-\].
    pub starved: f64,
    /// Time until half of the roots are short of oxygen: under a flood that stays, and drained with no flood to come \[s\];
    /// infinite where two days do not make it so.
    pub stuffy_flooded_s: f64,
    /// … and drained.
    pub stuffy_drained_s: f64,
    /// The water account of the whole bench over that day: what it does not explain, over all water \[-\].
    pub ledger_error: f64,
    /// Time from a flood when the light goes on until the crop is short of water, day and night as they come and
    /// no other flood \[s\]; infinite where two weeks do not make it so.
    pub lasts_s: f64,
    /// Longest time from a pump's stop to its next start, by the program \[s\]; infinite without floods.
    pub longest_gap_s: f64,
    /// Days until one repeated itself.
    pub days: u32,
    /// Whether it did.
    pub periodic: bool,
}

/// The day of one tray's blocks, out of a [`crate::Scenario::crop_day`] of the same manner that kept its course; none
/// where no blocks stand.
///
/// # Errors
/// [`Stuck`] where the water in the blocks cannot be followed.
pub fn day(rig: &Rig, run: &Run, tray: usize, manner: Manner) -> Result<Option<RootDay>, Stuck> {
    let Some(stack) = Stack::of(rig, tray, manner) else { return Ok(None) };
    if run.blocks_lost.is_some() || run.blocks.len() <= tray {
        return Err(Stuck { after_s: run.end_s });
    }
    let Some(blocks) = rig.trays[tray].blocks.as_ref() else { return Ok(None) };
    let plants = blocks.count.get() * rig.growing.plants.get();
    let of = &run.blocks[tray];
    let demand = stack.demand();
    let mean = |f: &dyn Fn(&BlockMoment) -> f64| mean_over(&of.course, f);
    let asked = demand.water_a_day_m3();
    let deepest = run.highest_m[tray];
    Ok(Some(RootDay {
        tray,
        demand_per_plant_m3: asked / plants,
        lit_m3_s: demand.lit_m3_s,
        dark_m3_s: demand.dark_m3_s,
        fed_m3: run.totals[tray].fed_m3,
        taken_m3: of.moved.taken_m3,
        given_back_m3: of.moved.given_back_m3,
        drunk_m3: of.moved.drunk_m3,
        demand_m3: asked,
        evaporated_m3: of.moved.evaporated_m3,
        airless_s: DAY_S * mean(&|m| if m.air < 0.1 { 1.0 } else { 0.0 }),
        oxygen: mean(&|m| m.oxygen),
        starved: mean(&|m| m.starved),
        stuffy_flooded_s: stuffy_after(stack.clone(), deepest)?,
        stuffy_drained_s: stuffy_after(stack.clone(), f64::MIN)?,
        ledger_error: run.ledger.error,
        lasts_s: lasts(stack.clone(), deepest, rig.growing.on.get())?,
        longest_gap_s: longest_gap(rig, tray),
        days: run.days,
        periodic: run.periodic,
        course: of.course.clone(),
    }))
}

/// Mean of a figure over a course \[figure\].
pub fn mean_over(course: &[BlockMoment], f: &dyn Fn(&BlockMoment) -> f64) -> f64 {
    let mut sum = (0.0, 0.0);
    let mut from = 0.0;
    for m in course {
        let dt = (m.t_s - from).max(0.0);
        sum = (sum.0 + dt * f(m), sum.1 + dt);
        from = m.t_s;
    }
    if sum.1 > 0.0 { sum.0 / sum.1 } else { 0.0 }
}

/// How long plants find water after one flood `deep` \[m\] at time of day `at` \[s\], drained, with no other to follow \[s\].
///
/// # Errors
/// [`Stuck`] where the water in the blocks cannot be followed.
pub fn lasts(mut stack: Stack, deep: f64, at: f64) -> Result<f64, Stuck> {
    let deep = deep.max(stack.base_m() + SHALLOW_M);
    stack.advance((at, at + STRETCH_S), deep, f64::INFINITY, &mut |_| {})?;
    let begin = at + STRETCH_S;
    let mut t = 0.0;
    while t < DROUGHT_S {
        let mut supplied = 1.0;
        stack.advance((begin + t, begin + t + STRETCH_S), f64::MIN, 0.0, &mut |m| supplied = m.supplied)?;
        if supplied < SHORT {
            return Ok(t);
        }
        t += STRETCH_S;
    }
    Ok(f64::INFINITY)
}

/// Time until half of the roots are short of oxygen with water this deep in the tray \[s\], blocks fresh and at rest.
fn stuffy_after(mut stack: Stack, depth: f64) -> Result<f64, Stuck> {
    const LOOKED: f64 = 2.0 * DAY_S;
    let mut t = 0.0;
    while t < LOOKED {
        let step = (0.1 * t).clamp(30.0, STRETCH_S);
        let mut starved = 0.0;
        stack.advance((t, t + step), depth, f64::INFINITY, &mut |m| starved = m.starved)?;
        t += step;
        if starved >= 0.5 {
            return Ok(t);
        }
    }
    Ok(f64::INFINITY)
}

/// Longest time from a pump's stop to its next start by the program, around the clock \[s\].
fn longest_gap(rig: &Rig, tray: usize) -> f64 {
    let schedule = &rig.trays[tray].schedule;
    let (starts, run) = (schedule.starts.borrowed(), schedule.run.get().value);
    let Some(first) = starts.first() else { return f64::INFINITY };
    let nexts = starts.iter().skip(1).copied().chain([first + DAY_S]);
    starts.iter().zip(nexts).map(|(start, next)| (next - start - run).max(0.0)).fold(0.0, f64::max)
}
