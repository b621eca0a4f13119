use super::SheetLine;
use super::raw::Raw;
use super::section::{Section, nearest};
use super::timer::clock;
use crate::bench::{Crop, Growing, Habit, Roof, RoomStep, Stage};
use crate::finding::{Finding, Severity};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{Length, MolarFlux, Time, VolumeRate, celsius, m, m_s, m3_s, min, mm, umol_m2_s};

/// `[crop]`, `[room]` and `[light]`; any may be left out.
///
/// `by_lamps`: what the lamps give a canopy of plants so tall, where there are any.
pub(crate) fn read(
    crop: &Section<'_>,
    room: &Section<'_>,
    light: &Section<'_>,
    by_lamps: &dyn Fn(Length) -> Option<MolarFlux>,
) -> Growing {
    const STAGES: &[(&str, Stage)] = &[
        ("rooting", Stage::Rooting),
        ("young", Stage::Young),
        ("growing", Stage::Growing),
        ("full", Stage::Full),
        ("late", Stage::Late),
    ];
    let kind = read_kind(crop);
    let stage = crop
        .choice("stage", "how far the crop is", STAGES)
        .or(Stage::Full, "the thirstiest: what holds then holds before");
    let (leaf_area, cover) = kind.leaves(stage.get());
    let by_lamps = by_lamps(m(kind.habit.height_m * Crop::height_share(stage.get())));
    let by_stage = "by crop and stage, common practice";
    let logged = read_logged(room);
    let place = room
        .choice(
            "roof",
            "what is over it",
            &[("lamps", Roof::Lamps), ("greenhouse", Roof::Greenhouse), ("sky", Roof::Sky)],
        )
        .or(Roof::Lamps, "common practice: a room with lamps");
    let usual_wind = if place.get() == Roof::Sky { m_s(2.0) } else { m_s(0.5) };
    let mut growing = Growing {
        crop: kind,
        leaf_area: crop.quantity("leaf_area", "leaf area over floor area").range(0.01, 12.0).or(leaf_area, by_stage),
        cover: crop.quantity("cover", "share of the tray that leaves cover").range(0.01, 1.0).or(cover, by_stage),
        plug: crop
            .quantity("plug", "how deep the plug sits in its block")
            .range(mm(5.0), mm(300.0))
            .or(mm(40.0), "common practice: plugs of 36 to 40 mm, set in to their own height"),
        plants: crop
            .count("plants_per_block", "plants on each stack of blocks")
            .range(1.0, 100.0)
            .or(1.0, "one a block"),
        drinks: crop
            .quantity("drinks", "what one plant drinks a day")
            .range(litres_a_day(1e-3), litres_a_day(50.0))
            .optional(),
        stage,
        wind: room
            .quantity("wind", "wind at two metres")
            .range(m_s(0.5), m_s(20.0))
            .or(usual_wind, "FAO-56 takes 2 m/s where nobody measured, and 0.5 m/s at the least"),
        place,
        logged,
        day: room
            .quantity("day", "air while the light is on")
            .range(celsius(1.0), celsius(45.0))
            .or(celsius(24.0), "common practice: a room for leafy crops"),
        night: room
            .quantity("night", "air while the light is off")
            .range(celsius(1.0), celsius(45.0))
            .or(celsius(20.0), "common practice: a few degrees cooler"),
        humidity_day: room
            .quantity("humidity_day", "relative humidity while the light is on")
            .range(0.05, 1.0)
            .or(0.6, "common practice"),
        humidity_night: room
            .quantity("humidity_night", "relative humidity while the light is off")
            .range(0.05, 1.0)
            .or(0.6, "common practice"),
        photons: read_photons(light, by_lamps),
        on: read_on(light),
        lit: light
            .quantity::<Time>("hours", "how long the light is on")
            .range(min(1.0), min(24.0 * 60.0))
            .or(min(16.0 * 60.0), "common practice: sixteen hours for leafy crops"),
    };
    if let Some((from, lit_s)) = lit_hours(&growing.logged) {
        let by = || Birth::Derived { from: "the room's readings".into() };
        growing.on = Value::new(from, by());
        growing.lit = Value::new(tidewright_physics::quantity::s(lit_s), by());
    }
    crop.finish();
    room.finish();
    light.finish();
    growing
}

/// Light on the leaves: measured by its owner, or what the lamps give, or a usual value.
fn read_photons(light: &Section<'_>, by_lamps: Option<MolarFlux>) -> Value<MolarFlux> {
    let field =
        light.quantity::<MolarFlux>("photons", "photons on the leaves (PPFD)").range(umol_m2_s(1.0), umol_m2_s(3000.0));
    match by_lamps {
        None => field.or(umol_m2_s(200.0), "common practice: one lamp over a small tray"),
        Some(e) => {
            let mut v = field.or(e, "mean over the canopy, worked out of the lamps");
            if v.is_assumed() {
                v.birth = Birth::Derived { from: "the lamps".into() };
            }
            v
        }
    }
}

/// A logger's readings, which the program that reads this file has laid beside it.
fn read_logged(room: &Section<'_>) -> Vec<RoomStep> {
    let Some(name) = room.text("file", "readings of a logger") else { return Vec::new() };
    match room.context.library.room(&name) {
        Some(steps) => steps.to_vec(),
        None => {
            room.context.report(
                Finding::new(
                    Severity::Stop,
                    "room-file",
                    "The room's readings are not there",
                    format!("There is no readable file \"{name}\" beside the bench file."),
                )
                .at(room.place("file", room.find("file").and_then(|f| f.span)))
                .mend("Put the logger's CSV beside the bench file, or leave the key out and write day and night."),
            );
            Vec::new()
        }
    }
}

/// When a room with readings is lit: the longest stretch above a glimmer, as its begin and length \[s\].
fn lit_hours(steps: &[RoomStep]) -> Option<(f64, f64)> {
    const GLIMMER: f64 = 5e-6;
    let n = steps.len();
    let lit = |k: usize| steps[k % n].photons_mol_m2_s > GLIMMER;
    if n == 0 || (0..n).all(|k| !lit(k)) {
        return None;
    }
    let part = 86_400.0 / n as f64;
    if (0..n).all(lit) {
        return Some((0.0, 86_400.0));
    }
    let run = |k: usize| (0..n).take_while(|j| lit(k + j)).count();
    let best = (0..n).filter(|k| !lit(k + n - 1)).max_by_key(|k| run(*k))?;
    Some((part * best as f64, part * run(best) as f64))
}

/// The crop by its name in the parts data, with days of its own where the file gives them.
fn read_kind(s: &Section<'_>) -> Crop {
    const USUAL: &str = "leafy-greens";
    let library = s.context.library;
    let known = || library.crops().map(|c| c.id.as_str());
    let name = s.text("kind", "what grows").unwrap_or_else(|| USUAL.to_owned());
    let found = library.crop(&name).cloned();
    if found.is_none() {
        let way = nearest(&name, known()).map_or_else(
            || format!("Known: {}.", known().collect::<Vec<_>>().join(", ")),
            |n| format!("Did you mean \"{n}\"?"),
        );
        s.context.report(
            Finding::new(
                Severity::Stop,
                "unknown-part",
                "No such crop",
                format!("There is no crop \"{name}\" in the parts data."),
            )
            .at(s.place("kind", s.find("kind").and_then(|f| f.span)))
            .mend(way),
        );
    }
    found.or_else(|| library.crop(USUAL).cloned()).unwrap_or_else(|| Crop {
        id: USUAL.into(),
        name: "leafy greens".into(),
        days: [10.0, 10.0, 30.0, 15.0, 10.0],
        leaf_area: 3.0,
        late: 1.0,
        kcb: 0.95,
        habit: Habit::default(),
        source: "built in".into(),
    })
}

fn litres_a_day(x: f64) -> VolumeRate {
    m3_s(1e-3 * x / 86_400.0)
}

fn read_on(s: &Section<'_>) -> Value<f64> {
    const HINT: &str = "\"06:00\"";
    const USUAL_S: f64 = 6.0 * 3600.0;
    let assumed = Value::assumed(USUAL_S, "common practice: on at six");
    let Some(found) = s.find("on") else {
        s.context.list(SheetLine {
            path: s.key("on"),
            label: "when the light goes on",
            text: "06:00".into(),
            birth: Birth::assumed("common practice: on at six"),
            choices: Vec::new(),
            hint: HINT,
        });
        return assumed;
    };
    s.list_found("on", "when the light goes on", &found, HINT);
    match &found.raw {
        Raw::Text(t) if clock(t).is_some() => Value::new(clock(t).unwrap_or(USUAL_S), found.birth),
        _ => {
            s.wrong_type("on", &found, "a time of day from \"00:00\" to \"23:59\"");
            assumed
        }
    }
}
