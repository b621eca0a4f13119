//! Water between trays and blocks that are followed as columns: after each step of the flood they make the
//! same step, and what they took beyond what the step let them have is moved then.

use super::{Drive, MOST_DEBT, SHORTEST};
use crate::flood::state::{Layout, Meter};
use crate::stack::{Moved, Stack};

/// Change of a tray's level by what a step did not foresee, beyond which it is made again shorter \[m\].
const UNFORESEEN: f64 = 0.0015;
/// Longest stretch in one go while blocks stand in still water \[s\].
const LOOK: f64 = 900.0;
/// Slower than this they neither take nor give \[m³/s\].
const SEEPAGE: f64 = 1e-10;

/// The blocks of every tray.
pub(super) struct Soaking {
    pub(super) stacks: Vec<Option<Stack>>,
    /// Up to when each is known \[s\].
    upto: Vec<f64>,
}

impl Soaking {
    pub(super) fn new(stacks: Vec<Option<Stack>>) -> Self {
        Self { upto: vec![0.0; stacks.len()], stacks }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.stacks.iter().all(Option::is_none)
    }

    /// Whether the blocks of the days to come need only be followed roughly.
    pub(super) fn roughly(&mut self, rough: bool) {
        self.stacks.iter_mut().flatten().for_each(|s| s.roughly(rough));
    }

    /// A new day begins.
    pub(super) fn midnight(&mut self) {
        self.upto.fill(0.0);
    }
}

impl Drive<'_> {
    /// Lets all blocks follow the last step up to `end`. False where one took so much that the step must be made again.
    pub(super) fn blocks_follow(&mut self, end: f64) -> bool {
        let length = end - self.ode.t_old;
        let n = self.soaking.stacks.len();
        let mut moves: Vec<Option<Moved>> = vec![None; n];
        let mut told: Vec<Vec<crate::stack::BlockMoment>> = vec![Vec::new(); n];
        let l = &self.flows.model.layout;
        for t in 0..n {
            let Some(stack) = &mut self.soaking.stacks[t] else { continue };
            let store = &self.flows.model.trays[t].store;
            let (v0, v1) = (self.ode.interpolate_one(self.ode.t_old, l.tray(t)), self.ode.y[l.tray(t)]);
            let (from, to) = (store.depth(v0, self.flows.depth[t]), store.depth(v1, self.flows.depth[t]));
            let stands = stack.is_wetted_at(from) || stack.is_wetted_at(to);
            if !stands && self.flows.soaking[t].abs() < SEEPAGE {
                continue;
            }
            stack.mark();
            let begin = self.soaking.upto[t];
            let given = self.ode.y[l.media(t)] - stack.water_m3();
            let mut tell = |m| told[t].push(m);
            // What went by while nothing stood there comes first.
            let mut moved = Moved::default();
            let mut followed = Ok(Moved::default());
            if begin < self.ode.t_old {
                followed = stack.advance((begin, self.ode.t_old), f64::MIN, 0.0, &mut tell);
            }
            let followed = followed.and_then(|dry| {
                moved += dry;
                stack.advance((self.ode.t_old.max(begin), end), 0.5 * (from + to), v1 + given, &mut tell)
            });
            let Ok(wet) = followed else {
                self.record.run.blocks_lost = Some(t);
                self.done = true;
                return true;
            };
            moved += wet;
            let unforeseen = moved.net_m3() - given;
            let shifted = store.depth(v1 - unforeseen, to) - to;
            let owed = v1 - unforeseen < -MOST_DEBT;
            if (shifted.abs() > UNFORESEEN || owed) && length > SHORTEST {
                self.flows.soaking[t] = moved.net_m3() / length;
                for (k, stack) in self.soaking.stacks.iter_mut().enumerate() {
                    if let Some(stack) = stack.as_mut().filter(|_| k == t || moves[k].is_some()) {
                        stack.go_back();
                    }
                }
                return false;
            }
            moves[t] = Some(moved);
        }
        for (t, moved) in moves.into_iter().enumerate() {
            let Some(moved) = moved else { continue };
            self.settle_blocks(t, moved, end);
            self.flows.soaking[t] = moved.net_m3() / length.max(1e-9);
            for m in told[t].drain(..) {
                self.record.block_moment(t, m);
            }
        }
        true
    }

    /// Lets blocks that nothing stands around follow up to `until`, and those in still water for a while; when that was.
    pub(super) fn blocks_rest(&mut self, until: f64) -> f64 {
        let l = &self.flows.model.layout;
        let standing = |this: &Self, t: usize| {
            this.soaking.stacks[t].as_ref().is_some_and(|s| s.is_wetted_at(this.flows.depth[t]))
        };
        let n = self.soaking.stacks.len();
        let now = self.ode.t;
        let end = if (0..n).any(|t| standing(self, t)) { until.min(now + LOOK) } else { until };
        for t in 0..n {
            let depth = if standing(self, t) { self.flows.depth[t] } else { f64::MIN };
            let from = self.soaking.upto[t];
            let available = self.ode.y[l.tray(t)];
            let Some(stack) = &mut self.soaking.stacks[t] else { continue };
            let mut told = Vec::new();
            let mut tell = |m| told.push(m);
            let mut moved = Moved::default();
            let mut followed = Ok(Moved::default());
            if from < now {
                followed = stack.advance((from, now), f64::MIN, 0.0, &mut tell);
            }
            let followed = followed.and_then(|dry| {
                moved += dry;
                stack.advance((from.max(now), end), depth, available, &mut tell)
            });
            let Ok(wet) = followed else {
                self.record.run.blocks_lost = Some(t);
                self.done = true;
                return end;
            };
            moved += wet;
            self.settle_blocks(t, moved, end);
            let rate = moved.net_m3() / (end - now).max(1e-9);
            self.flows.soaking[t] = if rate.abs() < SEEPAGE || depth == f64::MIN { 0.0 } else { rate };
            for m in told {
                self.record.block_moment(t, m);
            }
        }
        end
    }

    /// Puts water where the blocks say that it is.
    fn settle_blocks(&mut self, t: usize, moved: Moved, end: f64) {
        let l = &self.flows.model.layout;
        let Some(stack) = &self.soaking.stacks[t] else { return };
        self.soaking.upto[t] = end;
        let gone = moved.drunk_m3 + moved.evaporated_m3;
        let y = &mut self.ode.y;
        let unforeseen = stack.water_m3() + gone - y[l.media(t)];
        y[l.media(t)] = stack.water_m3();
        y[Layout::AIR] += gone;
        if self.flows.mode.at_rim[t] {
            // At its rim a tray keeps its level: what the blocks want more is spilled less.
            y[Layout::FLOOR] -= unforeseen;
            y[l.meter(t, Meter::Spilled)] -= unforeseen;
        } else {
            y[l.tray(t)] -= unforeseen;
        }
        self.record.blocks_moved(t, moved);
        let h = self.ode.next_step();
        self.ode.restart(self.ode.t, h);
    }
}
