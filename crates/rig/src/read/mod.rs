//! The bench file: text in, rig and all faults at once out.

mod air;
mod blocks;
mod costs;
mod drain;
mod feed;
mod field;
mod growing;
mod holes;
mod lamp;
mod power;
mod pump;
mod quantities;
mod raw;
mod readings;
mod reservoir;
mod section;
mod solution;
mod stand;
mod timer;
mod tray;
mod vessel;
mod warmth;

use crate::bench::{Rig, Site};
use crate::finding::{Finding, Place, Severity};
use crate::parts::Library;
use crate::units::System;
use crate::value::{Birth, Value};
pub(crate) use section::nearest;
use section::{Context, Section};
use serde::Serialize;
use tidewright_physics::quantity as q;
pub(crate) use timer::clock;

/// One value of the bench, as a person would see it listed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetLine {
    /// Dotted key, to read or to write it.
    pub path: String,
    /// What it is, in words.
    pub label: &'static str,
    /// As typed, or as it would be typed.
    pub text: String,
    /// Where it came from.
    pub birth: Birth,
    /// The choices, where it is a choice.
    pub choices: Vec<&'static str>,
    /// What is measured and an example of it, for a hint beside the field.
    pub hint: &'static str,
}

/// What came of reading.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The bench, where no fault stands in its way.
    pub rig: Option<Rig>,
    /// Faults and remarks, in the order of the file.
    pub findings: Vec<Finding>,
}

impl Reading {
    fn only(finding: Finding) -> Self {
        Self { rig: None, findings: vec![finding] }
    }
}

/// Largest bench file that is read \[bytes\]: a hundred trays take a twentieth of it.
pub const LARGEST_FILE: usize = 1 << 20;

/// Reads bytes that should be a bench file.
///
/// Never panics; anything wrong is a finding.
pub fn read_bytes(bytes: &[u8], library: &Library) -> Reading {
    match std::str::from_utf8(bytes) {
        Ok(text) => read(text, library),
        Err(e) => {
            let line = bytes[..e.valid_up_to()].iter().filter(|&&b| b == b'\n').count() + 1;
            Reading::only(
                Finding::new(
                    Severity::Stop,
                    "unreadable-text",
                    "Not a text file",
                    format!("Byte {} (line {line}) is not UTF-8 text.", e.valid_up_to() + 1),
                )
                .mend("Save the file as UTF-8 text, or take the last copy that opened."),
            )
        }
    }
}

/// Reads the text of a bench file.
///
/// Every fault is reported with its line, column and way out; the rig is there only when none of
/// them is a `stop`.
pub fn read(text: &str, library: &Library) -> Reading {
    if text.len() > LARGEST_FILE {
        return Reading::only(Finding::new(
            Severity::Stop,
            "unreadable-text",
            "File too large",
            format!("The file has {} bytes; a bench file has at most {LARGEST_FILE}.", text.len()),
        ));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (root, errors) = toml::de::DeTable::parse_recoverable(text);
    let context = Context::new(text, library);
    if text.trim().is_empty() {
        return Reading::only(
            Finding::new(
                Severity::Stop,
                "missing-value",
                "The file is empty",
                "The file is empty: a bench needs at least the depth, length and width of its tray.",
            )
            .mend("\"tidewright new\" writes a first bench file from five numbers."),
        );
    }
    for e in &errors {
        let span = e.span().unwrap_or(0..0);
        context.report(
            Finding::new(
                Severity::Stop,
                "toml-syntax",
                "Not readable as written",
                format!("{}.", capital(e.message().trim_end_matches('.'))),
            )
            .at(Place::at("", span, text))
            .mend("Look at this line: values stand in quotes, as in depth = \"200 mm\"."),
        );
    }
    let top = Section::root(&context, root.get_ref());
    let rig = build(&top);
    top.finish();
    drop(top);
    let (mut findings, sheet, customary) = context.into_parts();
    findings.sort_by_key(|f| f.place.as_ref().map_or(usize::MAX, |p| p.span.as_ref().map_or(usize::MAX, |s| s.start)));
    let sound = !findings.iter().any(|f| f.severity == Severity::Stop);
    let system = if customary { System::UsCustomary } else { System::Metric };
    Reading { rig: rig.filter(|_| sound).map(|r| Rig { sheet, system, ..r }), findings }
}

fn capital(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or_else(String::new, |f| f.to_uppercase().chain(c).collect())
}

fn build(top: &Section<'_>) -> Option<Rig> {
    let name = top.text("name", "name of the bench").unwrap_or_else(|| "Bench".into());
    let about = top.text("about", "one line about it").unwrap_or_default();
    let wet_metal = top.texts("wet_metal", "metal parts in the water");
    let mut site = read_site(&top.sub("site"));
    let reservoir = reservoir::read(&top.sub("reservoir"));
    let pumps = pump::read_all(top, &site.mains_frequency);
    // Said for the pump alone, the frequency of its print is taken as that of the place.
    if site.mains_frequency.is_assumed()
        && let Some(p) = pumps.first().filter(|p| !p.rated_frequency.is_assumed())
    {
        site.mains_frequency = Value::assumed(p.rated_frequency.get(), "taken as what the pump's print is for");
    }
    let timer = timer::read(&top.sub("timer"));
    let lowest = reservoir.as_ref().map_or(q::m(0.0), |r| r.elevation.get());
    let trays = tray::read_all(top, &pumps, &timer, lowest);
    let light = top.sub("light");
    let lamps = lamp::read_all(top, &trays);
    let walls = light
        .quantity("walls", "share of the missed light that comes back from walls")
        .range(0.0, 0.95)
        .or(0.0, "open all round");
    let by_lamps = |plant: q::Length| lamp::on_canopy(&lamps, &trays, walls.get(), plant);
    let growing = growing::read(&top.sub("crop"), &top.sub("room"), &light, &by_lamps);
    let aeration = air::read(&top.sub("air"), reservoir.as_ref());
    let warmth = warmth::read(&top.sub("heat"));
    let stand = stand::read(&top.sub("stand"), &trays);
    let mains = power::read(&top.sub("power"), &site.mains_frequency);
    let costs = costs::read(&top.sub("money"));
    let mixing = solution::read(&top.sub("solution"), &growing.crop.id);
    let readings = readings::read_all(top, &trays);
    Some(Rig {
        name,
        about,
        system: System::default(),
        site,
        reservoir: reservoir?,
        pumps,
        trays,
        timer: timer.timer,
        growing,
        mixing,
        aeration,
        warmth,
        lamps,
        walls,
        stand,
        mains,
        costs,
        readings,
        wet_metal,
        sheet: Vec::new(),
    })
}

fn read_site(s: &Section<'_>) -> Site {
    let site = Site {
        water_temperature: s
            .quantity("water_temperature", "water temperature")
            .range(q::celsius(0.1), q::celsius(45.0))
            .or(q::celsius(20.0), "common practice: a room at 20 °C"),
        altitude: s
            .quantity("altitude", "height above the sea")
            .range(q::m(-430.0), q::m(5500.0))
            .or(q::m(0.0), "sea level; only oxygen and vapour depend on it"),
        mains_frequency: s
            .quantity("mains_frequency", "mains frequency")
            .range(q::hz(40.0), q::hz(70.0))
            .or(q::hz(50.0), "taken as what the pump's print is for"),
    };
    s.finish();
    site
}

/// The `[air]` of a text, over a reservoir; none where it does not read.
pub(crate) fn air_alone(
    text: &str,
    library: &Library,
    reservoir: &crate::bench::Reservoir,
) -> Option<crate::bench::Aeration> {
    let (root, _) = toml::de::DeTable::parse_recoverable(text);
    let context = Context::new(text, library);
    let air = {
        let top = Section::root(&context, root.get_ref());
        air::read(&top.sub("air"), Some(reservoir))
    };
    let (findings, _, _) = context.into_parts();
    air.filter(|_| !findings.iter().any(|f| f.severity == Severity::Stop))
}
