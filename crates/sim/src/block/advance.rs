//! A column through time, by implicit steps as long as accuracy allows.

use super::column::Column;
use super::edge::Around;
use super::step::Work;

/// How exactly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Largest estimated error of a step in any cell's water content \[-\].
    pub content: f64,
    /// Longest step \[s\].
    pub longest_s: f64,
    /// First step that is tried \[s\]: short where the surroundings have just changed.
    pub first_s: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self { content: 1e-4, longest_s: 3600.0, first_s: FIRST }
    }
}

/// What crossed the block's bounds \[m³ per m² of plan\]; into the block is positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exchange {
    /// Through its underside.
    pub base_m: f64,
    /// Through its sides.
    pub sides_m: f64,
    /// Through its top; evaporation is negative.
    pub top_m: f64,
    /// To the roots; negative.
    pub roots_m: f64,
    /// Steps that were made.
    pub steps: u32,
    /// Step that would come next \[s\].
    pub next_s: f64,
}

impl Exchange {
    /// All of it together.
    pub fn total_m(&self) -> f64 {
        self.base_m + self.sides_m + self.top_m + self.roots_m
    }
}

impl std::ops::AddAssign for Exchange {
    fn add_assign(&mut self, more: Self) {
        self.base_m += more.base_m;
        self.sides_m += more.sides_m;
        self.top_m += more.top_m;
        self.roots_m += more.roots_m;
        self.steps += more.steps;
        self.next_s = more.next_s;
    }
}

/// No step could be made: the surroundings ask for what the block cannot give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stuck {
    /// How far it came \[s\].
    pub after_s: f64,
}

/// Shorter than this no step helps \[s\].
const SHORTEST: f64 = 1e-7;
/// Shorter than this a step is not made for accuracy's sake \[s\]: a cell that just fills bends any formula.
const SHARPEST: f64 = 2e-3;
const FIRST: f64 = 0.02;

impl Column {
    /// Goes on for `time_s` in these surroundings.
    ///
    /// # Errors
    /// [`Stuck`] where the solver finds no step; the column is then as after its last good one.
    pub fn advance(&mut self, time_s: f64, around: &Around, settings: &Settings) -> Result<Exchange, Stuck> {
        self.advance_in(&mut Work::default(), time_s, around, settings)
    }

    /// The same in room that is kept from one time to the next.
    pub(crate) fn advance_in(
        &mut self,
        work: &mut Work,
        time_s: f64,
        around: &Around,
        settings: &Settings,
    ) -> Result<Exchange, Stuck> {
        let mut sum = Exchange { sides_m: self.stand_in(around), ..Exchange::default() };
        work.begin(self, around, settings.content);
        let mut done = 0.0;
        let mut dt = settings.first_s.min(time_s);
        while done < time_s {
            // A remainder too short to be a step of its own is halved with this one.
            let left = time_s - done;
            let try_dt = if dt >= left {
                left
            } else if dt > 0.5 * left {
                0.5 * left
            } else {
                dt
            };
            let Some(crossed) = work.step(self, around, try_dt) else {
                dt = 0.25 * try_dt;
                if dt < SHORTEST {
                    return Err(Stuck { after_s: done });
                }
                continue;
            };
            let factor = 0.9 * (settings.content / crossed.error.max(1e-14)).cbrt();
            if factor < 0.8 && try_dt > SHARPEST {
                dt = try_dt * factor.clamp(0.1, 0.7);
                continue;
            }
            work.accept(self, around, try_dt);
            self.head.clone_from(&work.head);
            self.content.clone_from(&work.content);
            sum += Exchange {
                base_m: crossed.base,
                sides_m: crossed.sides,
                top_m: crossed.top,
                roots_m: crossed.roots,
                steps: 1,
                next_s: 0.0,
            };
            done = if try_dt >= left { time_s } else { done + try_dt };
            // A step cut short by the end says nothing against the longer one that was planned.
            dt = (dt * factor.clamp(0.5, 4.0)).min(settings.longest_s);
        }
        sum.next_s = dt;
        Ok(sum)
    }

    /// Cells below the water beside an open block fill at once; what they took \[m\].
    fn stand_in(&mut self, around: &Around) -> f64 {
        let mut taken = 0.0;
        for i in (0..self.dz.len()).filter(|i| self.z[*i] < around.held_to()) {
            self.head[i] = around.held_to() - self.z[i];
            let full = self.at(i, self.head[i]).content;
            taken += self.dz[i] * (full - self.content[i]);
            self.content[i] = full;
        }
        taken
    }
}
