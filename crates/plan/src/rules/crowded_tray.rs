use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::Tray;
use tidewright_rig::finding::Place;
use tidewright_rig::units::System;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "crowded-tray", judge };

/// Fittings and water need floor: above four fifths there is hardly free water, above all of it the
/// blocks do not fit. Common practice, no source.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref()?;
            let share = (b.plan_area() / v.tray.shape.area_at(tidewright_physics::quantity::mm(0.0))).value;
            let words = format!("{}{} blocks cover {:.0} % of the floor.", v.who(), b.count.get(), 100.0 * share);
            let place = Place::key(v.key("blocks.count"));
            let crest = v.tray.crest().map_or(0.0, |c| c.value);
            let free = (v.tray.shape.volume(tidewright_physics::quantity::m(crest)).value
                - b.plan_area().value * crest.min(b.total_height().value))
            .max(0.0);
            let f = if let Some(words) = overlap(v.tray, &v.who(), u) {
                Finding::new(Severity::Care, RULE.name, "The blocks overlap as they are set", words)
                    .mend("Give rows and blocks a row that fit the tray: `rows` under [blocks].")
            } else if share > 1.0 {
                Finding::new(Severity::Stop, RULE.name, "The blocks do not fit", words)
                    .mend("Take fewer or smaller blocks.")
            } else if share > 0.8 {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "Blocks fill the whole floor",
                    format!("{words} They cover the fittings and leave {} of free water.", u.volume(free)),
                )
                .mend("Keep the flood fitting and the riser free: take fewer blocks.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Fittings and water have room", words)
            };
            Some(f.at(place).measured(share, 0.8, "-"))
        })
        .collect()
}

/// Rows so many, or so few, that blocks spread evenly would stand in each other.
fn overlap(t: &Tray, who: &str, u: System) -> Option<String> {
    let b = t.blocks.as_ref()?;
    let places = t.block_places();
    let first = places.first()?;
    let along = places.iter().filter(|p| p.1 == first.1).map(|p| p.0 - first.0).filter(|d| *d > 1e-9);
    let across = places.iter().map(|p| p.1 - first.1).filter(|d| *d > 1e-9);
    // A tapered tub is pressed by a millimetre or two.
    let short = |step: f64, side: f64| step < side - 0.005;
    let (along, across) = (along.fold(f64::INFINITY, f64::min), across.fold(f64::INFINITY, f64::min));
    let (length, width) = (b.length.get().value, b.width.get().value);
    let (step, side, way) = match () {
        () if short(along, length) => (along, length, "along"),
        () if short(across, width) => (across, width, "across"),
        () => return None,
    };
    Some(format!(
        "{who}In {:.0} rows their middles lie {} apart {way}, and a block is {} wide there.",
        b.rows.get(),
        u.length(step),
        u.length(side)
    ))
}
