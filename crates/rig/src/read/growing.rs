use super::SheetLine;
use super::raw::Raw;
use super::section::{Section, nearest};
use super::timer::clock;
use crate::bench::{Crop, Growing, Stage};
use crate::finding::{Finding, Severity};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{MolarFlux, Time, VolumeRate, celsius, m3_s, min, mm, umol_m2_s};

/// `[crop]`, `[room]` and `[light]`; any may be left out.
pub(crate) fn read(crop: &Section<'_>, room: &Section<'_>, light: &Section<'_>) -> Growing {
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
    let by_stage = "by crop and stage, common practice";
    let growing = Growing {
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
        photons: light
            .quantity::<MolarFlux>("photons", "photons on the leaves (PPFD)")
            .range(umol_m2_s(1.0), umol_m2_s(3000.0))
            .or(umol_m2_s(200.0), "common practice: one lamp over a small tray"),
        on: read_on(light),
        lit: light
            .quantity::<Time>("hours", "how long the light is on")
            .range(min(1.0), min(24.0 * 60.0))
            .or(min(16.0 * 60.0), "common practice: sixteen hours for leafy crops"),
    };
    crop.finish();
    room.finish();
    light.finish();
    growing
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
