//! Whether it goes together: holes against rails, ribs, walls and blocks; room below and above; hoses that rise and fall; what to cover.

pub(crate) mod judged;

use crate::space::{clear_of, keep_outs};
use serde::Serialize;
use tidewright_physics::geometry::Shape;
use tidewright_physics::quantity::{Length, m};
use tidewright_rig::bench::{Along, Entry, Tray};
use tidewright_rig::units::System;
use tidewright_rig::{Rig, Value};

/// Flat that a flange needs beside it \[m\]. Common practice: flange and 10 mm.
const FLAT_M: f64 = 0.010;
/// Room over the reservoir to lift lid and pump \[m\]. Common practice: 150 to 250 mm.
pub const LID_ROOM_M: f64 = 0.150;
/// Fall of a return over its length \[-\]. Common practice: 20 mm/m.
pub const RETURN_FALL: f64 = 0.020;

/// One thing that must go together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// Kebab-case name of its rule.
    pub rule: &'static str,
    /// Which tray.
    pub tray: usize,
    /// What is looked at, in words.
    pub what: String,
    /// The number and its limit \[m\] (for a fall \[-\]).
    pub number: f64,
    /// At least this.
    pub limit: f64,
    /// Field of the tray that would change it.
    pub field: &'static str,
}

impl Check {
    /// Whether it goes together.
    pub fn holds(&self) -> bool {
        self.number >= self.limit - 1e-9
    }
}

/// A hole on its place from the front left corner of the floor \[m\].
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hole {
    /// What goes through it.
    pub what: &'static str,
    /// Along and across \[m\].
    pub at_m: (f64, f64),
    /// Diameter \[m\].
    pub diameter_m: f64,
    /// Field of its place.
    pub field: &'static str,
}

/// Holes of a tray.
pub fn holes(t: &Tray) -> Vec<Hole> {
    let at = |p: &(Value<Length>, Value<Length>)| (p.0.get().value, p.1.get().value);
    let mut out = Vec::new();
    if matches!(t.entry, Entry::Floor) {
        out.push(Hole {
            what: "flood fitting",
            at_m: at(&t.feed_at),
            diameter_m: t.holes.feed.get().value,
            field: "feed_x",
        });
    }
    out.extend(t.drain_places().into_iter().map(|at_m| Hole {
        what: "drain fitting",
        at_m,
        diameter_m: t.holes.drain.get().value,
        field: "drain_x",
    }));
    out
}

/// All checks of a bench.
pub fn checks(rig: &Rig) -> Vec<Check> {
    let mut out = Vec::new();
    for (i, t) in rig.trays.iter().enumerate() {
        let holes = holes(t);
        for h in &holes {
            near_walls(i, t, h, &mut out);
            near_ribs(i, t, h, &mut out);
            near_rails(rig, i, t, h, &mut out);
        }
        // Drain fittings stand apart by themselves; the nearest of them counts.
        if let [feed, drains @ ..] = &holes[..]
            && feed.field == "feed_x"
            && let Some((drain, apart)) = drains
                .iter()
                .map(|b| (b, (feed.at_m.0 - b.at_m.0).hypot(feed.at_m.1 - b.at_m.1)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
        {
            out.push(Check {
                rule: "hole-in-the-way",
                tray: i,
                what: "Flood and drain fitting, middle to middle".into(),
                number: apart,
                limit: 0.5 * (flange_m(t, feed.diameter_m) + flange_m(t, drain.diameter_m)) + FLAT_M,
                field: "drain_x",
            });
        }
        room_below(rig, i, t, &mut out);
        falls(i, t, &mut out);
    }
    out
}

/// Flange over a hole \[m\]: it cannot be smaller than the hole and a lip.
pub(crate) fn flange_m(t: &Tray, hole_m: f64) -> f64 {
    t.flange_over(m(hole_m)).value
}

fn near_walls(i: usize, t: &Tray, h: &Hole, out: &mut Vec<Check>) {
    let (l, w) = t.floor();
    let to_wall = match t.shape {
        Shape::TaperedRound { .. } => 0.5 * l.value - (h.at_m.0 - 0.5 * l.value).hypot(h.at_m.1 - 0.5 * w.value),
        _ => h.at_m.0.min(h.at_m.1).min(l.value - h.at_m.0).min(w.value - h.at_m.1),
    };
    out.push(Check {
        rule: "hole-near-wall",
        tray: i,
        what: format!("Middle of the {} to the nearest wall", h.what),
        number: to_wall,
        limit: 0.5 * flange_m(t, h.diameter_m) + t.holes.wall_radius.get().value,
        field: h.field,
    });
}

fn near_ribs(i: usize, t: &Tray, h: &Hole, out: &mut Vec<Check>) {
    let Some(apart) = t.holes.ribs.iter().map(|r| (h.at_m.0 - r).abs()).reduce(f64::min) else { return };
    out.push(Check {
        rule: "hole-in-the-way",
        tray: i,
        what: format!("Middle of the {} to the nearest mould rib", h.what),
        number: apart,
        limit: 0.5 * flange_m(t, h.diameter_m),
        field: h.field,
    });
}

fn near_rails(rig: &Rig, i: usize, t: &Tray, h: &Hole, out: &mut Vec<Check>) {
    let Some(s) = &rig.stand else { return };
    let across = if s.along.get() == Along::Length { h.at_m.1 } else { h.at_m.0 };
    let Some(apart) = s.rail_at.borrowed().iter().map(|r| (across - r).abs()).reduce(f64::min) else { return };
    out.push(Check {
        rule: "hole-in-the-way",
        tray: i,
        what: format!("Middle of the {} to the middle of the nearest rail", h.what),
        number: apart,
        limit: 0.5 * (s.rail.outer.0.value + flange_m(t, h.diameter_m)) + 0.005,
        field: h.field,
    });
}

fn room_below(rig: &Rig, i: usize, t: &Tray, out: &mut Vec<Check>) {
    let r = &rig.reservoir;
    let top = (r.elevation.get() + r.shape.depth()).value;
    let floor = t.elevation.get().value;
    // A tray in the rim of its reservoir has its fittings inside, one beside it has none below.
    let hangs = floor < top + 0.02 && t.floor().0 < r.shape.plan_at(r.shape.depth()).0;
    if hangs {
        return;
    }
    if floor < top {
        out.push(Check {
            rule: "room-below-tray",
            tray: i,
            what: "Tray floor over the reservoir's rim, which feed and return would have to climb over".into(),
            number: floor - top,
            limit: 0.0,
            field: "elevation",
        });
        return;
    }
    let need = t.holes.below.get().value;
    if !holes(t).is_empty() {
        out.push(Check {
            rule: "room-below-tray",
            tray: i,
            what: "Room below the tray for fitting and elbow".into(),
            number: floor - top,
            limit: need,
            field: "elevation",
        });
    }
    let Some(s) = &rig.stand else { return };
    let under_rails = floor - s.rail.outer.1.value - s.deck.get().value;
    out.push(Check {
        rule: "lid-room",
        tray: i,
        what: "Room over the reservoir to lift lid and pump".into(),
        number: under_rails - top,
        limit: LID_ROOM_M,
        field: "elevation",
    });
}

fn falls(i: usize, t: &Tray, out: &mut Vec<Check>) {
    if t.drain.riser.is_none() {
        return;
    }
    let back = &t.drain.back;
    out.push(Check {
        rule: "return-sags",
        tray: i,
        what: "Fall of the return over its length".into(),
        number: (back.drop.get() / back.length.get()).value,
        limit: RETURN_FALL,
        field: "drain.return_drop",
    });
}

/// What lies open to the light, and the cover that darkens it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cover {
    /// Which tray.
    pub tray: usize,
    /// Wet floor that light reaches \[m²\].
    pub lit_m2: f64,
    /// Sheet: length and width \[m\]; of a disc twice its diameter.
    pub sheet_m: (f64, f64),
    /// Whether the sheet is a disc.
    pub round: bool,
    /// Openings: how many, length and width \[m\].
    pub openings: Vec<(usize, f64, f64)>,
}

impl Cover {
    /// Its sheet in words, as it is bought and cut.
    pub fn size(&self, u: System) -> String {
        let (l, w) = self.sheet_m;
        if self.round { format!("disc of {}", u.length(l)) } else { format!("{} × {}", u.length(l), u.length(w)) }
    }
}

/// The cover of a tray: a sheet that lies on the block tops, with a hole for each block and one for the riser.
pub fn cover(rig: &Rig, tray: usize) -> Option<Cover> {
    let t = rig.trays.get(tray)?;
    let b = t.blocks.as_ref()?;
    // It lies on the blocks' tops, where a tapered tub is narrower than at its rim.
    let (l, w) = t.shape.plan_at(t.block_tops().unwrap_or(t.rim()).min(t.rim()));
    let count = b.count.get() as usize;
    let mut openings = vec![(count, b.length.get().value + 0.004, b.width.get().value + 0.004)];
    let risers = t.drain_places().len();
    if risers > 0 {
        let d = flange_m(t, t.holes.drain.get().value);
        openings.push((risers, d, d));
    }
    Some(Cover {
        tray,
        lit_m2: (t.shape.area_at(Length::default()) - b.plan_area()).value.max(0.0),
        sheet_m: (l.value, w.value),
        round: t.shape.is_round(),
        openings,
    })
}

/// Blocks that stand on a fitting: how many, by the places that the drawing gives them.
pub fn blocks_on_fittings(t: &Tray) -> usize {
    let Some(b) = &t.blocks else { return 0 };
    let block = (b.length.get().value, b.width.get().value);
    let half = 0.5 * t.floor().0.value;
    let places = t.block_places();
    let outs = keep_outs(t);
    places.iter().filter(|(x, y)| outs.iter().any(|k| !clear_of(k, block, (x + half, *y)))).count()
}
