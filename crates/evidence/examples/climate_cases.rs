//! Cases for the SciPy twin of a day of heat and oxygen: what drives each, and what we make of it, as JSON.

use serde_json::json;
use std::io::Write;
use tidewright_physics::quantity::m;
use tidewright_rig::bench::Jacket;
use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::climate::{End, blown, day, pieces};
use tidewright_sim::stack::{Demand, Manner};
use tidewright_sim::{Scenario, run};

const BENCHES: [(&str, &str); 4] = [
    ("quayside-kitchen", include_str!("../../../examples/quayside-kitchen.toml")),
    ("long-tray", include_str!("../../../examples/long-tray.toml")),
    ("tray-in-tote", include_str!("../../../examples/tray-in-tote.toml")),
    ("nursery-bench", include_str!("../../../examples/nursery-bench.toml")),
];
const ADDED: [(&str, &str); 3] = [
    ("plain", ""),
    ("air", "\n[air]\n"),
    ("held", "\n[air]\n[heat]\nhold = \"23 degC\"\nheater = \"40 W\"\njacket = \"foam\"\n"),
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut all = Vec::new();
    for (bench, text) in BENCHES {
        for (added, more) in ADDED {
            // A bench that has such a section already is taken as it is.
            let more = if more.contains("[air]") && text.contains("[air]") {
                more.replace("[air]\n", "")
            } else {
                more.to_owned()
            };
            let reading = read(&format!("{text}{more}"), &Library::shipped());
            let Some(rig) = reading.rig else { return Err(format!("{bench} {added} does not read").into()) };
            for (end_name, end) in [("likely", End::LIKELY), ("low", End::LOW), ("high", End::HIGH)] {
                all.extend(case(&rig, &format!("{bench} {added} {end_name}"), end));
            }
        }
    }
    serde_json::to_writer(std::io::stdout().lock(), &all)?;
    std::io::stdout().write_all(b"\n")?;
    Ok(())
}

fn case(rig: &Rig, name: &str, end: End) -> Option<serde_json::Value> {
    const GIVEN_BACK: f64 = 0.9;
    let water = run(rig, &Scenario::crop_day(rig, Manner::LIKELY));
    let ours = day(rig, &water, end, GIVEN_BACK)?;
    let pieces = pieces(rig, &water);
    let r = &rig.reservoir;
    let sides = |s: &tidewright_physics::geometry::Shape, y: f64| {
        let (l, w) = s.plan_at(m(y));
        [l.value, w.value]
    };
    let trays: Vec<_> = rig
        .trays
        .iter()
        .enumerate()
        .map(|(i, t)| {
            let demand = t.blocks.as_ref().map(|b| Demand::of(rig, i, b, 1.0));
            json!({
                "plan_floor_m": sides(&t.shape, 0.0), "plan_rim_m": sides(&t.shape, t.rim().value), "rim_m": t.rim().value,
                "into": t.drains_into, "elevation_m": t.elevation.get().value, "return_drop_m": t.drain.back.drop.get().value,
                "pump": t.pump,
                "blocks": t.blocks.as_ref().map(|b| json!({
                    "count": b.count.get(), "length_m": b.length.get().value, "width_m": b.width.get().value,
                    "height_m": b.total_height().value, "base_m": b.base.get().value, "plan_m2": b.plan_area().value,
                })),
                "evaporation_of_tops_m_s": demand.as_ref().map(|d| pieces.iter().map(|p| d.evaporation_m_s(p.from_s + 0.5 * p.dt_s)).collect::<Vec<_>>()),
                "roots_use_at_20_degc_g_s": demand.as_ref().map_or(0.0, |d| d.oxygen_g_s(tidewright_physics::quantity::celsius(20.0))),
                "roots_q10": 2.0,
            })
        })
        .collect();
    Some(json!({
        "name": name,
        "site_water_k": rig.site.water_temperature.get().value,
        "altitude_m": rig.site.altitude.get().value,
        "lamps": rig.growing.place.get() == tidewright_rig::bench::Roof::Lamps,
        "room": rig.growing.room().iter().map(|s| json!({ "from_s": s.from_s, "air_k": s.air_k, "humidity": s.humidity, "photons_mol_m2_s": s.photons_mol_m2_s })).collect::<Vec<_>>(),
        "cover": rig.growing.cover.get(),
        "draught_m_s": rig.warmth.draught.get().value,
        "jacket": match rig.warmth.jacket.get() { Jacket::None => "none", Jacket::Foil => "foil", Jacket::Foam => "foam" },
        "hold_k": rig.warmth.hold.as_ref().map(|h| h.get().value),
        "heater_w": rig.warmth.heater.as_ref().map_or(0.0, |h| h.get().value),
        "chiller_w": rig.warmth.chiller.as_ref().map_or(0.0, |h| h.get().value),
        "reservoir": {
            "plan_floor_m": sides(&r.shape, 0.0), "plan_rim_m": sides(&r.shape, r.shape.depth().value), "depth_m": r.shape.depth().value,
            "rest_depth_m": r.rest_depth().value, "lid": r.lid.get(), "elevation_m": r.elevation.get().value,
        },
        "pumps_w": rig.pumps.iter().map(|p| p.power.get().value).collect::<Vec<_>>(),
        "blown": blown(rig).map(|b| json!({ "flow_m3_s": b.flow_m3_s(), "depth_m": b.depth_m, "transfer_m3_s": b.transfer_m3_s[end.blown] })),
        "end": { "fall": end.fall, "others": end.others, "roots": end.roots, "under_lid": end.under_lid },
        "given_back": GIVEN_BACK,
        "trays": trays,
        "pieces": pieces,
        "ours": ours.course.iter().step_by(8).collect::<Vec<_>>(),
        "our_accounts": { "heat": ours.heat, "oxygen": ours.oxygen },
    }))
}
