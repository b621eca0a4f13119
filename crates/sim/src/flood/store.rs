//! Depth and volume of free water in a tray, blocks and uneven floor allowed for.

use tidewright_physics::geometry::{Relief, ShapeSi};
use tidewright_physics::numerics::root;

/// Media that take room between two heights.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Filling {
    Nothing,
    /// Upright blocks: plan area \[m²\], underside and top \[m\].
    Blocks {
        area: f64,
        base: f64,
        top: f64,
    },
    /// Grains over the whole floor to a height \[m\], leaving a share of the room.
    Bed {
        top: f64,
        void: f64,
    },
}

/// Least plan \[m²\] of a vessel between two heights \[m\]: one that narrows upwards, or a measured table.
fn least_area(shape: &ShapeSi, from: f64, to: f64) -> f64 {
    const STEPS: usize = 64;
    (0..=STEPS).map(|i| shape.area(from + (to - from) * i as f64 / STEPS as f64)).fold(f64::INFINITY, f64::min)
}

/// A Newton step below this \[m\] ends the search for a depth: what remains is its square over the depth
/// at which a plan changes by itself.
pub(crate) const DEPTH_STEP: f64 = 1e-7;

/// A tray as a store of free water.
#[derive(Clone, Debug)]
pub(crate) struct Store {
    shape: ShapeSi,
    floor_area: f64,
    relief: Relief,
    filling: Filling,
    /// Relief's G \[m\] at base and top of the blocks; for a bed nil and the room \[m³\] below its top.
    ends: (f64, f64),
    lowest: f64,
    ceiling: f64,
}

impl Store {
    pub(crate) fn new(shape: ShapeSi, rim: f64, relief: Relief, filling: Filling) -> Self {
        let floor_area = least_area(&shape, 0.0, relief.highest().clamp(0.0, rim));
        // Blocks may not fill more than all but a fiftieth of the plan: below that no water moves
        // between them and no depth can be said (the rule on packing reports it).
        let filling = match filling {
            Filling::Blocks { area, base, top } => {
                let room = least_area(&shape, base.min(rim), top.min(rim)).min(floor_area);
                Filling::Blocks { area: area.min(0.98 * room), base, top }
            }
            other => other,
        };
        let lowest = relief.lowest();
        let mut store = Self { shape, floor_area, relief, filling, ends: (0.0, 0.0), lowest, ceiling: rim + 0.5 };
        let g = |y: f64| store.relief.depth_and_share(y).0;
        store.ends = match filling {
            Filling::Nothing => (0.0, 0.0),
            Filling::Blocks { base, top, .. } => (g(base), g(top)),
            Filling::Bed { top, .. } => (0.0, store.room(top, g(top), store.relief.depth_and_share(top).1).0),
        };
        store
    }

    /// Free water \[m³\] below a depth \[m\], and the free surface \[m²\] there.
    pub(crate) fn volume_and_area(&self, y: f64) -> (f64, f64) {
        let (g, share) = self.relief.depth_and_share(y);
        let (mut v, mut a) = self.room(y, g, share);
        match self.filling {
            Filling::Nothing => {}
            // Only where the floor lies under water do blocks take water's room.
            Filling::Blocks { area, base, top } if y > base => {
                let (at_base, at_top) = self.ends;
                if y < top {
                    v -= area * (g - at_base);
                    a -= area * share;
                } else {
                    v -= area * (at_top - at_base);
                }
            }
            Filling::Blocks { .. } => {}
            Filling::Bed { top, void } => {
                if y < top {
                    (v, a) = (void * v, void * a);
                } else {
                    v -= (1.0 - void) * self.ends.1;
                }
            }
        }
        (v, a.max(0.005 * self.floor_area))
    }

    /// Volume \[m³\] over the uneven floor below a depth \[m\], and its plan \[m²\], with nothing in it;
    /// `g` \[m\] and `share` \[-\] are the relief's there.
    fn room(&self, y: f64, g: f64, share: f64) -> (f64, f64) {
        let up = y.max(0.0);
        let v = self.shape.volume(up) + self.floor_area * (g - up);
        let a = if y > 0.0 { self.shape.area(up) - self.floor_area * (1.0 - share) } else { self.floor_area * share };
        (v, a)
    }

    pub(crate) fn volume(&self, y: f64) -> f64 {
        self.volume_and_area(y).0
    }

    /// Depth \[m\] at which a volume \[m³\] stands, from a guess, and the free surface \[m²\] met on the way.
    pub(crate) fn depth_and_area(&self, volume: f64, guess: f64) -> (f64, f64) {
        if volume <= 0.0 {
            return (self.lowest, 0.0);
        }
        let mut area = 0.0;
        let depth = root::increasing(self.lowest, self.ceiling, guess, DEPTH_STEP, |y| {
            let (v, a) = self.volume_and_area(y);
            area = a;
            (v - volume, a)
        });
        (depth, area)
    }

    pub(crate) fn depth(&self, volume: f64, guess: f64) -> f64 {
        self.depth_and_area(volume, guess).0
    }
}
