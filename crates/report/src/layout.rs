//! Where everything stands, in metres: shared by section and plan, so that they agree.

use tidewright_physics::geometry::Shape;
use tidewright_physics::quantity::m;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Entry, Tray};

/// Thickness of a stand's top \[m\].
pub const PLANK: f64 = 0.03;
/// Distance between trays that stand side by side, over the length of all of them \[-\]: room for a level's number.
const BETWEEN: f64 = 0.15;
/// Room over a canopy for a lamp, its height broken off \[m\].
const LAMP_ROOM: f64 = 0.19;
/// Most blocks of one row that are drawn one by one.
const MOST_SEEN: usize = 60;

/// One tray on its place.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayPlace {
    /// Middle, along the bench \[m\].
    pub middle: f64,
    /// Floor above the floor of the room \[m\].
    pub floor: f64,
    /// Height of the rim above its floor \[m\].
    pub depth: f64,
    /// Length at floor and at rim \[m\].
    pub length: (f64, f64),
    /// Width at floor and at rim \[m\].
    pub width: (f64, f64),
    /// Round in plan.
    pub round: bool,
    /// Which column of the bench it stands in.
    pub column: usize,
    /// Flood fitting along the bench and from the front of the floor \[m\].
    pub feed: (f64, f64),
    /// Riser, the same way \[m\].
    pub drain: (f64, f64),
}

/// One block on its place, from its tray's middle and the front of its floor \[m\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockPlace {
    /// Along the bench.
    pub x: f64,
    /// From the front of the floor.
    pub y: f64,
}

/// How the reservoir stands to the trays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReservoirStands {
    /// Under them.
    Under,
    /// A tray hangs in its rim.
    Around,
    /// Beside them.
    Beside,
}

/// The whole bench on its places.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Tray by tray.
    pub trays: Vec<TrayPlace>,
    /// Middle of the reservoir \[m\].
    pub reservoir: f64,
    /// How it stands.
    pub stands: ReservoirStands,
    /// Left and right end of all that is drawn \[m\].
    pub ends: (f64, f64),
    /// Lowest and highest point that is drawn \[m\].
    pub heights: (f64, f64),
    /// Columns: middle and half width \[m\].
    pub columns: Vec<(f64, f64)>,
}

/// Length at floor and rim, width at floor and rim \[m\].
pub type Sizes = ((f64, f64), (f64, f64));

/// Length and width of a vessel at floor and rim.
pub fn plan_sizes(shape: &Shape) -> Sizes {
    let (l0, w0) = shape.plan_at(m(0.0));
    let (l1, w1) = shape.plan_at(shape.depth());
    // A measured table says volumes only: near nil and at its end its slope can be far from the mean.
    if let Shape::Table { .. } = shape {
        let mean = (shape.full().value / shape.depth().value.max(1e-6)).max(1e-6).sqrt();
        let sane = |x: f64| if x.is_finite() { x.clamp(0.6 * mean, 1.5 * mean) } else { mean };
        return ((sane(l0.value), sane(l1.value)), (sane(w0.value), sane(w1.value)));
    }
    ((l0.value, l1.value), (w0.value, w1.value))
}

/// Height above its floor of the highest thing in a tray.
fn top_of(tray: &Tray) -> f64 {
    let rim = tray.rim().value;
    let bend = match &tray.entry {
        Entry::OverRim { bend, .. } => bend.get().value,
        Entry::Floor => 0.0,
    };
    let crop = tray.block_tops().map_or(0.0, |t| t.value + plant_height(tray));
    rim.max(bend).max(crop)
}

/// How tall the sprigs are drawn that say where plants stand.
pub fn plant_height(tray: &Tray) -> f64 {
    tray.blocks.as_ref().map_or(0.0, |b| (1.25 * b.length.get().value).clamp(0.03, 0.14))
}

impl Layout {
    /// Puts a bench on its places.
    pub fn of(rig: &Rig) -> Self {
        let sizes: Vec<_> = rig.trays.iter().map(|t| plan_sizes(&t.shape)).collect();
        let columns_of = columns(rig);
        let count = columns_of.iter().max().map_or(1, |c| c + 1);
        let mut half = vec![0.0_f64; count];
        for (i, c) in columns_of.iter().enumerate() {
            half[*c] = half[*c].max(sizes[i].0.0.max(sizes[i].0.1) / 2.0);
        }
        let mut columns = Vec::with_capacity(count);
        let between = BETWEEN * 2.0 * half.iter().sum::<f64>();
        let mut x = 0.0;
        for h in &half {
            columns.push((x + h, *h));
            x += 2.0 * h + between;
        }
        let right = x - between;
        let (r_length, _) = plan_sizes(&rig.reservoir.shape);
        let r_half = r_length.0.max(r_length.1) / 2.0;
        let r_floor = rig.reservoir.elevation.get().value;
        let r_top = r_floor + rig.reservoir.shape.depth().value;
        let (reservoir, stands) = reservoir_place(rig, &sizes, &columns, (r_half, r_floor, r_top), right);
        let trays: Vec<TrayPlace> = rig
            .trays
            .iter()
            .zip(&sizes)
            .zip(&columns_of)
            .map(|((t, (length, width)), column)| {
                let middle = columns[*column].0;
                let left = middle - length.0 / 2.0;
                let within = |x: f64, most: f64| x.clamp(0.0, most);
                TrayPlace {
                    middle,
                    floor: t.elevation.get().value,
                    depth: t.rim().value,
                    length: *length,
                    width: *width,
                    round: t.shape.is_round(),
                    column: *column,
                    feed: (left + within(t.feed_at.0.get().value, length.0), within(t.feed_at.1.get().value, width.0)),
                    drain: (
                        left + within(t.drain_at.0.get().value, length.0),
                        within(t.drain_at.1.get().value, width.0),
                    ),
                }
            })
            .collect();
        let over_rim = rig.trays.iter().any(|t| matches!(t.entry, Entry::OverRim { .. }));
        // A hose past a lower tray, or over a rim, runs outside of the stand.
        let stacked = columns_of.iter().enumerate().any(|(i, c)| columns_of[..i].contains(c));
        let left = (reservoir - r_half).min(if over_rim || stacked { -0.06 } else { 0.0 });
        let ends = (left - 0.02, right.max(reservoir + r_half) + 0.02);
        let top = rig
            .trays
            .iter()
            .map(|t| t.elevation.get().value + top_of(t))
            .chain([r_top + 0.05])
            .fold(f64::MIN, f64::max)
            // A lamp is drawn over its canopy, with a break where it hangs higher.
            + if rig.lamps.is_empty() { 0.0 } else { LAMP_ROOM };
        let bottom = rig.trays.iter().map(|t| t.elevation.get().value - 0.05).chain([r_floor, 0.0]).fold(0.0, f64::min);
        Self { trays, reservoir, stands, ends, heights: (bottom, top), columns }
    }

    /// Length of all that is drawn \[m\].
    pub fn length(&self) -> f64 {
        self.ends.1 - self.ends.0
    }

    /// Height of all that is drawn \[m\].
    pub fn height(&self) -> f64 {
        self.heights.1 - self.heights.0
    }

    /// Trays of one column, the highest first.
    pub fn in_column(&self, column: usize) -> Vec<usize> {
        let mut all: Vec<usize> =
            self.trays.iter().enumerate().filter(|(_, t)| t.column == column).map(|(i, _)| i).collect();
        all.sort_by(|a, b| self.trays[*b].floor.total_cmp(&self.trays[*a].floor));
        all
    }
}

fn reservoir_place(
    rig: &Rig,
    sizes: &[Sizes],
    columns: &[(f64, f64)],
    (half, floor, top): (f64, f64, f64),
    right: f64,
) -> (f64, ReservoirStands) {
    // The nearest column to the middle keeps the hoses of both sides alike.
    let middle = right / 2.0;
    let lowest = rig.trays.iter().map(|t| t.elevation.get().value).fold(f64::INFINITY, f64::min);
    if lowest >= top - 0.01 {
        return (middle, ReservoirStands::Under);
    }
    if let ([column], [tray], [size]) = (columns, rig.trays.as_slice(), sizes) {
        let hangs = tray.elevation.get().value > floor + 0.05 && size.0.0 / 2.0 < half;
        if hangs {
            return (column.0, ReservoirStands::Around);
        }
    }
    (-half - BETWEEN * right.max(0.5), ReservoirStands::Beside)
}

/// Which column each tray stands in: cascades one below the other, all else side by side.
fn columns(rig: &Rig) -> Vec<usize> {
    let n = rig.trays.len();
    let span = |i: usize| {
        let t = &rig.trays[i];
        let floor = t.elevation.get().value;
        (floor - PLANK, floor + t.rim().value + 0.02)
    };
    let mut out: Vec<Option<usize>> = vec![None; n];
    let mut next = 0;
    // Trays that no other drains into come first: they stand on top of their cascade.
    let is_fed = |i: &usize| rig.trays.iter().any(|t| t.drains_into == Some(*i));
    let starts = (0..n).filter(|i| !is_fed(i)).chain((0..n).filter(is_fed));
    for start in starts {
        let mut at = Some(start);
        // Follow the water down; a tray joins the column of the one above where there is room.
        let mut column = None;
        for _ in 0..n {
            let Some(i) = at else { break };
            match (out[i], column) {
                (Some(c), _) => column = Some(c),
                (None, Some(c)) => {
                    let free = (0..n).filter(|j| out[*j] == Some(c)).all(|j| {
                        let (a, b) = (span(i), span(j));
                        a.1 <= b.0 || b.1 <= a.0
                    });
                    if free {
                        out[i] = Some(c);
                    } else {
                        out[i] = Some(next);
                        column = Some(next);
                        next += 1;
                    }
                }
                (None, None) => {
                    out[i] = Some(next);
                    column = Some(next);
                    next += 1;
                }
            }
            at = rig.trays[i].drains_into;
        }
    }
    out.into_iter().map(|c| c.unwrap_or(0)).collect()
}

/// Blocks of a tray on their places, row by row from the front.
pub fn blocks(tray: &Tray) -> Vec<BlockPlace> {
    tray.block_places().into_iter().map(|(x, y)| BlockPlace { x, y }).collect()
}

/// Middles of the blocks of the front row, from the tray's middle \[m\].
pub fn front_row(tray: &Tray) -> Vec<f64> {
    let all = blocks(tray);
    let Some(first) = all.first() else { return Vec::new() };
    all.iter().take_while(|b| (b.y - first.y).abs() < 1e-9).take(MOST_SEEN).map(|b| b.x).collect()
}
