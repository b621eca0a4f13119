//! Where floods are put in a day, and how long they may be, by what the timer can do.

use tidewright_physics::quantity::s as seconds;
use tidewright_rig::Rig;
use tidewright_rig::value::{Birth, Value};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Scenario, run};

const DAY_S: f64 = 86_400.0;
/// The first flood comes so long after the light \[s\], and the last so long before the dark: leaves begin to drink, and
/// tops dry off before night. Common practice, no source.
const AFTER_LIGHT_S: f64 = 1800.0;
const BEFORE_DARK_S: f64 = 5400.0;
/// Longest flood that is looked at \[s\].
const LONGEST_S: f64 = 3600.0;
/// Held after the last rise of the level, so that blocks follow \[s\].
const HELD_S: f64 = 120.0;

/// What the timer, the light and the tray's own filling leave free.
pub(super) struct Spread {
    on_s: f64,
    pub(super) lit_s: f64,
    step_s: f64,
    /// Until a flood has all but its depth \[s\].
    fills_s: f64,
    /// Depth of a long flood \[m\].
    pub(super) deepest_m: f64,
}

impl Spread {
    pub(super) fn of(rig: &Rig, tray: usize) -> Self {
        let mut long = rig.clone();
        long.trays[tray].schedule.run = Value::new(seconds(LONGEST_S), Birth::Derived { from: "a long flood".into() });
        let options = Options { keep: Keep::Levels, ..Options::default() };
        let flood = run(&long, &Scenario { options, ..Scenario::flood_of(&long, tray) });
        let deepest_m = flood.highest_m[tray];
        let nearly = 0.98 * deepest_m;
        let fills_s = flood.levels[tray].iter().find(|l| l.depth_m >= nearly).map_or(LONGEST_S, |l| l.t_s);
        let g = &rig.growing;
        Self { on_s: g.on.get(), lit_s: g.lit.get().value, step_s: rig.timer.step.get().value, fills_s, deepest_m }
    }

    /// Lengths that are tried, the shortest first \[s\].
    pub(super) fn minutes(&self) -> Vec<f64> {
        let step = self.step_s.max(60.0);
        let up = |t: f64| ((t / step).ceil().max(1.0) * step).min(LONGEST_S.max(step));
        let mut all = vec![up(self.fills_s + HELD_S), up(self.fills_s + 8.0 * HELD_S)];
        all.dedup();
        all
    }

    /// Starts of so many floods in the light, evenly, on the timer's steps; and one in the middle of the dark.
    pub(super) fn starts(&self, floods: usize, night: bool) -> Vec<f64> {
        let room = (self.lit_s - AFTER_LIGHT_S - BEFORE_DARK_S).max(0.25 * self.lit_s);
        let first = AFTER_LIGHT_S.min(0.25 * self.lit_s);
        let gap = if floods > 1 { room / (floods - 1) as f64 } else { 0.0 };
        // Interval timers step by the second; nobody sets a clock to it.
        let step = self.step_s.max(300.0);
        let on_step = |t: f64| ((t / step).round() * step).rem_euclid(DAY_S);
        let mut all: Vec<f64> = (0..floods).map(|k| on_step(self.on_s + first + gap * k as f64)).collect();
        if night && self.lit_s < DAY_S - 3600.0 {
            all.push(on_step(self.on_s + self.lit_s + 0.5 * (DAY_S - self.lit_s)));
        }
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }
}
