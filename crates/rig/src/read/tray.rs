use super::raw::Raw;
use super::section::{Section, nearest};
use super::timer::{TimerSection, read_schedule};
use super::{blocks, drain, feed, vessel};
use crate::bench::{Blocks, Branch, Entry, Pump, Tray, Valve};
use crate::finding::{Finding, Severity};
use tidewright_physics::geometry::{Relief, Shape};
use tidewright_physics::quantity::{Length, Time, m, min, mm, s as seconds};

pub(crate) fn read_all(
    top: &Section<'_>,
    pumps: &[Pump],
    timer: &TimerSection,
    reservoir_elevation: Length,
) -> Vec<Tray> {
    let common = Common { blocks: top.tables_of("blocks"), bed: top.tables_of("bed"), drain: top.tables_of("drain") };
    let mut sections = top.subs("tray");
    if sections.is_empty() {
        sections.push(top.sub("tray"));
    }
    let single = sections.len() == 1;
    let names: Vec<String> = sections
        .iter()
        .enumerate()
        .map(|(i, s)| {
            s.text("name", "name of the tray")
                .unwrap_or_else(|| if single { "tray".into() } else { format!("tray {}", i + 1) })
        })
        .collect();
    for (i, n) in names.iter().enumerate() {
        if names[..i].contains(n) {
            let s = &sections[i];
            s.context.report(
                Finding::new(
                    Severity::Stop,
                    "conflicting-values",
                    "Two trays of one name",
                    format!("There are two trays named \"{n}\"."),
                )
                .at(s.place("name", s.find("name").and_then(|f| f.span)))
                .mend("Give each its own name."),
            );
        }
    }
    let trays: Vec<Tray> = sections
        .iter()
        .enumerate()
        .filter_map(|(i, s)| {
            let tray = read_one(s, &names, i, pumps, timer, &common, single, top, reservoir_elevation);
            s.finish();
            tray
        })
        .collect();
    check_cascade(top, &trays);
    trays
}

struct Common<'c> {
    blocks: Vec<&'c toml::de::DeTable<'c>>,
    bed: Vec<&'c toml::de::DeTable<'c>>,
    drain: Vec<&'c toml::de::DeTable<'c>>,
}

#[allow(clippy::too_many_arguments)]
fn read_one(
    s: &Section<'_>,
    names: &[String],
    index: usize,
    pumps: &[Pump],
    timer: &TimerSection,
    common: &Common<'_>,
    single: bool,
    top: &Section<'_>,
    reservoir_elevation: Length,
) -> Option<Tray> {
    let shape = vessel::read(s, None)?;
    let elevation = s
        .quantity("elevation", "height of its floor above the floor of the room")
        .range(m(-2.0), m(6.0))
        .or(mm(750.0), "common practice: bench height over a tote");
    let tilt = s.quantity("tilt", "out of level, end to end").range(mm(0.0), mm(200.0)).or(mm(0.0), "taken as level");
    let tilts_to_drain = s
        .choice("tilt_to", "which end is low", &[("drain", true), ("away", false)])
        .or(true, "common practice: towards the drain");
    let bow = s
        .quantity("bow", "sag of the floor between its fittings")
        .range(mm(0.0), mm(60.0))
        .or(mm(0.0), "taken as flat; measure it with a ruler");
    let lip = s
        .quantity("lip", "height of the flood fitting's lip above the floor")
        .range(mm(0.0), mm(60.0))
        .or(mm(3.0), "common practice: a flood fitting stands 3–8 mm proud");
    let floor_readings = read_nine(s);
    let relief = relief(floor_readings.as_ref(), tilt.get(), tilts_to_drain.get(), bow.get());
    let entry = read_entry(s, shape.depth());
    let (length, width) = shape.plan_at(m(0.0));
    let at = |key: &'static str, label, of: Length, share: f64| {
        s.quantity(key, label).range(mm(0.0), m(6.0)).or(of * share, "drawn there until said otherwise")
    };
    let feed_at = (
        at("feed_x", "flood fitting from the left end", length, 0.25),
        at("feed_y", "flood fitting from the front", width, 0.5),
    );
    let drain_at =
        (at("drain_x", "riser from the left end", length, 0.75), at("drain_y", "riser from the front", width, 0.5));
    let pump = pump_of(s, index, pumps);
    // Defaults for every tray may stand in sections of their own beside [[tray]].
    let section =
        |key: &'static str, tables: &[_]| if single && !s.has(key) { top.sub(key) } else { s.sub_or(key, tables) };
    // A tray with a bed of its own does not take the blocks that the others have, nor the reverse.
    let inherited =
        |own_other: &str, tables: &[_]| if s.has(own_other) && !single { Vec::new() } else { tables.to_vec() };
    let blocks = blocks::read_blocks(&section("blocks", &inherited("bed", &common.blocks)), (length, width));
    let bed = blocks::read_bed(&section("bed", &inherited("blocks", &common.bed)));
    check_fit(s, &shape, blocks.as_ref());
    let around = drain::Around {
        blocks: blocks.as_ref(),
        bed_depth: bed.as_ref().map(|b| b.depth.get()),
        rim: shape.depth(),
        floor_above_reservoir: (elevation.get() - reservoir_elevation).max(mm(100.0)),
    };
    let drain = drain::read(&section("drain", &common.drain), &around);
    let branch = read_branch(&s.sub("branch"));
    let feed_bore = branch.as_ref().map(|b| b.hose.bore.get()).or_else(|| pumps.get(pump).map(|p| p.feed.bore.get()));
    let holes = super::holes::read(s, (feed_bore, drain.riser.as_ref().map(|r| r.bore.get())));
    let drains_into = read_cascade(s, names, index);
    let schedule = read_schedule(s, Some(&timer.common));
    check_heights(s, &shape, drain.riser.as_ref().map(|r| r.crest.height.get()), bed.as_ref().map(|b| b.depth.get()));
    Some(Tray {
        name: names[index].clone(),
        shape,
        elevation,
        tilt,
        tilts_to_drain,
        bow,
        lip,
        floor_readings,
        relief,
        entry,
        feed_at,
        drain_at,
        holes,
        pump,
        branch,
        drain,
        drains_into,
        blocks,
        bed,
        schedule,
    })
}

/// Blocks that do not fit on the floor are a slip of the pen: nothing can be said of their water.
fn check_fit(s: &Section<'_>, shape: &Shape, blocks: Option<&Blocks>) {
    let Some(b) = blocks else { return };
    let floor = shape.si().area(0.0);
    let share = b.plan_area().value / floor;
    if share > 1.0 {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "The blocks do not fit",
                format!(
                    "{} blocks of {:.0} × {:.0} mm cover {:.0} % of the tray's floor.",
                    b.count.get(),
                    b.length.get().value * 1e3,
                    b.width.get().value * 1e3,
                    100.0 * share
                ),
            )
            .at(s.place("blocks.count", None))
            .mend("Check count, length and width of the blocks, and their units."),
        );
    }
}

fn check_heights(s: &Section<'_>, shape: &Shape, crest: Option<Length>, bed: Option<Length>) {
    let rim = shape.depth();
    let too_high = |what: &str, key: &str, h: Length| {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                format!("The {what} stands above the rim"),
                format!("The {what} is {:.0} mm above the floor, the rim {:.0} mm.", h.value * 1e3, rim.value * 1e3),
            )
            .at(s.place(key, None))
            .mend(format!("Lower the {what}, or check the depth of the tray.")),
        );
    };
    if let Some(c) = crest.filter(|c| *c >= rim) {
        too_high("riser's crest", "drain.crest", c);
    }
    if let Some(b) = bed.filter(|b| *b > rim) {
        too_high("bed of loose media", "bed.depth", b);
    }
}

fn read_nine(s: &Section<'_>) -> Option<[f64; 9]> {
    let found = s.find("floor_readings")?;
    s.list_found("floor_readings", "nine heights of the floor", &found, "nine lengths, as in [\"0 mm\", \"2 mm\"]");
    let due = "a list of nine heights, as in [\"0 mm\", \"2 mm\", …]";
    let Raw::List(items) = &found.raw else {
        s.wrong_type("floor_readings", &found, due);
        return None;
    };
    let heights: Vec<f64> = items
        .iter()
        .filter_map(|r| super::field::item::<Length>(s, "floor_readings", &found, Some(r)))
        .map(|l| l.value)
        .collect();
    match <[f64; 9]>::try_from(heights) {
        Ok(nine) if nine.iter().all(|h| h.abs() <= 0.1) => Some(nine),
        _ => {
            s.wrong_type("floor_readings", &found, due);
            None
        }
    }
}

/// Heights of a tilted, hanging or measured floor against the flood fitting, spread evenly.
fn relief(nine: Option<&[f64; 9]>, tilt: Length, to_drain: bool, bow: Length) -> Relief {
    const N: usize = 24;
    let mut heights = Vec::with_capacity(N * N);
    if nine.is_none() && tilt.value < 1e-4 && bow.value < 1e-4 {
        return Relief::from_heights(&[]);
    }
    for i in 0..N {
        for j in 0..N {
            let (x, y) = ((i as f64 + 0.5) / N as f64, (j as f64 + 0.5) / N as f64);
            heights.push(match nine {
                Some(z) => bilinear(z, x, y),
                None => {
                    // The fitting stands at the low end where the floor tilts to it, else at the high one.
                    let slope = if to_drain { x * tilt.value } else { -x * tilt.value };
                    slope - bow.value * (16.0 * x * (1.0 - x) * y * (1.0 - y))
                }
            });
        }
    }
    // The fitting's own level is part of the floor: from there on water stands over it.
    heights.push(0.0);
    Relief::from_heights(&heights)
}

fn bilinear(z: &[f64; 9], x: f64, y: f64) -> f64 {
    let (u, v) = (x * 2.0, y * 2.0);
    let (i, j) = ((u as usize).min(1), (v as usize).min(1));
    let (a, b) = (u - i as f64, v - j as f64);
    let at = |i: usize, j: usize| z[j * 3 + i];
    (1.0 - b) * ((1.0 - a) * at(i, j) + a * at(i + 1, j)) + b * ((1.0 - a) * at(i, j + 1) + a * at(i + 1, j + 1))
}

fn read_entry(s: &Section<'_>, rim: Length) -> Entry {
    for key in ["end_height", "break_hole", "bend_height"] {
        s.know(key);
    }
    let over = s
        .choice("enters", "where the feed comes in", &[("floor", false), ("over the rim", true)])
        .or(false, "common practice: a flood fitting in the floor");
    if !over.get() {
        return Entry::Floor;
    }
    Entry::OverRim {
        end: s
            .quantity("end_height", "hose end above the tray floor")
            .range(mm(0.0), m(2.0))
            .or(mm(20.0), "common practice: hangs near the floor"),
        break_hole: s
            .quantity("break_hole", "hole that lets air in, above the tray floor")
            .range(mm(0.0), m(2.0))
            .optional(),
        bend: s
            .quantity("bend_height", "top of the hose above the tray floor")
            .range(mm(0.0), m(4.0))
            .or(rim + mm(30.0), "just over the rim"),
    }
}

fn pump_of(s: &Section<'_>, index: usize, pumps: &[Pump]) -> usize {
    let Some(name) = s.text("pump", "which pump feeds it") else {
        // As many pumps as trays: each has its own.
        return if pumps.len() > 1 { index.min(pumps.len() - 1) } else { 0 };
    };
    if let Some(i) = pumps.iter().position(|p| p.name == name) {
        return i;
    }
    let near = nearest(&name, pumps.iter().map(|p| p.name.as_str()));
    s.context.report(
        Finding::new(Severity::Stop, "unknown-choice", "No such pump", format!("There is no pump named \"{name}\"."))
            .at(s.place("pump", s.find("pump").and_then(|f| f.span)))
            .mend(near.map_or_else(|| "Use the name of a [[pump]].".into(), |n| format!("Did you mean \"{n}\"?"))),
    );
    0
}

fn read_branch(s: &Section<'_>) -> Option<Branch> {
    if !s.present() {
        return None;
    }
    s.know("stays_open");
    let timed = s
        .choice("valve", "valve in the branch", &[("always open", false), ("timed", true)])
        .or(false, "common practice: none");
    let valve = if timed.get() {
        Valve::Timed {
            stays_open: s
                .quantity::<Time>("stays_open", "how long the valve stays open after the flood")
                .range(seconds(0.0), min(24.0 * 60.0))
                .or(min(20.0), "long enough to drain back"),
        }
    } else {
        Valve::AlwaysOpen
    };
    Some(Branch { hose: feed::read(s, &feed::Usual::FROM_MANIFOLD), valve })
}

fn read_cascade(s: &Section<'_>, names: &[String], index: usize) -> Option<usize> {
    let below = s.text("drains_into", "tray below that it drains into")?;
    match names.iter().position(|n| *n == below) {
        Some(i) if i != index => Some(i),
        other => {
            let sentence = if other.is_some() {
                "A tray cannot drain into itself.".to_owned()
            } else {
                format!("There is no tray named \"{below}\".")
            };
            s.context.report(
                Finding::new(Severity::Stop, "unknown-choice", "No such tray below", sentence)
                    .at(s.place("drains_into", s.find("drains_into").and_then(|f| f.span)))
                    .mend(nearest(&below, names.iter().map(String::as_str)).map_or_else(
                        || "Use the name of another tray, or leave the line out.".into(),
                        |n| format!("Did you mean \"{n}\"?"),
                    )),
            );
            None
        }
    }
}

/// The tray that a section names, the first where it names none.
pub(super) fn which(s: &Section<'_>, label: &'static str, trays: &[Tray]) -> Option<usize> {
    let Some(name) = s.text("tray", label) else { return Some(0) };
    let found = trays.iter().position(|t| t.name == name);
    if found.is_none() {
        let sentence = format!("There is no tray named \"{name}\".");
        s.context.report(
            Finding::new(Severity::Stop, "unknown-choice", "No such tray", sentence)
                .at(s.place("tray", s.find("tray").and_then(|f| f.span)))
                .mend(
                    nearest(&name, trays.iter().map(|t| t.name.as_str())).map_or_else(
                        || "Use the name of one of the trays.".into(),
                        |n| format!("Did you mean \"{n}\"?"),
                    ),
                ),
        );
    }
    found
}

/// Trays that drain into each other in a ring never drain.
fn check_cascade(top: &Section<'_>, trays: &[Tray]) {
    for tray in trays {
        if let Some(below) =
            tray.drains_into.and_then(|i| trays.get(i)).filter(|b| b.elevation.get() >= tray.elevation.get())
        {
            top.context.report(
                Finding::new(
                    Severity::Stop,
                    "conflicting-values",
                    "Water does not drain upwards",
                    format!("\"{}\" drains into \"{}\", which stands no lower.", tray.name, below.name),
                )
                .at(top.place("tray", None))
                .mend("Check the elevations of the two trays."),
            );
        }
    }
    for (i, tray) in trays.iter().enumerate() {
        let mut at = i;
        for _ in 0..trays.len() {
            match trays.get(at).and_then(|t| t.drains_into) {
                Some(next) => at = next,
                None => break,
            }
        }
        if trays.get(at).and_then(|t| t.drains_into).is_some() {
            top.context.report(
                Finding::new(
                    Severity::Stop,
                    "conflicting-values",
                    "Trays drain in a ring",
                    format!("\"{}\" drains through other trays back into itself.", tray.name),
                )
                .at(top.place("tray", None))
                .mend("Let the lowest tray drain into the reservoir."),
            );
            return;
        }
    }
}
