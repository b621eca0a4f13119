//! The timer program of each stage: the fewest floods, and the shortest, with which the blocks neither run dry
//! nor lose their air at the bad end of what is not known.
//!
//! Every program that is tried is a day of the whole bench with its blocks as columns, until it repeats itself; see
//! `trial` for what is asked of it and `spread` for where floods are put.

mod spread;
mod trial;

pub use trial::{AIR_LOST, Judged, Offer};

use crate::survey::crop::DRY_END;
use spread::Spread;
use tidewright_physics::quantity::s as seconds;
use tidewright_rig::Rig;
use tidewright_rig::bench::Stage;
use tidewright_rig::value::{Birth, Value};
use tidewright_sim::stack::{Demand, Manner, Stack, transpiration_a_day_m};
use tidewright_sim::{roots, split};
use trial::Ask;

/// Most floods that are tried in the light. Common practice: up to ten a day in media that hold least.
const MOST_FLOODS: usize = 16;
/// Suction at which a plug's new roots still find water freely \[m\]; ours, no source.
const PLUG_MOIST_M: f64 = 0.3;

/// The program of one stage.
#[derive(Clone, Debug, serde::Serialize)]
pub struct StageProgram {
    /// Which stage.
    pub stage: Stage,
    /// First and last day on the bench.
    pub days: (f64, f64),
    /// What a plant asks for \[m³/day\]: likely.
    pub demand_per_plant_m3: f64,
    /// What the tray asks for \[m³/day\]: likely, and at the thirsty end.
    pub demand_m3: (f64, f64),
    /// What is offered; none where no number of floods keeps the roots wet.
    pub offer: Option<Offer>,
    /// What the bench's file has.
    pub written: Offer,
    /// Others beside it, by number of floods.
    pub others: Vec<Offer>,
    /// How long one flood lasts at the dry end \[s\].
    pub lasts_s: f64,
    /// Only for rooting.
    pub first_days: Option<FirstDays>,
}

/// What the first days ask for.
#[derive(Clone, Copy, Debug, serde::Serialize)]
pub struct FirstDays {
    /// Water that one block takes when soaked through \[m³\].
    pub soak_m3: f64,
    /// Height of the plug's underside over the blocks' undersides \[m\].
    pub plug_m: f64,
    /// How high the flood stands over the blocks' undersides \[m\].
    pub flood_m: f64,
    /// Whether the block lifts water to the plug's underside by itself, at its dry end.
    pub lifted: bool,
}

impl FirstDays {
    /// Whether the flood itself reaches the plug.
    pub fn reached(&self) -> bool {
        self.flood_m >= self.plug_m
    }

    /// Whether somebody has to water the plugs until roots leave them.
    pub fn by_hand(&self) -> bool {
        !self.reached() && !self.lifted
    }
}

/// The programs of one tray's crop, stage by stage; none where no blocks stand. `done` hears of each stage.
pub fn programs(rig: &Rig, tray: usize, done: &(dyn Fn(Stage) + Sync)) -> Option<Vec<StageProgram>> {
    let alone = alone(rig, tray)?;
    let spread = Spread::of(&alone, tray);
    let all = split::map(Stage::ALL.len(), |i| {
        let stage = Stage::ALL[i];
        let program = of_stage(&at_stage(&alone, stage), tray, stage, &spread);
        done(stage);
        program
    });
    all.into_iter().collect()
}

/// The bench with a crop in this stage, its leaves those of the crop's. Plants that were weighed tell what the others
/// will drink, in proportion to what their canopies ask for.
pub fn at_stage(rig: &Rig, stage: Stage) -> Rig {
    let mut rig = rig.clone();
    let g = &mut rig.growing;
    if g.stage.get() == stage {
        return rig;
    }
    let from = || Birth::Derived { from: format!("the {} stage", stage.word()) };
    let before = transpiration_a_day_m(g);
    let (area, cover) = g.crop.leaves(stage);
    (g.leaf_area, g.cover) = (Value::new(area, from()), Value::new(cover, from()));
    g.stage = Value::new(stage, from());
    let factor = transpiration_a_day_m(g) / before.max(1e-12);
    if let Some(d) = &mut g.drinks {
        *d = Value::new(d.get() * factor, from());
    }
    rig
}

/// The bench with the blocks and floods of one tray only.
fn alone(rig: &Rig, tray: usize) -> Option<Rig> {
    rig.trays.get(tray)?.blocks.as_ref()?;
    let mut rig = rig.clone();
    for (i, t) in rig.trays.iter_mut().enumerate() {
        if i != tray {
            t.blocks = None;
            t.schedule.starts = Value::new(Vec::new(), Birth::Derived { from: "left out".into() });
        }
    }
    Some(rig)
}

/// The bench with this program.
fn with_program(rig: &Rig, tray: usize, starts: &[f64], run_s: f64) -> Rig {
    let mut rig = rig.clone();
    let birth = || Birth::Derived { from: "a program that is tried".into() };
    rig.trays[tray].schedule.starts = Value::new(starts.to_vec(), birth());
    rig.trays[tray].schedule.run = Value::new(seconds(run_s), birth());
    rig
}

fn of_stage(rig: &Rig, tray: usize, stage: Stage, spread: &Spread) -> Option<StageProgram> {
    let blocks = rig.trays[tray].blocks.as_ref()?;
    let plants = blocks.count.get() * rig.growing.plants.get();
    let demand = Demand::of(rig, tray, blocks, 1.0).water_a_day_m3();
    let dry = Stack::of(rig, tray, DRY_END)?;
    let flood_m = spread.deepest_m - blocks.base.get().value;
    let lasts_s = roots::lasts(dry.clone(), spread.deepest_m, rig.growing.on.get()).ok()?;
    let ask = Ask { rig, tray, lasts_s };
    let (offer, nearest) = search(&ask, spread, lasts_s);
    let mut others = Vec::new();
    if let Some(o) = &offer {
        let n = o.starts.len();
        for other in [n.saturating_sub(1), n + 1, 2 * n] {
            if other > 0
                && other <= 2 * MOST_FLOODS
                && other != n
                && others.iter().all(|x: &Offer| x.starts.len() != other)
            {
                others.extend(ask.judge(&spread.starts(other, false), o.run_s));
            }
        }
    } else {
        others.extend(nearest);
    }
    let schedule = &rig.trays[tray].schedule;
    let written = ask.judge(schedule.starts.borrowed(), schedule.run.get().value)?;
    let first_days = (stage == Stage::Rooting).then(|| {
        let height = blocks.total_height().value;
        let plug_m = height - rig.growing.plug.get().value.min(height);
        let still = Stack::of(rig, tray, Manner::STILL).map_or(0.0, |s| s.water_m3());
        FirstDays {
            soak_m3: still / blocks.count.get(),
            plug_m,
            flood_m,
            lifted: plug_m <= PLUG_MOIST_M && dry.lifts_to(plug_m) >= LIFTED,
        }
    });
    Some(StageProgram {
        stage,
        days: rig.growing.crop.span(stage),
        demand_per_plant_m3: demand / plants,
        demand_m3: (demand, demand * DRY_END.thirst),
        offer,
        written,
        others,
        lasts_s,
        first_days,
    })
}

/// Share of saturation that a block still has where a plug's roots are to start \[-\]: ours, no source.
const LIFTED: f64 = 0.25;

/// Tries from the fewest floods on; beside what fits, the best of what does not.
fn search(ask: &Ask<'_>, spread: &Spread, lasts_s: f64) -> (Option<Offer>, Option<Offer>) {
    let mut wet: Option<Offer> = None;
    let mut nearest: Option<(f64, Vec<f64>, f64)> = None;
    let fewest = (spread.lit_s / lasts_s.max(900.0)).floor().clamp(1.0, MOST_FLOODS as f64) as usize;
    let mut since_better = 0;
    for floods in (fewest..=MOST_FLOODS).filter(|n| *n <= 6 || n % 2 == 0) {
        let mut better = false;
        'lengths: for run_s in spread.minutes() {
            for night in [false, true] {
                let starts = spread.starts(floods, night);
                let Some(dry) = ask.dry_end(&starts, run_s) else { continue };
                if dry.keeps_wet() {
                    let Some(offer) = ask.judge(&starts, run_s) else { continue };
                    if offer.judged.keeps_air() {
                        return (Some(offer), None);
                    }
                    wet.get_or_insert(offer);
                    break 'lengths;
                }
                if nearest.as_ref().is_none_or(|n| dry.supplied > n.0 + 0.01) {
                    nearest = Some((dry.supplied, starts, run_s));
                    better = true;
                }
                // A flood at night helps only where the night is what dries.
                if !dry.at_night {
                    break;
                }
            }
        }
        // More floods do not bring more air than the fewest did: what keeps wet is offered and its air told. Nor do they
        // bring more water where the last few did not.
        since_better = if better { 0 } else { since_better + 1 };
        if (wet.is_some() && floods > fewest) || since_better >= 4 {
            break;
        }
    }
    if wet.is_some() {
        return (wet, None);
    }
    (None, nearest.and_then(|(_, starts, run_s)| ask.judge(&starts, run_s)))
}
