//! A day of one tray's blocks: floods wet them and roots dry them, from midnight to midnight
//! until the day repeats itself.
//!
//! The tray's level over the day comes from a run of the flood; the water that blocks take and give acts on
//! that run by its own first-order law, not yet by this one.

use crate::block::{Around, Column, Exchange, Layer, Roots, Settings, Stuck};
use crate::flood::Store;
use crate::run::Run;
use std::sync::Arc;
use tidewright_physics::media::{Hydraulic, Porous, Tabulated};
use tidewright_physics::quantity::celsius;
use tidewright_physics::transpiration::Canopy;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Blocks, Growing, Stage};

const DAY_S: f64 = 86_400.0;
/// Height of a cell about the middle of a block \[m\].
const CELL_M: f64 = 0.004;
/// Change of the level beside the blocks that is worth a step of its own \[m\].
const LEVEL_STEP_M: f64 = 0.003;
/// Over the water that does not run back, where a tray counts as run dry \[m\].
const STILL_M: f64 = 0.0004;
/// Longest stretch in one go \[s\].
const STRETCH_S: f64 = 900.0;
/// Days after which a bench that dries or fills without end is taken as it is.
const MOST_DAYS: u32 = 8;
/// Photons per energy of a white lamp \[µmol/J\]. Source: between 4.6 and 4.8 by spectrum (from memory).
const PHOTONS_UMOL_J: f64 = 4.7;
/// Reflected by leaves, and resistance of still air \[s/m\]. Source: Graamans et al. 2017 (from memory).
const REFLECTED: f64 = 0.05;
const AIR_RESISTANCE_S_M: f64 = 100.0;
/// Heads between which roots drink freely \[m\]: dry end by our own start values for soilless media, no source; the
/// wet end is left open, since roots in wet parts are made up for by others and want of air is another question.
const STRESS_M: [f64; 4] = [2.0, 1.0, -0.5, -1.0];
/// Roots count as short of water below this share of their demand \[-\].
const SHORT: f64 = 0.9;
/// How long without a flood is looked at \[s\].
const DROUGHT_S: f64 = 14.0 * DAY_S;

/// The blocks of a tray at one moment.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct BlockMoment {
    /// After midnight \[s\].
    pub t_s: f64,
    /// Mean water content \[-\].
    pub mean: f64,
    /// Content of the top cell \[-\].
    pub top: f64,
    /// Content of the lowest cell \[-\].
    pub base: f64,
    /// Mean air-filled porosity \[-\].
    pub air: f64,
    /// Share of its demand that the crop gets \[-\].
    pub supplied: f64,
}

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
    /// What the pump brings into the tray in that day \[m³\]: more than this the blocks cannot take.
    pub fed_m3: f64,
    /// Time of the day in which air fills less than a tenth of the blocks \[s\].
    pub airless_s: f64,
    /// Taken up from floods and puddles in the day, all blocks \[m³\].
    pub taken_m3: f64,
    /// Given back to the tray \[m³\].
    pub given_back_m3: f64,
    /// Drunk \[m³\].
    pub drunk_m3: f64,
    /// Asked for \[m³\].
    pub demand_m3: f64,
    /// What the account does not explain, over the water in the blocks \[-\].
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

/// What a canopy in this room and light transpires \[m³/(s m²)\]: lit, dark.
pub fn transpiration_m_s(g: &Growing) -> (f64, f64) {
    let canopy = |air: f64, humidity: f64, photons: f64| {
        let c = Canopy {
            air: celsius(air),
            humidity,
            photons_umol_m2_s: photons,
            photons_umol_j: PHOTONS_UMOL_J,
            leaf_area: g.leaf_area.get(),
            cover: g.cover.get(),
            reflected: REFLECTED,
            air_resistance_s_m: AIR_RESISTANCE_S_M,
        };
        (1e-3 * c.flux().water_kg_m2_s()).max(0.0)
    };
    let degc = |t: tidewright_physics::quantity::ThermodynamicTemperature| t.value - 273.15;
    (
        canopy(degc(g.day.get()), g.humidity_day.get(), 1e6 * g.photons.get().value),
        canopy(degc(g.night.get()), g.humidity_night.get(), 0.0),
    )
}

/// A stretch of the day in which nothing around the block changes much.
struct Stretch {
    from: f64,
    to: f64,
    /// Level over the blocks' underside \[m\].
    level: f64,
    /// The tray has run dry down to its puddle: what stands there is all that the blocks can have.
    puddle: bool,
}

/// The puddle that a flood leaves, until the blocks have drunk it.
struct Puddle {
    store: Store,
    /// Water in it \[m³\].
    water: f64,
    base: f64,
}

impl Puddle {
    /// Its level over the blocks' underside \[m\].
    fn level(&self) -> f64 {
        (self.store.depth(self.water, self.base) - self.base).max(0.0)
    }
}

/// The day of one tray's blocks, over a run of the flood that kept its course; none where no blocks stand.
///
/// # Errors
/// [`Stuck`] where the water in the block cannot be followed.
pub fn day(rig: &Rig, run: &Run, tray: usize) -> Result<Option<RootDay>, Stuck> {
    let Some(blocks) = rig.trays.get(tray).and_then(|t| t.blocks.as_ref()) else { return Ok(None) };
    let g = &rig.growing;
    let plan = blocks.plan_area().value;
    let plants = blocks.count.get() * g.plants.get();
    let (lit, dark) = demand_m3_s(rig, tray, plants);
    let mut block = column(blocks);
    let shares = root_shares(&block, g.stage.get());
    let around = |level: f64, flow: f64| Around {
        roots: Some(Roots { demand_m_s: flow / plan, shares: shares.clone(), stress_m: STRESS_M }),
        ..if level > 1e-4 { Around::flooded(level, blocks.wrapped.get()) } else { Around::drained() }
    };
    let settings = Settings { content: 1e-3, ..Settings::default() };
    let Some((store, stays)) = crate::flood::store_of(rig, tray) else { return Ok(None) };
    let stretches = stretches(run, tray, (blocks.base.get().value, stays), g);
    let rate = |t: f64| if g.is_lit(t) { lit } else { dark };
    let deepest = stretches.iter().map(|s| s.level).fold(0.0, f64::max);
    let mut puddle = Puddle { store, water: 0.0, base: blocks.base.get().value };
    let mut days = 0;
    loop {
        let start = block.water_m();
        let (mut course, mut sum, mut taken, mut back) = (Vec::new(), Exchange::default(), 0.0, 0.0);
        let mut demand = 0.0;
        for s in &stretches {
            let flow = rate(0.5 * (s.from + s.to));
            let full = puddle.store.volume(puddle.base + s.level);
            if !s.puddle {
                puddle.water = full;
            }
            let mut moved = Exchange::default();
            let mut at = s.from;
            while s.to - at > 1e-6 {
                let level = if s.puddle { puddle.level() } else { s.level };
                // A puddle is not left unlooked at for longer than half of it may last.
                let look = if s.puddle && level > 0.0 {
                    (0.5 * puddle.water / flow).clamp(60.0, STRETCH_S)
                } else {
                    STRETCH_S
                };
                let mut step = look.min(s.to - at);
                let before = block.clone();
                let mut now = block.advance(step, &around(level, flow), &settings)?;
                // Nobody drinks more than there is.
                while s.puddle && (now.base_m + now.sides_m) * plan > puddle.water + 1e-9 && step > 0.5 {
                    step *= 0.25;
                    block.clone_from(&before);
                    now = block.advance(step, &around(level, flow), &settings)?;
                }
                let net = now.base_m + now.sides_m;
                if net > 0.0 {
                    taken += net
                } else {
                    back -= net
                }
                if s.puddle {
                    // What is given back beyond a full puddle runs off.
                    puddle.water = (puddle.water - net * plan).clamp(0.0, full);
                }
                moved += now;
                at += step;
            }
            let asked = flow * (s.to - s.from);
            demand += asked;
            sum += moved;
            let supplied = if asked > 0.0 { -moved.roots_m * plan / asked } else { 1.0 };
            course.push(moment(&block, s.to, supplied));
        }
        days += 1;
        let end = block.water_m();
        let periodic = (end - start).abs() < 1e-3 * start;
        if periodic || days >= MOST_DAYS {
            return Ok(Some(RootDay {
                tray,
                demand_per_plant_m3: demand / plants,
                lit_m3_s: lit,
                dark_m3_s: dark,
                taken_m3: taken * plan,
                given_back_m3: back * plan,
                fed_m3: run.totals.get(tray).map_or(0.0, |t| t.fed_m3),
                airless_s: airless_s(&course),
                drunk_m3: -sum.roots_m * plan,
                demand_m3: demand,
                ledger_error: ((end - start - sum.total_m()) / start).abs(),
                lasts_s: lasts(blocks, &around, deepest, (g.on.get(), &rate))?,
                longest_gap_s: longest_gap(rig, tray),
                days,
                periodic,
                course,
            }));
        }
    }
}

/// Transpiration of a tray \[m³/s\], lit and dark: the canopy's, or what plants were measured to drink, shared
/// between day and night as the canopy would.
fn demand_m3_s(rig: &Rig, tray: usize, plants: f64) -> (f64, f64) {
    let g = &rig.growing;
    let (lit, dark) = transpiration_m_s(g);
    let area = rig.trays[tray].shape.si().area(rig.trays[tray].rim().value);
    let factor = match &g.drinks {
        None => area,
        Some(d) => {
            let lit_s = g.lit.get().value;
            let of_canopy = lit * lit_s + dark * (DAY_S - lit_s);
            let drunk = d.get().value * plants;
            if of_canopy <= 0.0 {
                // A canopy that gives nothing off does not say when: evenly.
                return (drunk, drunk);
            }
            drunk * DAY_S / of_canopy
        }
    };
    (lit * factor, dark * factor)
}

fn column(blocks: &Blocks) -> Column {
    let retention = blocks.medium.retention;
    let medium: Arc<dyn Porous> =
        Arc::new(Tabulated::of(Arc::new(Hydraulic { retention, ks_m_s: blocks.medium.ks_m_s, connection: 0.5 })));
    let layers = (blocks.layers.get() as usize).max(1);
    let height = blocks.height.get().value;
    let cells = ((height / CELL_M).ceil() as usize).clamp(10, 60);
    let layer = Layer::graded(medium, height, cells, 1.06);
    Column::resting(&vec![layer; layers])
}

/// Roots spread evenly; before they leave the plug they stand in the upper half.
fn root_shares(block: &Column, stage: Stage) -> Vec<f64> {
    let from = if stage == Stage::Rooting { 0.5 * block.height_m() } else { 0.0 };
    let sizes = block.sizes_m();
    let in_reach = |i: usize| if block.heights_m()[i] >= from { sizes[i] } else { 0.0 };
    let all: f64 = (0..sizes.len()).map(in_reach).sum();
    (0..sizes.len()).map(|i| in_reach(i) / all).collect()
}

fn moment(block: &Column, t_s: f64, supplied: f64) -> BlockMoment {
    let c = block.contents();
    let (sizes, air) = (block.sizes_m(), block.air());
    BlockMoment {
        t_s,
        mean: block.mean_content(),
        top: c.last().copied().unwrap_or(0.0),
        base: c.first().copied().unwrap_or(0.0),
        air: air.iter().zip(sizes).map(|(a, d)| a * d).sum::<f64>() / block.height_m(),
        supplied,
    }
}

/// Time in which air fills less than a tenth of the blocks \[s\].
fn airless_s(course: &[BlockMoment]) -> f64 {
    let from = std::iter::once(0.0).chain(course.iter().map(|m| m.t_s));
    from.zip(course).filter(|(_, m)| m.air < 0.1).map(|(from, m)| m.t_s - from).sum()
}

/// The day cut where the level, or the light, changes; `base` is the height of the blocks' underside and `stays` that
/// of the water that does not run back \[m\].
fn stretches(run: &Run, tray: usize, (base, stays): (f64, f64), g: &Growing) -> Vec<Stretch> {
    let on = g.on.get();
    let off = (on + g.lit.get().value).rem_euclid(DAY_S);
    let level = |m: &crate::run::Moment| (m.trays[tray].depth_m - base).max(0.0);
    let still = (stays - base).max(0.0) + STILL_M;
    let mut out: Vec<Stretch> = Vec::new();
    let mut cut = |from: f64, to: f64, level: f64| {
        let mut at = from;
        while to - at > 1e-6 {
            let lights = [on, off].into_iter().filter(|t| *t > at + 1e-6 && *t < to).fold(to, f64::min);
            let next = lights.min(at + STRETCH_S);
            out.push(Stretch { from: at, to: next, level, puddle: level <= still });
            at = next;
        }
    };
    let (mut from, mut held) = (0.0, run.course.first().map_or(0.0, level));
    for m in &run.course {
        let now = level(m);
        // The first water and the last matter, not each millimetre.
        let crosses = (now > still) != (held > still);
        if m.t_s > from && (crosses || (now - held).abs() > LEVEL_STEP_M) {
            cut(from, m.t_s.min(DAY_S), if crosses { held } else { 0.5 * (held + now) });
            (from, held) = (m.t_s.min(DAY_S), now);
        }
    }
    cut(from, DAY_S, held);
    out
}

/// How long plants find water after one flood `deep` \[m\] as the light goes on, drained, with no other to follow \[s\].
fn lasts(
    blocks: &Blocks,
    around: &dyn Fn(f64, f64) -> Around,
    deep: f64,
    (on, rate): (f64, &dyn Fn(f64) -> f64),
) -> Result<f64, Stuck> {
    let mut block = column(blocks);
    let settings = Settings { content: 1e-3, ..Settings::default() };
    let deep = if deep > 2.0 * STILL_M { deep } else { 0.5 * block.height_m() };
    block.advance(STRETCH_S, &around(deep, rate(on)), &settings)?;
    let plan = blocks.plan_area().value;
    let mut t = 0.0;
    while t < DROUGHT_S {
        let flow = rate((on + t + 0.5 * STRETCH_S) % DAY_S);
        let moved = block.advance(STRETCH_S, &around(0.0, flow), &settings)?;
        if -moved.roots_m * plan < SHORT * flow * STRETCH_S {
            return Ok(t);
        }
        t += STRETCH_S;
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
