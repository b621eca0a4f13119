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

/// A tray as a store of free water.
#[derive(Clone, Debug)]
pub(crate) struct Store {
    shape: ShapeSi,
    floor_area: f64,
    relief: Relief,
    filling: Filling,
    lowest: f64,
    ceiling: f64,
}

impl Store {
    pub(crate) fn new(shape: ShapeSi, rim: f64, relief: Relief, filling: Filling) -> Self {
        let floor_area = shape.area(0.0);
        // Blocks may not fill more than all but a fiftieth of the floor: below that no water moves
        // between them and no depth can be said (the rule on packing reports it).
        let filling = match filling {
            Filling::Blocks { area, base, top } => Filling::Blocks { area: area.min(0.98 * floor_area), base, top },
            other => other,
        };
        let lowest = relief.lowest().min(0.0);
        Self { shape, floor_area, relief, filling, lowest, ceiling: rim + 0.5 }
    }

    /// Free water \[m³\] below a depth \[m\], and the free surface \[m²\] there.
    pub(crate) fn volume_and_area(&self, y: f64) -> (f64, f64) {
        let up = y.max(0.0);
        let (g, share) = self.relief.depth_and_share(y);
        let mut v = self.shape.volume(up) + self.floor_area * (g - up);
        let mut a =
            if y > 0.0 { self.shape.area(up) - self.floor_area * (1.0 - share) } else { self.floor_area * share };
        match self.filling {
            Filling::Nothing => {}
            Filling::Blocks { area, base, top } => {
                v -= area * (y.clamp(base, top) - base);
                if y > base && y < top {
                    a -= area;
                }
            }
            Filling::Bed { top, void } => {
                let inside = up.min(top);
                v -= (1.0 - void) * self.shape.volume(inside);
                if y > 0.0 && y < top {
                    a -= (1.0 - void) * self.shape.area(up);
                }
            }
        }
        (v, a.max(0.005 * self.floor_area))
    }

    pub(crate) fn volume(&self, y: f64) -> f64 {
        self.volume_and_area(y).0
    }

    /// Depth \[m\] at which a volume \[m³\] stands, from a guess.
    pub(crate) fn depth(&self, volume: f64, guess: f64) -> f64 {
        if volume <= 0.0 {
            return self.lowest;
        }
        root::increasing(self.lowest, self.ceiling, guess, 1e-9, |y| {
            let (v, a) = self.volume_and_area(y);
            (v - volume, a)
        })
    }
}
