//! The benches that rows on floods are run on.

use crate::given::Given;
use tidewright_physics::quantity::{INCH_M, US_GALLON_M3};
use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};

macro_rules! examples {
    ($($name:literal)*) => {
        const EXAMPLES: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../../../../examples/", $name, ".toml")))),*];
    };
}

examples! {
    "big-table"
    "long-tray"
    "nursery-bench"
    "nursery-manifold"
    "pellet-bed"
    "quayside-kitchen"
    "tray-in-tote"
    "windowsill-tub"
}

fn rig(text: &str) -> Result<Rig, String> {
    let reading = read(text, &Library::shipped());
    reading.rig.ok_or_else(|| format!("the bench does not read: {:?}", reading.findings))
}

/// A bench of the folder `examples`.
pub(crate) fn example(name: &str) -> Result<Rig, String> {
    let (_, text) = EXAMPLES.iter().find(|e| e.0 == name).ok_or_else(|| format!("no example is called `{name}`"))?;
    rig(text)
}

/// Numbers of the reference tub, each of which a row may change.
struct Tub {
    fill_l: f64,
    crest_mm: f64,
    riser_mm: f64,
    open_flow_l_h: f64,
    water_degc: f64,
    minutes: f64,
}

impl Tub {
    const REFERENCE: Self =
        Self { fill_l: 70.0, crest_mm: 80.0, riser_mm: 25.0, open_flow_l_h: 833.0, water_degc: 20.0, minutes: 15.0 };

    fn rig(&self) -> Result<Rig, String> {
        let Self { fill_l, crest_mm, riser_mm, open_flow_l_h, water_degc, minutes } = self;
        rig(&format!(
            r#"
[site]
water_temperature = "{water_degc} degC"
[reservoir]
length = "0.70 m"
width = "0.45 m"
floor_length = "0.60 m"
floor_width = "0.36 m"
depth = "0.40 m"
fill = "{fill_l} L"
[pump]
max_head = "1.8 m"
open_flow = "{open_flow_l_h} L/h"
inlet_height = "0 mm"
prime_depth = "40 mm"
[feed]
bore = "13 mm"
length = "2 m"
roughness = "0 mm"
loss = 6
[tray]
length = "0.86 m"
width = "0.55 m"
floor_length = "0.76 m"
floor_width = "0.46 m"
depth = "0.20 m"
elevation = "0.75 m"
lip = "0 mm"
[drain]
riser_bore = "{riser_mm} mm"
crest = "{crest_mm} mm"
strainer = false
[timer]
minutes = "{minutes} min"
"#
        ))
    }
}

/// The reference tub as a row gives it: no media, no strainer, smooth hose.
pub(super) fn tub(given: &Given<'_>) -> Result<Rig, String> {
    Tub {
        fill_l: given.volume("fill")?.value * 1e3,
        crest_mm: given.length("crest")?.value * 1e3,
        water_degc: given.number_if("water_degc")?.unwrap_or(20.0),
        ..Tub::REFERENCE
    }
    .rig()
}

/// The reference tub, and the same with one number changed.
pub(super) fn pair(given: &Given<'_>) -> Result<(Rig, Rig), String> {
    let mut after = Tub::REFERENCE;
    let to = given.number("to")?;
    match given.text("what")? {
        "crest_mm" => after.crest_mm = to,
        "riser_mm" => after.riser_mm = to,
        "open_flow_l_h" => after.open_flow_l_h = to,
        "minutes" => after.minutes = to,
        other => return Err(format!("nothing is called `{other}`")),
    }
    Ok((Tub::REFERENCE.rig()?, after.rig()?))
}

/// Equal trays on one pump.
pub(super) fn manifold(given: &Given<'_>) -> Result<Rig, String> {
    let trays = given.number("trays")? as usize;
    let mut text = String::from(
        r#"
[reservoir]
part = "tote-100l"
fill = "80 L"
[pump]
max_head = "2.2 m"
open_flow = "1200 L/h"
[feed]
bore = "16 mm"
length = "1.5 m"
[timer]
minutes = "15 min"
"#,
    );
    for i in 0..trays {
        text += &format!(
            r#"
[[tray]]
name = "tray {i}"
part = "tub-54x37"
elevation = "0.6 m"
[tray.drain]
crest = "60 mm"
[tray.branch]
bore = "10 mm"
length = "0.5 m"
"#
        );
    }
    rig(&text)
}

/// One bench in both unit systems, from the same numbers.
pub(super) fn in_both_systems() -> Result<(Rig, Rig), String> {
    let write = |length: fn(f64) -> String, volume: fn(f64) -> String, flow: fn(f64) -> String, water: &str| {
        rig(&format!(
            r#"
[site]
water_temperature = "{water}"
[reservoir]
length = "{}"
width = "{}"
depth = "{}"
fill = "{}"
[pump]
max_head = "{}"
open_flow = "{}"
[feed]
bore = "{}"
length = "{}"
[tray]
length = "{}"
width = "{}"
depth = "{}"
elevation = "{}"
[blocks]
length = "{}"
count = 12
[drain]
riser_bore = "{}"
crest = "{}"
"#,
            length(0.7112),
            length(0.4572),
            length(0.4064),
            volume(0.0757),
            length(1.8288),
            flow(832.79),
            length(0.0127),
            length(1.8288),
            length(0.8636),
            length(0.5588),
            length(0.2032),
            length(0.762),
            length(0.1016),
            length(0.0254),
            length(0.0762),
        ))
    };
    let metric =
        write(|m| format!("{:.9} mm", m * 1e3), |v| format!("{:.9} L", v * 1e3), |q| format!("{q:.9} L/h"), "20 degC")?;
    let customary = write(
        |m| format!("{:.12} in", m / INCH_M),
        |v| format!("{:.12} US gal", v / US_GALLON_M3),
        |q| format!("{:.12} US gal/h", q * 1e-3 / US_GALLON_M3),
        "68 degF",
    )?;
    Ok((metric, customary))
}

/// A 28 US gal tote, a 220 US gal/h pump on half-inch hose, one tub; blocks of one height, some on a slab.
pub(super) fn blocks_on_slab(given: &Given<'_>) -> Result<Rig, String> {
    let (block, slab) = (given.number("block_in")?, given.number("slab_in")?);
    let (crest, minutes) = (given.number("crest_in")?, given.number("minutes")?);
    rig(&format!(
        r#"
[reservoir]
part = "tote-100l"
fill = "22 US gal"
[pump]
max_head = "6 ft"
open_flow = "220 US gal/h"
[feed]
nominal = "1/2 in"
length = "6 ft"
[tray]
part = "tub-86x55"
elevation = "30 in"
[blocks]
medium = "stone-wool"
length = "4 in"
height = "{block} in"
base = "{slab} in"
count = 8
[drain]
riser_bore = "1 in"
crest = "{crest} in"
[timer]
minutes = "{minutes} min"
"#
    ))
}
