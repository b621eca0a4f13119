//! Light on the canopy of a tray: its map, its day's sum by stage, the height that gives what the crop likes, what it costs.

use serde::Serialize;
use tidewright_physics::light::{dli_mol_m2_d, ppfd_for_dli};
use tidewright_physics::numerics::root;
use tidewright_physics::quantity::{Length, m};
use tidewright_rig::Rig;
use tidewright_rig::bench::{Crop, Stage};
use tidewright_rig::light::{QUICK, canopy_height, map};

pub use tidewright_physics::light::lamp::Map;
pub use tidewright_rig::light::FINE;

/// Lamps are looked at between these heights over the canopy \[m\].
const NEAREST_M: f64 = 0.08;
const FARTHEST_M: f64 = 2.5;

/// Light over one tray.
#[derive(Clone, Debug, Serialize)]
pub struct Light {
    /// Which tray.
    pub tray: usize,
    /// Stage by stage.
    pub stages: Vec<StageLight>,
    /// The stage of now, in that list.
    pub now: usize,
    /// Light of a day that the crop likes \[mol/(m² d)\].
    pub liked_dli: [f64; 2],
    /// Hours lit.
    pub hours: f64,
    /// The height that gives the middle of it now.
    pub hanging: Option<Hanging>,
    /// Lamp power over this tray \[W\].
    pub power_w: f64,
    /// Photons that lamps give, and that land on the canopy \[µmol/s\].
    pub emitted_umol_s: f64,
    /// Photons that land on the canopy \[µmol/s\].
    pub caught_umol_s: f64,
    /// A day \[kWh\].
    pub energy_kwh_d: f64,
}

/// Light in one stage, the lamps where they are.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct StageLight {
    /// Which.
    pub stage: Stage,
    /// Canopy above the tray floor \[m\].
    pub canopy_m: f64,
    /// Lowest lamp over that canopy \[m\].
    pub over_m: f64,
    /// Mean PPFD \[µmol/(m² s)\].
    pub mean: f64,
    /// Least.
    pub least: f64,
    /// Most.
    pub most: f64,
    /// Light of a day \[mol/(m² d)\].
    pub dli: f64,
}

/// Where the lamps should hang.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hanging {
    /// PPFD that is wanted \[µmol/(m² s)\].
    pub wanted: f64,
    /// Height of the lowest lamp over the canopy that gives it; none where no height does \[m\].
    pub over_m: Option<f64>,
    /// Least over mean there \[-\].
    pub uniformity: f64,
    /// What the nearest and the farthest height looked at give \[µmol/(m² s)\].
    pub reach: (f64, f64),
}

/// Height of a plant in a stage.
pub fn plant_height(crop: &Crop, stage: Stage) -> Length {
    m(crop.habit.height_m * Crop::height_share(stage))
}

/// The map of a tray's lamps at its canopy as it stands now; none without lamps over it.
pub fn map_now(rig: &Rig, tray: usize, points: (usize, usize)) -> Option<Map> {
    let plant = plant_height(&rig.growing.crop, rig.growing.stage.get());
    map(&rig.lamps, rig.trays.get(tray)?, tray, rig.walls.get(), plant, points)
}

/// Light over one tray; none without lamps over it.
pub fn of(rig: &Rig, tray: usize) -> Option<Light> {
    let t = rig.trays.get(tray)?;
    let g = &rig.growing;
    let own = || rig.lamps.iter().filter(move |l| l.tray == tray);
    own().next()?;
    let hours = g.lit.get().value / 3600.0;
    let stages: Vec<StageLight> = Stage::ALL
        .into_iter()
        .filter(|s| g.crop.span(*s).1 >= g.crop.span(*s).0)
        .filter_map(|stage| in_stage(rig, tray, stage))
        .collect();
    let now = stages.iter().position(|s| s.stage == g.stage.get()).unwrap_or(0);
    let emitted: f64 = own().map(|l| 1e6 * l.photons.get().value).sum();
    let power: f64 = own().map(|l| l.power.get().value).sum();
    let caught = stages.get(now).map_or(0.0, |s| s.mean) * t.shape.area_at(t.rim()).value;
    Some(Light {
        tray,
        now,
        liked_dli: g.crop.habit.dli,
        hours,
        hanging: hanging(rig, tray),
        power_w: power,
        emitted_umol_s: emitted,
        caught_umol_s: caught,
        energy_kwh_d: power * hours / 1000.0,
        stages,
    })
}

/// Light over one tray as the crop stands now; none without lamps over it.
pub fn now(rig: &Rig, tray: usize) -> Option<StageLight> {
    in_stage(rig, tray, rig.growing.stage.get())
}

/// Lowest lamp over a tray's floor \[m\].
pub(crate) fn lowest_m(rig: &Rig, tray: usize) -> Option<f64> {
    rig.lamps.iter().filter(|l| l.tray == tray).map(|l| l.height.get().value).reduce(f64::min)
}

fn in_stage(rig: &Rig, tray: usize, stage: Stage) -> Option<StageLight> {
    let t = rig.trays.get(tray)?;
    let plant = plant_height(&rig.growing.crop, stage);
    let map = map(&rig.lamps, t, tray, rig.walls.get(), plant, QUICK)?;
    let canopy = canopy_height(t, plant).value;
    Some(StageLight {
        stage,
        canopy_m: canopy,
        over_m: lowest_m(rig, tray)? - canopy,
        mean: map.mean(),
        least: map.least(),
        most: map.most(),
        dli: dli_mol_m2_d(map.mean(), rig.growing.lit.get().value / 3600.0),
    })
}

/// All lamps of the tray lifted together until the mean is what the crop likes.
pub fn hanging(rig: &Rig, tray: usize) -> Option<Hanging> {
    let t = rig.trays.get(tray)?;
    let lowest = lowest_m(rig, tray)?;
    let g = &rig.growing;
    let [low, high] = g.crop.habit.dli;
    let wanted = ppfd_for_dli(0.5 * (low + high), g.lit.get().value / 3600.0);
    let canopy = canopy_height(t, plant_height(&g.crop, g.stage.get()));
    let at = |over: f64| {
        let shift = canopy.value + over - lowest;
        let mut lamps = rig.lamps.clone();
        for l in lamps.iter_mut().filter(|l| l.tray == tray) {
            l.height = tidewright_rig::Value::new(l.height.get() + m(shift), l.height.birth.clone());
        }
        map(&lamps, t, tray, rig.walls.get(), plant_height(&g.crop, g.stage.get()), QUICK)
    };
    let mean = |over: f64| at(over).map_or(0.0, |m| m.mean());
    let reach = (mean(NEAREST_M), mean(FARTHEST_M));
    let over = root::bracketed(NEAREST_M, FARTHEST_M, 1e-3, |h| mean(h) - wanted);
    let uniformity = at(over.unwrap_or(NEAREST_M))?.uniformity().0;
    Some(Hanging { wanted, over_m: over, uniformity, reach })
}
