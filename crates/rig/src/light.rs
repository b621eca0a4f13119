//! The lamps of a bench as their map is reckoned from.

use crate::bench::{Lamp, LampThrow, Tray};
use tidewright_physics::light::exponent_of_beam;
use tidewright_physics::light::lamp::{self, Map, Throw};
use tidewright_physics::quantity::{Length, m};

/// Points of a quick map.
pub const QUICK: (usize, usize) = (30, 18);
/// Points of a map to be looked at.
pub const FINE: (usize, usize) = (100, 60);
/// Nearer than this no lamp hangs over leaves in a map: its light has no such height \[m\].
const NEAREST_M: f64 = 0.02;

/// A lamp over a canopy of a height above the tray's floor.
pub fn over(l: &Lamp, canopy: Length) -> lamp::Lamp {
    lamp::Lamp {
        at_m: (l.at.0.get().value, l.at.1.get().value),
        height_m: (l.height.get() - canopy).value.max(NEAREST_M),
        size_m: (l.size.0.get().value, l.size.1.get().value),
        photons_umol_s: 1e6 * l.photons.get().value,
        throw: match &l.throw {
            LampThrow::Beam(angle) => Throw::Cosine(exponent_of_beam(angle.get().value.to_degrees())),
            LampThrow::File { web, .. } => Throw::Web(web.clone()),
        },
    }
}

/// Height of a tray's canopy above its floor: block tops and the plants on them.
pub fn canopy_height(tray: &Tray, plant: Length) -> Length {
    tray.block_tops().or(tray.bed.as_ref().map(|b| b.depth.get())).unwrap_or(m(0.0)) + plant
}

/// Map of a tray's own lamps at the height of its canopy, over its rim; none where no lamp hangs over it.
pub fn map(all: &[Lamp], tray: &Tray, index: usize, walls: f64, plant: Length, points: (usize, usize)) -> Option<Map> {
    let canopy = canopy_height(tray, plant);
    let own: Vec<lamp::Lamp> = all.iter().filter(|l| l.tray == index).map(|l| over(l, canopy)).collect();
    if own.is_empty() {
        return None;
    }
    let (length, width) = tray.shape.plan_at(tray.rim());
    let plan = lamp::Plan { size_m: (length.value, width.value), round: tray.shape.is_round() };
    Some(lamp::map(&own, plan, points, walls))
}
