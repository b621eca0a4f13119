//! Shapes of vessels: tapered rectangle, tapered round, or a measured table.

use super::field::item;
use super::raw::Raw;
use super::section::Section;
use crate::finding::{Finding, Severity};
use tidewright_physics::geometry::Shape;
use tidewright_physics::quantity::{self as q, Length, Volume, m, mm};

#[derive(Clone, Copy, PartialEq)]
enum Form {
    Rectangle,
    Round,
    Table,
}

/// Moulded tubs narrow by about five degrees a side towards the floor.
const DRAFT: f64 = 0.087;
const DRAFT_WHY: &str = "common practice: a moulded tub narrows by about 5° a side";

/// Reads the shape of a vessel; `usual` is its rim (length, width) and depth where nobody says.
pub(crate) fn read(s: &Section<'_>, usual: Option<(Length, Length, Length)>) -> Option<Shape> {
    let guess = if s.has("table") {
        Form::Table
    } else if s.has("diameter") {
        Form::Round
    } else {
        Form::Rectangle
    };
    let form = s
        .choice(
            "shape",
            "shape",
            &[("tapered rectangle", Form::Rectangle), ("tapered round", Form::Round), ("table", Form::Table)],
        )
        .or(guess, "follows from the sizes given");
    for (key, owner) in [
        ("length", Form::Rectangle),
        ("width", Form::Rectangle),
        ("floor_length", Form::Rectangle),
        ("floor_width", Form::Rectangle),
        ("diameter", Form::Round),
        ("floor_diameter", Form::Round),
        ("table", Form::Table),
        ("depth", Form::Rectangle),
        ("capacity", Form::Rectangle),
    ] {
        if form.get() != owner && !(key == "depth" && form.get() == Form::Round) {
            continue;
        }
        s.know(key);
    }
    match form.get() {
        Form::Rectangle => rectangle(s, usual),
        Form::Round => round(s),
        Form::Table => table(s),
    }
}

fn rectangle(s: &Section<'_>, usual: Option<(Length, Length, Length)>) -> Option<Shape> {
    let span = (mm(30.0), m(6.0));
    let deep = (mm(20.0), m(3.0));
    // A reservoir known by its litres alone is drawn as a common tote of that size.
    let by_capacity =
        s.quantity::<Volume>("capacity", "volume to the rim").range(q::litres(0.5), q::litres(20_000.0)).optional();
    let usual = by_capacity.as_ref().map(|c| tote(c.get())).or(usual);
    let (length, width, depth) = match usual {
        Some((l, w, d)) => {
            let why = "common practice: a tote of this volume is about 1.6 : 1.05 : 0.92";
            (
                s.quantity("length", "length inside, at the rim").range(span.0, span.1).or(l, why),
                s.quantity("width", "width inside, at the rim").range(span.0, span.1).or(w, why),
                s.quantity("depth", "depth inside").range(deep.0, deep.1).or(d, why),
            )
        }
        None => (
            s.quantity("length", "length inside, at the rim").range(span.0, span.1).required(m(0.8)),
            s.quantity("width", "width inside, at the rim").range(span.0, span.1).required(m(0.5)),
            s.quantity("depth", "depth inside").range(deep.0, deep.1).required(mm(200.0)),
        ),
    };
    let narrower = |rim: Length| (rim - 2.0 * DRAFT * depth.get()).max(0.5 * rim);
    let floor_length = s
        .quantity("floor_length", "length inside, at the floor")
        .range(span.0, span.1)
        .or(narrower(length.get()), DRAFT_WHY);
    let floor_width = s
        .quantity("floor_width", "width inside, at the floor")
        .range(span.0, span.1)
        .or(narrower(width.get()), DRAFT_WHY);
    let shape = Shape::TaperedRectangle {
        floor: (floor_length.get(), floor_width.get()),
        rim: (length.get(), width.get()),
        depth: depth.get(),
    };
    if let Some(c) = by_capacity.filter(|c| ((shape.full() / c.get()).value - 1.0).abs() > 0.03) {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "conflicting-values",
                "Capacity and sizes disagree",
                format!(
                    "\"capacity\" is {:.1} L; the sizes give {:.1} L.",
                    c.get().value * 1e3,
                    shape.full().value * 1e3
                ),
            )
            .at(s.place("capacity", s.find("capacity").and_then(|f| f.span)))
            .mend("Give the capacity alone, or all the sizes and no capacity."),
        );
    }
    Some(shape)
}

/// Rim and depth of a common tote that holds this volume, its taper allowed for.
fn tote(capacity: Volume) -> (Length, Length, Length) {
    let (mut lo, mut hi) = (0.02, 5.0);
    for _ in 0..60 {
        let side: f64 = 0.5 * (lo + hi);
        let shape = Shape::TaperedRectangle {
            floor: (m(1.6 * side - 2.0 * DRAFT * 0.92 * side), m(1.05 * side - 2.0 * DRAFT * 0.92 * side)),
            rim: (m(1.6 * side), m(1.05 * side)),
            depth: m(0.92 * side),
        };
        if shape.full() < capacity { lo = side } else { hi = side }
    }
    (m(1.6 * lo), m(1.05 * lo), m(0.92 * lo))
}

fn round(s: &Section<'_>) -> Option<Shape> {
    let span = (mm(30.0), m(6.0));
    let rim = s.quantity("diameter", "diameter inside, at the rim").range(span.0, span.1).required(mm(300.0));
    let depth = s.quantity("depth", "depth inside").range(mm(20.0), m(3.0)).required(mm(300.0));
    let narrower = (rim.get() - 2.0 * DRAFT * depth.get()).max(0.5 * rim.get());
    let floor =
        s.quantity("floor_diameter", "diameter inside, at the floor").range(span.0, span.1).or(narrower, DRAFT_WHY);
    Some(Shape::TaperedRound { floor: floor.get(), rim: rim.get(), depth: depth.get() })
}

fn table(s: &Section<'_>) -> Option<Shape> {
    let found = s.find("table")?;
    s.list_found("table", "depths and volumes", &found, "[[\"50 mm\", \"9 L\"], [\"100 mm\", \"19 L\"]]");
    let Raw::List(rows) = &found.raw else {
        s.wrong_type("table", &found, "a list of rows [depth, volume]");
        return None;
    };
    let mut points = Vec::new();
    for row in rows {
        let Raw::List(cells) = row else {
            s.wrong_type("table", &found, "a list of rows [depth, volume]");
            return None;
        };
        let depth: Length = item(s, "table", &found, cells.first())?;
        let volume: Volume = item(s, "table", &found, cells.get(1))?;
        points.push((depth, volume));
    }
    let in_reach = points.iter().all(|p| p.0 <= m(3.0) && p.0 >= m(0.0) && p.1 <= q::m3(40.0));
    let shape = if points.len() >= 2 && in_reach { Shape::table(&points) } else { None };
    if shape.is_none() {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "The table does not rise",
                "A depth–volume table needs two rows or more; depths (to 3 m) and volumes must both rise from row to row.",
            )
            .at(s.place("table", found.span.clone()))
            .mend("Write it as table = [[\"50 mm\", \"9 L\"], [\"100 mm\", \"19 L\"]]."),
        );
    }
    shape
}
