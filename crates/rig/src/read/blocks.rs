use super::section::{Section, nearest};
use crate::bench::{Blocks, LooseBed, Medium, Moisture};
use crate::finding::{Finding, Severity};
use tidewright_physics::quantity::{Length, m, mm};

pub(crate) fn read_blocks(s: &Section<'_>, floor: (Length, Length)) -> Option<Blocks> {
    if !s.present() {
        return None;
    }
    let medium = read_medium(s, "medium", "growing medium", "stone-wool");
    let lower =
        s.find("lower_medium").and_then(|_| read_medium(s, "lower_medium", "medium of the lowest layer", "stone-wool"));
    let span = (mm(10.0), m(2.0));
    let length = s
        .quantity("length", "plan length of one block")
        .range(span.0, span.1)
        .or(mm(100.0), "common practice: a 4 in block");
    let width = s.quantity("width", "plan width of one block").range(span.0, span.1).or(length.get(), "square");
    // Blocks stand at about one and a half times their own size.
    let along = ((floor.0 / length.get()).value / 1.5).floor().clamp(1.0, 4.0);
    let across = ((floor.1 / width.get()).value / 1.5).floor().clamp(1.0, 3.0);
    let blocks = Blocks {
        medium: medium?,
        lower,
        width,
        height: s.quantity("height", "height of one block").range(span.0, span.1).or(length.get(), "a cube"),
        layers: s.count("layers", "blocks on top of each other").range(1.0, 10.0).or(1.0, "one"),
        count: s
            .count("count", "number of stacks")
            .range(1.0, 5000.0)
            .or(along * across, "what stands on this floor with room between, twelve at most"),
        rows: s
            .count("rows", "number of rows")
            .range(1.0, 500.0)
            .or(across, "as many as stand across this floor, three at most"),
        wrapped: s.flag("wrapped", "film around the sides").or(true, "common practice: blocks come wrapped"),
        covered: s.flag("covered", "lid or foil over their tops").or(false, "common practice: tops are open"),
        start: s
            .choice("start", "water in them at the start", &[("moist", Moisture::Moist), ("dry", Moisture::Dry)])
            .or(Moisture::Moist, "common practice: soaked before planting"),
        base: s
            .quantity("base", "height of their underside above the tray floor")
            .range(mm(0.0), mm(500.0))
            .or(mm(0.0), "they stand on the floor"),
        length,
    };
    if blocks.lower.is_some() && blocks.layers.get() < 2.0 {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "conflicting-values",
                "A lower layer of one layer",
                "\"lower_medium\" is for stacks of two layers and more.".to_owned(),
            )
            .at(s.place("lower_medium", s.find("lower_medium").and_then(|f| f.span)))
            .mend("Write layers = 2, or leave lower_medium out."),
        );
    }
    s.finish();
    Some(blocks)
}

pub(crate) fn read_bed(s: &Section<'_>) -> Option<LooseBed> {
    if !s.present() {
        return None;
    }
    let medium = read_medium(s, "medium", "growing medium", "clay-pellets");
    let bed = LooseBed {
        medium: medium?,
        depth: s.quantity::<Length>("depth", "depth of the bed").range(mm(10.0), m(2.0)).required(mm(200.0)),
        void_fraction: s
            .quantity("void_fraction", "space between the grains")
            .range(0.1, 0.9)
            .or(0.42, "common practice: round pellets of one size"),
    };
    s.finish();
    Some(bed)
}

fn read_medium(s: &Section<'_>, key: &'static str, label: &'static str, usual: &str) -> Option<Medium> {
    let name = s.text(key, label).unwrap_or_else(|| usual.to_owned());
    let medium = s.context.library.medium(&name);
    if medium.is_none() {
        let near = nearest(&name, s.context.library.media().map(|m| m.id.as_str()));
        s.context.report(
            Finding::new(
                Severity::Stop,
                "unknown-part",
                "No such medium",
                format!("There is no medium \"{name}\" in the parts data."),
            )
            .at(s.place(key, s.find(key).and_then(|f| f.span)))
            .mend(near.map_or_else(
                || {
                    format!(
                        "Known: {}.",
                        s.context.library.media().map(|m| m.id.as_str()).collect::<Vec<_>>().join(", ")
                    )
                },
                |n| format!("Did you mean \"{n}\"?"),
            )),
        );
    }
    medium.cloned()
}
