use super::field::item;
use super::raw::Raw;
use super::section::Section;
use crate::bench::{Along, Floor, Material, Member, Stand, Tray};
use crate::finding::{Finding, Severity};
use crate::value::Value;
use tidewright_physics::quantity::{Length, Pressure, m, mm, pa};
use tidewright_physics::structure::Section as CrossSection;

/// `[stand]`; none where the file has no such section. It is that of the first tray; others stand on their like.
pub(crate) fn read(s: &Section<'_>, trays: &[Tray]) -> Option<Stand> {
    if !s.present() {
        return None;
    }
    let tray = trays.first()?;
    let (length, width) = tray.shape.plan_at(m(0.0));
    let along = s
        .choice("along", "direction of the rails", &[("length", Along::Length), ("width", Along::Width)])
        .or(Along::Length, "common practice: two long rails");
    let (run, across) = if along.get() == Along::Length { (length, width) } else { (width, length) };
    let rail = member(&s.sub("rail"), (mm(38.0), mm(89.0)), "rail");
    let rails = s.count("rails", "number of rails").range(2.0, 30.0).or(2.0, "common practice: two");
    let rail_length =
        s.quantity("rail_length", "length of a rail").range(mm(50.0), m(12.0)).or(run, "as long as the tray's floor");
    let n = rails.get() as usize;
    let usual: Vec<f64> = (0..n).map(|i| across.value * (i as f64 + 0.5) / n as f64).collect();
    let rail_at = read_places(s, usual, across);
    let deck = s
        .quantity("deck", "thickness of a board between rails and tray")
        .range(mm(0.0), mm(60.0))
        .or(mm(0.0), "none named");
    let top = rail.outer.1 + deck.get();
    let leg = member(&s.sub("leg"), (mm(89.0), mm(89.0)), "leg");
    let stand = Stand {
        span: s
            .quantity("span", "from support to support of a rail")
            .range(mm(50.0), rail_length.get())
            .or(rail_length.get(), "legs at both ends only"),
        legs: s.count("legs", "number of legs").range(3.0, 60.0).or(4.0, "common practice: four"),
        leg_length: s
            .quantity("leg_length", "free length of a leg")
            .range(mm(0.0), tray.elevation.get().max(mm(1.0)))
            .or((tray.elevation.get() - top).max(mm(0.0)), "from the floor to below the rails"),
        braced: s.flag("braced", "diagonals or sheets keep it from swaying").or(false, "none named"),
        base: (
            s.quantity("base_length", "distance of the outer legs, along")
                .range(mm(50.0), m(12.0))
                .or(length, "as the tray's floor"),
            s.quantity("base_width", "distance of the outer legs, across")
                .range(mm(50.0), m(12.0))
                .or(width, "as the tray's floor"),
        ),
        tied: s.flag("tied", "tied to a wall").or(false, "not named"),
        floor: s
            .choice(
                "floor",
                "floor of the room",
                &[("unknown", Floor::Unknown), ("slab", Floor::Slab), ("suspended", Floor::Suspended)],
            )
            .or(Floor::Unknown, "nobody said"),
        pad: s.quantity("pad", "side of the pad under a leg").range(mm(0.0), m(1.0)).or(mm(0.0), "bare ends"),
        rail,
        rails,
        along,
        rail_length,
        rail_at,
        deck,
        leg,
    };
    s.finish();
    Some(stand)
}

fn read_places(s: &Section<'_>, usual: Vec<f64>, across: Length) -> Value<Vec<f64>> {
    let Some(found) = s.find("rail_at") else {
        return Value::assumed(usual, "evenly under the tray's floor");
    };
    s.list_found("rail_at", "middles of the rails across the tray", &found, "[\"120 mm\", \"340 mm\"]");
    let Raw::List(items) = &found.raw else {
        s.wrong_type("rail_at", &found, "a list of lengths");
        return Value::assumed(usual, "evenly under the tray's floor");
    };
    let places: Vec<f64> =
        items.iter().filter_map(|x| item::<Length>(s, "rail_at", &found, Some(x))).map(|l| l.value).collect();
    if places.len() != usual.len() || places.iter().any(|p| *p < 0.0 || *p > across.value) {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "conflicting-values",
                "Rails that do not agree",
                format!(
                    "\"rail_at\" has {} places, \"rails\" is {}; each lies within {:.0} mm.",
                    places.len(),
                    usual.len(),
                    1e3 * across.value
                ),
            )
            .at(s.place("rail_at", found.span.clone()))
            .mend("Give a place for each rail, from the front (or left) edge of the tray's floor."),
        );
        return Value::assumed(usual, "evenly under the tray's floor");
    }
    Value::new(places, found.birth)
}

fn member(s: &Section<'_>, usual: (Length, Length), what: &str) -> Member {
    let material = s
        .choice(
            "material",
            "what it is made of",
            &[("timber", Material::Timber), ("plastic", Material::Plastic), ("steel", Material::Steel)],
        )
        .or(Material::Timber, "common practice: construction softwood");
    let outside = s.quantity::<Length>("outside", "outside diameter of the pipe").range(mm(5.0), mm(500.0)).optional();
    for key in ["wall", "width", "height"] {
        s.know(key);
    }
    let (section, outer, wall) = match &outside {
        Some(d) => {
            let wall = s
                .quantity("wall", "wall of the pipe")
                .range(mm(0.3), 0.5 * d.get())
                .or(0.065 * d.get(), "as thin as ordinary pressure pipe")
                .get();
            (CrossSection::pipe(d.get().value, wall.value), (d.get(), d.get()), Some(wall))
        }
        None => {
            let width = s.quantity("width", "width").range(mm(5.0), mm(500.0)).or(usual.0, "common practice").get();
            let height =
                s.quantity("height", "upright height").range(mm(5.0), mm(500.0)).or(usual.1, "common practice").get();
            (CrossSection::rectangle(width.value, height.value), (width, height), None)
        }
    };
    // Softwood of grade 2, wet: NDS Supplement, from memory; pipe of cell class 12454: ASTM D1784, 400 000 psi, creep from memory.
    let (e, e_years, strength, why) = match material.get() {
        Material::Timber => (8.7e9, 4.35e9, 5.4e6, "grade 2 softwood, wet, years under load: from memory"),
        Material::Plastic => (
            2.76e9,
            0.97e9,
            7.0e6,
            "PVC pipe: 2.76 GPa new (cell class 12454), 0.97 GPa after years (from memory); half of its design stress",
        ),
        Material::Steel => (200e9, 200e9, 100e6, "mild steel, from memory; under half of its yield"),
    };
    let gpa = |key: &'static str, label: &'static str, usual: f64| {
        s.quantity::<Pressure>(key, label).range(pa(1e6), pa(4e11)).or(pa(usual), why)
    };
    let member = Member {
        name: s.text("name", "name").unwrap_or_else(|| format!("{what} of {}", words(material.get(), outer, wall))),
        section,
        outer,
        wall,
        stiffness: gpa("stiffness", "stiffness", e),
        stiffness_in_years: gpa("stiffness_in_years", "stiffness left after years under load", e_years),
        strength: gpa("strength", "bending stress it may carry for years", strength),
        material,
    };
    s.finish();
    member
}

fn words(material: Material, outer: (Length, Length), wall: Option<Length>) -> String {
    let mm = |l: Length| (1e3 * l.value).round();
    let kind = match material {
        Material::Timber => "timber",
        Material::Plastic => "plastic",
        Material::Steel => "steel",
    };
    match wall {
        Some(w) => format!(
            "{kind} {} {} × {:.1} mm",
            if kind == "steel" { "tube" } else { "pipe" },
            mm(outer.0),
            1e3 * w.value
        ),
        None => format!("{kind} {} × {} mm", mm(outer.0), mm(outer.1)),
    }
}
