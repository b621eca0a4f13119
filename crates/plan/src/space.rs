//! Blocks on the real floor of a tray, fittings and edges kept free; and when plants close over it.

use serde::Serialize;
use tidewright_physics::geometry::Shape;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Stage, Tray};

/// Free floor beside a fitting's flange and a wall's radius \[m\]: room for fingers. Common practice, no source.
const FINGERS_M: f64 = 0.005;
/// Offsets of a pattern that are tried along and across; fewer where blocks are many and one more or less says nothing.
const OFFSETS: usize = 12;
const FEW_OFFSETS: usize = 3;
const MANY: f64 = 1500.0;

/// A pattern of blocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pattern {
    /// Rows and columns.
    Square,
    /// Every other row shifted by half a spacing, rows along the tray.
    StaggeredAlong,
    /// The same with rows across.
    StaggeredAcross,
}

/// How many blocks fit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Packed {
    /// Pattern.
    pub pattern: Pattern,
    /// Middle to middle \[m\].
    pub spacing_m: f64,
    /// How many stand, fittings and edges free.
    pub count: usize,
    /// Where, from the front left corner of the floor \[m\].
    pub places: Vec<(f64, f64)>,
}

/// Patterns of the bench's own blocks at a spacing, the fullest first; none without blocks.
pub fn pack(tray: &Tray, spacing_m: f64) -> Vec<Packed> {
    let Some(b) = &tray.blocks else { return Vec::new() };
    let block = (b.length.get().value, b.width.get().value);
    let mut out: Vec<Packed> = [Pattern::Square, Pattern::StaggeredAlong, Pattern::StaggeredAcross]
        .into_iter()
        .map(|pattern| best(tray, block, pattern, spacing_m))
        .collect();
    out.sort_by_key(|p| std::cmp::Reverse(p.count));
    out
}

/// Whether a block may stand with its middle there.
fn is_free(tray: &Tray, outs: &[((f64, f64), f64)], block: (f64, f64), (x, y): (f64, f64)) -> bool {
    let (l, w) = tray.floor();
    let edge = tray.holes.wall_radius.get().value * 0.3;
    let (hx, hy) = (0.5 * block.0, 0.5 * block.1);
    let inside = match tray.shape {
        Shape::TaperedRound { .. } => {
            let r = 0.5 * l.value - edge;
            let (dx, dy) = ((x - 0.5 * l.value).abs() + hx, (y - 0.5 * w.value).abs() + hy);
            dx * dx + dy * dy <= r * r + 1e-12
        }
        _ => {
            x - hx >= edge - 1e-9
                && x + hx <= l.value - edge + 1e-9
                && y - hy >= edge - 1e-9
                && y + hy <= w.value - edge + 1e-9
        }
    };
    inside && outs.iter().all(|k| clear_of(k, block, (x, y)))
}

/// Circles that stay free: middle from the front left corner of the floor, and radius \[m\].
pub fn keep_outs(tray: &Tray) -> Vec<((f64, f64), f64)> {
    let radius = |hole: &tidewright_rig::Value<tidewright_physics::quantity::Length>| {
        0.5 * crate::fit::flange_m(tray, hole.get().value) + FINGERS_M
    };
    let at = |p: &(
        tidewright_rig::Value<tidewright_physics::quantity::Length>,
        tidewright_rig::Value<tidewright_physics::quantity::Length>,
    )| { (p.0.get().value, p.1.get().value) };
    let mut out = Vec::new();
    if matches!(tray.entry, tidewright_rig::bench::Entry::Floor) {
        out.push((at(&tray.feed_at), radius(&tray.holes.feed)));
    }
    out.extend(tray.drain_places().into_iter().map(|place| (place, radius(&tray.holes.drain))));
    out
}

/// Whether a rectangle stands clear of a circle.
pub fn clear_of(((cx, cy), r): &((f64, f64), f64), (l, w): (f64, f64), (x, y): (f64, f64)) -> bool {
    let dx = ((x - cx).abs() - 0.5 * l).max(0.0);
    let dy = ((y - cy).abs() - 0.5 * w).max(0.0);
    dx * dx + dy * dy >= r * r - 1e-12
}

fn best(tray: &Tray, block: (f64, f64), pattern: Pattern, s: f64) -> Packed {
    let (l, w) = (tray.floor().0.value, tray.floor().1.value);
    let mut found = Packed { pattern, spacing_m: s, count: 0, places: Vec::new() };
    if !(s.is_finite() && s >= block.0.max(block.1) - 1e-9) {
        return found;
    }
    let step = s * 0.75f64.sqrt();
    // Rows may come as near as blocks let them.
    let row = |side: f64| if pattern == Pattern::Square { s } else { step.max(side) };
    let outs = keep_outs(tray);
    let offsets = if (l / s) * (w / s) > MANY { FEW_OFFSETS } else { OFFSETS };
    for i in 0..offsets {
        for j in 0..offsets {
            let shift = |k: usize| s * k as f64 / offsets as f64;
            let mut places = Vec::new();
            let (begin_x, begin_y) = (0.5 * block.0 + shift(i), 0.5 * block.1 + shift(j));
            let (long, wide, pitch) = match pattern {
                Pattern::StaggeredAcross => (w, l, row(block.0)),
                _ => (l, w, row(block.1)),
            };
            let (first, from) =
                if pattern == Pattern::StaggeredAcross { (begin_y, begin_x) } else { (begin_x, begin_y) };
            for r in 0.. {
                let across = from + r as f64 * pitch;
                if across > wide {
                    break;
                }
                let aside = if pattern != Pattern::Square && r % 2 == 1 { 0.5 * s } else { 0.0 };
                for c in 0.. {
                    // From half a spacing before the edge: a shifted row may begin there.
                    let along = first - s + aside + c as f64 * s;
                    if along > long {
                        break;
                    }
                    let place = if pattern == Pattern::StaggeredAcross { (across, along) } else { (along, across) };
                    if is_free(tray, &outs, block, place) {
                        places.push(place);
                    }
                }
            }
            if places.len() > found.count {
                found.count = places.len();
                found.places = places;
            }
        }
    }
    found
}

/// How plants fill their room.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Closure {
    /// Side of the square that each plant has of the tray's rim \[m\].
    pub room_m: f64,
    /// Across a full plant \[m\].
    pub across_m: f64,
    /// Day on which plants touch; none where they never do.
    pub day: Option<f64>,
    /// Plants on the tray.
    pub plants: f64,
}

/// When the plants of a tray touch; none without blocks.
pub fn closure(rig: &Rig, tray: usize) -> Option<Closure> {
    let t = rig.trays.get(tray)?;
    let g = &rig.growing;
    let plants = t.blocks.as_ref()?.count.get() * g.plants.get();
    let room = (t.shape.area_at(t.rim()).value / plants).sqrt();
    let across = g.crop.habit.across_m;
    let last = g.crop.span(Stage::Late).1.max(g.crop.span(Stage::Full).1);
    let full = g.crop.leaves(Stage::Full).0;
    // A plant is as wide as the root of its share of the full stand's leaf.
    let wide = |day: f64| across * (g.crop.on_day(day).0 / full).clamp(0.0, 1.0).sqrt();
    let day = (1..=last as u32).map(f64::from).find(|d| wide(*d) >= room);
    Some(Closure { room_m: room, across_m: across, day, plants })
}
