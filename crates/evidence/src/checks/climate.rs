//! Checks of `sim::climate` and of what builders know of it.

use super::Results;
use super::flood::bench::example;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::aeration::Curve;
use tidewright_physics::oxygen::transfer::step_response;
use tidewright_physics::packing;
use tidewright_physics::quantity::{Length, celsius, l_h, m, mm};
use tidewright_plan::climate::siphon;
use tidewright_plan::fit::blocks_on_fittings;
use tidewright_plan::{Survey, book, judge};
use tidewright_rig::parts::{Library, air_of};
use tidewright_rig::value::{Birth, Value};
use tidewright_rig::{Rig, Severity};
use tidewright_sim::climate::{ClimateDay, End, day};
use tidewright_sim::stack::Manner;
use tidewright_sim::{Scenario, run};

pub(crate) const CHECKS: Checks = &[("reference-air", reference), ("climate-law", law), ("builders", builders)];

/// A reservoir with two transfers, a steady use, and floods that take a share of its deficit at once.
fn reference(given: &Given<'_>) -> Results {
    let (kla, ks) = (given.number("kla_1_h")?, given.number("surface_1_h")?);
    let (held, bubbles) = (given.number("held_mg_l")?, given.number("bubbles_mg_l")?);
    let used = given.number("use_mg_h")? / given.number("volume_l")?;
    let k = kla + ks;
    let mut c = given.number("start_mg_l")?;
    let advance = |c: f64, hours: f64| {
        if k > 0.0 {
            step_response((kla * bubbles + ks * held - used) / k, c, k * hours)
        } else {
            (c - used * hours).max(0.0)
        }
    };
    let factor = given.number_if("flood_factor")?;
    let floods = if factor.is_some() { given.numbers("floods_h")? } else { Vec::new() };
    let end = given.number("after_h")?;
    let mut t = 0.0;
    for flood in floods.into_iter().filter(|f| *f <= end) {
        c = advance(c, flood - t);
        c = held - (held - c) * factor.unwrap_or(1.0);
        t = flood;
    }
    Ok(vec![("oxygen_mg_l", advance(c, end - t))])
}

fn followed(rig: &Rig, end: End) -> Result<ClimateDay, String> {
    let water = run(rig, &Scenario::crop_day(rig, Manner::LIKELY));
    day(rig, &water, end, 0.8).ok_or_else(|| "the day cannot be followed".to_owned())
}

fn law(given: &Given<'_>) -> Results {
    let mut rig = example(given.text("bench")?)?;
    let end = match given.text("end")? {
        "low" => End::LOW,
        "high" => End::HIGH,
        _ => End::LIKELY,
    };
    let birth = || Birth::Derived { from: "a row of evidence".into() };
    if given.text_if("air_l_min").is_err() {
        let mut least = Vec::new();
        for flow in given.numbers("air_l_min")? {
            let mut air = air_of(&Library::shipped(), "air-4", "stone-medium", &rig).ok_or("no air")?;
            let most = air.pump.curve.borrowed().max_pressure();
            air.pump.curve = Value::new(Curve::Line { max_pressure: most, open_flow: l_h(60.0 * flow) }, birth());
            rig.aeration = Some(air);
            least.push(followed(&rig, end)?.oxygen_span().0);
        }
        return Ok(vec![("never_lower", f64::from(u8::from(least.windows(2).all(|w| w[1] >= w[0] - 1e-6))))]);
    }
    if given.text_if("room_degc").is_err() {
        let mut mean = Vec::new();
        for t in given.numbers("room_degc")? {
            rig.growing.day = Value::new(celsius(t), birth());
            rig.growing.night = Value::new(celsius(t - 2.0), birth());
            mean.push(followed(&rig, end)?.mean_k());
        }
        return Ok(vec![("never_cooler", f64::from(u8::from(mean.windows(2).all(|w| w[1] >= w[0] - 1e-6))))]);
    }
    let d = followed(&rig, end)?;
    Ok(vec![("heat_error", d.heat.error), ("oxygen_error", d.oxygen.error)])
}

/// What builders know, each by its name.
fn builders(given: &Given<'_>) -> Results {
    let mut rig = example("quayside-kitchen")?;
    let yes = |b: bool| f64::from(u8::from(b));
    let six: Length = mm(152.4);
    match given.text("what")? {
        "five-along" => {
            // A tub widens upwards: its middle height is what blocks of that height stand in.
            let (l, _) = rig.trays[0].shape.plan_at(six * 0.5);
            Ok(vec![("along", packing::square(l.value, six.value, six.value) as f64)])
        }
        "fifteen" => {
            let own = |v: f64| Value::new(m(v), Birth::Derived { from: "a row of evidence".into() });
            if let Some(b) = &mut rig.trays[0].blocks {
                // As pressed into the tapered tub: the floor is 2 mm short of five.
                (b.length, b.width) = (own(0.1519), own(0.1519));
                b.count = Value::new(15.0, b.count.birth.clone());
            }
            let t = &rig.trays[0];
            let findings = judge(&Survey::of(&rig, 32));
            let crowded = findings.iter().any(|f| f.name == "crowded-tray" && f.severity <= Severity::Care);
            let crest = t.crest().unwrap_or_default();
            let blocks = t.blocks.as_ref().map_or(0.0, |b| b.plan_area().value * crest.min(b.total_height()).value);
            let litres = 1e3 * (t.shape.volume(crest).value - blocks);
            Ok(vec![
                ("crowded", yes(crowded)),
                ("stand_on_fittings", yes(blocks_on_fittings(t) > 0)),
                ("little_water", yes((0.5..8.0).contains(&litres))),
            ])
        }
        "air-pump" => {
            let air = air_of(&Library::shipped(), "air-4", "stone-medium", &rig).ok_or("no air")?;
            let x = siphon(&rig, &air, rig.reservoir.shape.depth().value);
            Ok(vec![("above_water", yes(x.head_m < 0.0 && x.flow_m3_s == 0.0))])
        }
        "cutters" => {
            let all = book::cuts(&rig);
            Ok(vec![(
                "said",
                yes(all.iter().any(|g| g.tool.contains("pipe cutters"))
                    && all.iter().any(|g| g.tool.contains("scissors"))),
            )])
        }
        _ => {
            let f = judge(&Survey::of(&rig, 2)).into_iter().find(|f| f.name == "canopy-closes");
            Ok(vec![(
                "closes",
                yes(f.is_some_and(|f| {
                    f.severity == Severity::Good && f.sentence.contains("even") | f.title.contains("even")
                })),
            )])
        }
    }
}
