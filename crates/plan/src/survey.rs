//! The runs that judgement needs: the bench as it is, worn, fouled, stuck, dry, and its bands.

pub mod crop;

use crate::climate::Climate;
use crate::solution::outlook::{Outlook, outlook};
use crop::Crop;
use tidewright_physics::quantity::{Length, m};
use tidewright_rig::Rig;
use tidewright_rig::bench::{Moisture, Tray};
use tidewright_rig::units::System;
use tidewright_sim::band::{Band, Figure, TrayBands, bands, moments};
use tidewright_sim::roots::RootDay;
use tidewright_sim::scenario::{Faults, Keep, Options, Start};
use tidewright_sim::{Draw, EventKind, Knobs, Run, Scenario, draw::Input, run, split};

/// The runs of one tray.
pub struct TraySurvey {
    /// One flood, everything at its middle, with its course.
    pub flood: Run,
    /// The same with a worn pump.
    pub worn: Run,
    /// The same with a fouled strainer and the pump at its best.
    pub fouled: Run,
    /// Drowned riser that never primes, pump at its best.
    pub vented: Run,
    /// Drowned riser that runs full, pump at its best.
    pub primed: Run,
    /// Timer stuck on with every riser blocked.
    pub stuck: Run,
    /// One flood with every riser blocked.
    pub blocked: Run,
    /// First flood on media as bought.
    pub dry: Option<Run>,
    /// Low, likely, high.
    pub bands: TrayBands,
}

/// Everything that rules look at.
pub struct Survey {
    /// The bench.
    pub rig: Rig,
    /// A day of the timer that repeats itself.
    pub day: Run,
    /// Tray by tray.
    pub trays: Vec<TraySurvey>,
    /// Its blocks with their crop, where they were followed.
    pub crop: Option<Crop>,
    /// Its heat and oxygen, where they were followed.
    pub climate: Option<Climate>,
    /// Its solution and what becomes of it, where the bench file has a section on it.
    pub solution: Option<Outlook>,
}

/// How many runs a quick look makes its bands from.
pub const QUICK_RUNS: usize = 40;
/// How many runs are enough to try an offered change or to settle a crest.
pub(crate) const TRIAL_RUNS: usize = 32;

impl Survey {
    /// Makes all runs, the day's and each flood's with its course; `runs` is the size of the sample behind
    /// the bands.
    pub fn of(rig: &Rig, runs: usize) -> Self {
        Self::with(rig, Keep::Course, |i, flood| bands(rig, i, runs, &moments(flood, i)))
    }

    /// The same with the solution, where the bench file has a section on it, and with blocks as columns and their crop: the day's run is then that of the bench as the crop drinks
    /// from it, and each flood's that of blocks as columns.
    pub fn with_crop(rig: &Rig, runs: usize) -> Self {
        let (mut survey, (mut crop, floods)) = split::both(
            || Self::of(rig, runs),
            || split::both(|| Crop::of(rig), || split::map(rig.trays.len(), |i| crop::flood(rig, i))),
        );
        if crop.lost.is_none() && crop.days().next().is_some() {
            survey.day = std::mem::take(&mut crop.day);
            for (tray, flood) in survey.trays.iter_mut().zip(floods) {
                tray.flood = flood;
            }
        }
        let back = crop.likely.iter().flatten().map(|d| d.oxygen).reduce(f64::min);
        survey.climate = Climate::of(rig, Some(&survey.day), back);
        survey.crop = Some(crop);
        survey.solution = rig.mixing.stated.then(|| outlook(rig));
        survey
    }

    /// Bands of one tray only, the others with the least sample: enough to advise on that one.
    pub(crate) fn of_one(rig: &Rig, tray: usize, runs: usize) -> Self {
        Self::with(rig, Keep::Events, |i, _| bands(rig, i, if i == tray { runs } else { 2 }, &[]))
    }

    /// Enough to see what an offered change does.
    pub(crate) fn trial(rig: &Rig) -> Self {
        Self::with(rig, Keep::Events, |i, _| bands(rig, i, TRIAL_RUNS, &[]))
    }

    fn with(rig: &Rig, keep: Keep, bands: impl Fn(usize, &Run) -> TrayBands + Sync) -> Self {
        let options = Options { keep, ..Options::default() };
        let (day, trays) = split::both(
            || run(rig, &Scenario { options, ..Scenario::day(rig) }),
            || split::map(rig.trays.len(), |i| tray(rig, i, &bands)),
        );
        Self { rig: rig.clone(), day, trays, crop: None, climate: None, solution: None }
    }

    /// Every tray with its number and its runs.
    pub fn each(&self) -> impl Iterator<Item = View<'_>> {
        self.trays.iter().enumerate().map(|(index, runs)| View {
            survey: self,
            index,
            runs,
            tray: &self.rig.trays[index],
        })
    }

    /// The user's units.
    pub fn units(&self) -> System {
        self.rig.system
    }
}

fn tray(rig: &Rig, i: usize, bands: &(impl Fn(usize, &Run) -> TrayBands + Sync)) -> TraySurvey {
    // Worn, fouled, blocked: what they are compared with is far coarser than this.
    let brief = Options { keep: Keep::Events, rtol: 1e-5, ..Options::default() };
    let base = Scenario { options: brief, ..Scenario::flood_of(rig, i) };
    let with = |knobs: Knobs, faults: Faults| run(rig, &Scenario { knobs, faults, ..base.clone() });
    let none = Faults::default();
    let nominal = Knobs::nominal(rig);
    let strong = Knobs::at(rig, &Draw::MIDDLE.with(Input::PumpFlow, 0.95).with(Input::CurveShape, 0.9));
    let dry_media = rig.trays[i].blocks.as_ref().is_some_and(|b| b.start.get() == Moisture::Dry);
    let flood = run(rig, &Scenario::flood_of(rig, i));
    let (bands, others) = split::both(
        || bands(i, &flood),
        || {
            let worn = with(nominal.clone().worn(rig), none);
            let fouled = with(strong.clone(), Faults { fouled: true, ..none });
            let vented = with(Knobs { priming: 0.0, ..strong.clone() }, none);
            let primed = with(Knobs { priming: 1.0, ..strong }, none);
            let blocked = with(nominal, Faults { risers_blocked: true, ..none });
            let stuck = run(rig, &Scenario { options: brief, ..Scenario::stuck_and_blocked(rig, i) });
            let dry = dry_media.then(|| run(rig, &Scenario { start: Start::Dry, ..base.clone() }));
            (worn, fouled, vented, primed, blocked, stuck, dry)
        },
    );
    let (worn, fouled, vented, primed, blocked, stuck, dry) = others;
    TraySurvey { flood, worn, fouled, vented, primed, stuck, blocked, dry, bands }
}

/// One tray under judgement.
#[derive(Clone, Copy)]
pub struct View<'s> {
    /// The whole survey.
    pub survey: &'s Survey,
    /// Which tray.
    pub index: usize,
    /// Its runs.
    pub runs: &'s TraySurvey,
    /// The tray.
    pub tray: &'s Tray,
}

impl<'s> View<'s> {
    /// The days of this tray's blocks: likely, at the dry end, at the end that wants for air.
    pub fn blocks(&self) -> Option<(&'s RootDay, &'s RootDay, &'s RootDay)> {
        let crop = self.survey.crop.as_ref()?;
        let of = |days: &'s [Option<RootDay>]| days.get(self.index)?.as_ref();
        Some((of(&crop.likely)?, of(&crop.dry)?, of(&crop.stuffy)?))
    }

    /// A band.
    pub fn band(&self, figure: Figure) -> &'s Band {
        self.runs.bands.get(figure)
    }

    /// A name to begin a sentence with, empty where there is but one tray.
    pub fn who(&self) -> String {
        if self.survey.trays.len() == 1 { String::new() } else { format!("{}: ", self.tray.name) }
    }

    /// The dotted key of a field of this tray's section, or of a shared section of a one-tray bench.
    pub fn key(&self, field: &str) -> String {
        let prefix = self.survey.rig.sheet.iter().find_map(|l| {
            let many = format!("tray[{}].{field}", self.index);
            if l.path == many { Some(many) } else { None }
        });
        prefix.unwrap_or_else(|| {
            let own = ["drain.", "blocks.", "bed."].iter().any(|s| field.starts_with(s));
            let nested = format!("tray.{field}");
            if own && !self.survey.rig.sheet.iter().any(|l| l.path == nested) { field.to_owned() } else { nested }
        })
    }

    /// Least height that must stay dry: the block tops, or nothing.
    pub fn tops(&self) -> Option<Length> {
        self.tray.block_tops()
    }

    /// The nominal flow into the tray while it is flooded \[m³/s\].
    pub fn flow(&self) -> f64 {
        // A pump that has drawn air lets water back: then it gives nothing.
        self.runs.flood.flood(self.index).map_or(0.0, |f| f.last_flow_m3_s.max(0.0))
    }

    /// Whether the flood brings water worth draining; where it does not, other rules say so.
    pub fn is_flooded(&self) -> bool {
        self.runs.flood.highest_m[self.index] > self.tray.lip.get().value.max(0.005) + 0.003
    }

    /// Whether something happened to this tray in a run.
    pub fn happened(&self, run: &Run, kind: EventKind) -> bool {
        run.events.iter().any(|e| e.kind == kind && e.index == self.index)
    }

    /// What one run put over this tray's rim \[m³\].
    pub fn spilled(&self, run: &Run) -> f64 {
        run.totals.get(self.index).map_or(0.0, |t| t.spilled_m3)
    }

    /// Whether the file (or a part) gives this tray a field of its own.
    pub fn has_own(&self, field: &str) -> bool {
        let paths = [format!("tray[{}].{field}", self.index), format!("tray.{field}")];
        self.survey.rig.sheet.iter().any(|l| paths.contains(&l.path))
    }

    /// Lift from the reservoir's surface to the crest (or to half the rim) while flooded.
    pub fn lift(&self) -> Length {
        let rig = &self.survey.rig;
        let top = self.tray.crest().unwrap_or(self.tray.rim() * 0.5);
        let low = m(self.runs.flood.lowest_reservoir_m);
        self.tray.elevation.get() + top - rig.reservoir.elevation.get() - low
    }
}
