//! Checks of `sim::run`: whole floods.

pub(crate) mod bench;

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_rig::Rig;
use tidewright_sim::run::EventKind;
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Knobs, Run, Scenario, run};

pub(crate) const CHECKS: Checks = &[
    ("flood-reference", reference),
    ("flood-course", course),
    ("flood-ledger", ledger),
    ("flood-change", change),
    ("flood-manifold", manifold),
    ("flood-tolerance", tolerance),
    ("flood-units", units),
    ("flood-example", example),
    ("flood-wanted-depth", wanted_depth),
];

const L_H: f64 = 3.6e6;

/// The textbook bench of a row, run without the small effects.
fn textbook(given: &Given<'_>, keep: Keep) -> Result<Run, String> {
    let rig = bench::tub(given)?;
    let mut knobs = Knobs::textbook(&rig, given.number_if("reverse_loss")?.unwrap_or(20.0));
    knobs.weir = given.number_if("weir")?.unwrap_or(knobs.weir);
    knobs.orifice = given.number_if("orifice")?.unwrap_or(knobs.orifice);
    let options = Options { rtol: 1e-9, hose_holdup: false, lip_control: false, keep, ..Options::default() };
    Ok(run(&rig, &Scenario { knobs, options, ..Scenario::one_flood(&rig) }))
}

fn reference(given: &Given<'_>) -> Results {
    let r = textbook(given, Keep::Events)?;
    let f = r.flood(0).ok_or("no flood")?;
    let t = r.totals[0];
    let at = |kind| r.first(kind, 0).map_or(f64::INFINITY, |e| e.t_s);
    Ok(vec![
        ("first_flow_l_h", f.first_flow_m3_s * L_H),
        ("crest_wet_s", f.crest_wet_s),
        ("never_crest_wet", f64::from(f.crest_wet_s.is_infinite())),
        ("drowned_s", at(EventKind::RiserDrowned)),
        ("steady_s", f.steady_s),
        ("depth_at_stop_mm", f.depth_at_stop_m * 1e3),
        ("final_depth_mm", f.final_depth_m * 1e3),
        ("final_head_mm", (f.final_depth_m - given.length("crest")?.value) * 1e3),
        ("last_flow_l_h", f.last_flow_m3_s * L_H),
        ("first_back_flow_l_h", f.first_back_flow_m3_s * L_H),
        ("crest_dry_s", f.crest_dry_s),
        ("drained_s", f.drained_s),
        ("pumped_l", t.fed_m3 * 1e3),
        ("over_riser_l", t.over_riser_m3 * 1e3),
        ("prime_lost_s", at(EventKind::PrimeLost)),
        ("highest_mm", r.highest_m[0] * 1e3),
        ("lowest_reservoir_mm", r.lowest_reservoir_m * 1e3),
    ])
}

/// Levels at one time, between kept points by a cubic through four of them.
fn course(given: &Given<'_>) -> Results {
    let r = textbook(given, Keep::Course)?;
    let t = given.number("time_s")?;
    let mut points: Vec<(f64, f64, f64)> =
        r.course.iter().map(|m| (m.t_s, m.trays[0].depth_m, m.reservoir_m)).collect();
    points.dedup_by(|b, a| b.0 - a.0 < 1e-3);
    let i = points.partition_point(|p| p.0 < t).clamp(2, points.len() - 2);
    let four = &points[i - 2..i + 2];
    let at = |value: fn(&(f64, f64, f64)) -> f64| -> f64 {
        (0..4)
            .map(|a| {
                let others = (0..4).filter(|b| *b != a);
                value(&four[a]) * others.map(|b| (t - four[b].0) / (four[a].0 - four[b].0)).product::<f64>()
            })
            .sum()
    };
    Ok(vec![("tray_mm", at(|p| p.1) * 1e3), ("reservoir_mm", at(|p| p.2) * 1e3)])
}

/// A bench of `examples/`, its pumps new or worn.
fn of_example(given: &Given<'_>) -> Result<(Rig, Scenario), String> {
    let rig = bench::example(given.text("bench")?)?;
    let base = Scenario::one_flood(&rig);
    let scenario = match given.text("state")? {
        "clean" => Scenario { knobs: Knobs::textbook(&rig, 20.0), ..base },
        "worn" => {
            let mut knobs = Knobs::textbook(&rig, 100.0);
            for k in &mut knobs.pumps {
                k.flow_share = 0.75;
            }
            Scenario { knobs, ..base }
        }
        "nominal" => base,
        other => return Err(format!("no state is called `{other}`")),
    };
    Ok((rig, scenario))
}

/// Time from pump off to a depth, hose and lip allowed for.
fn minutes_to(r: &Run, tray: usize, depth_m: f64) -> Option<f64> {
    let stop = r.flood(tray)?.stop_s;
    let i = r.course.iter().position(|m| m.t_s > stop && m.trays[tray].depth_m <= depth_m)?;
    let (a, b) = (&r.course[i - 1], &r.course[i]);
    let (ya, yb) = (a.trays[tray].depth_m, b.trays[tray].depth_m);
    Some((a.t_s + (b.t_s - a.t_s) * (ya - depth_m) / (ya - yb) - stop) / 60.0)
}

fn example(given: &Given<'_>) -> Results {
    let (rig, scenario) = of_example(given)?;
    let r = run(&rig, &scenario);
    let tray = given.number_if("tray")?.map_or(0, |i| i as usize);
    let f = r.flood(tray).ok_or("no flood")?;
    let crest = rig.trays[tray].crest().map_or(0.0, |c| c.value);
    let mark = given.length_if("drained_at")?.map_or(0.010, |m| m.value);
    let inside = |x: f64, lo: Option<f64>, hi: Option<f64>| match (lo, hi) {
        (Some(lo), Some(hi)) => f64::from(x >= lo && x <= hi),
        _ => f64::NAN,
    };
    let (fill, drain) = (f.crest_wet_s / 60.0, minutes_to(&r, tray, mark).unwrap_or(f64::INFINITY));
    let over = (f.highest_m - crest) * 1e3;
    Ok(vec![
        ("fill_min", fill),
        ("drain_min", drain),
        ("over_crest_mm", over),
        ("fill_within", inside(fill, given.number_if("fill_from_min")?, given.number_if("fill_to_min")?)),
        ("drain_within", inside(drain, given.number_if("drain_from_min")?, given.number_if("drain_to_min")?)),
        ("over_within", inside(over, given.number_if("over_from_mm")?, given.number_if("over_to_mm")?)),
    ])
}

fn ledger(given: &Given<'_>) -> Results {
    let (rig, _) = of_example(given)?;
    let stuck = run(&rig, &Scenario::stuck_and_blocked(&rig, 0)).ledger.error;
    let day = run(&rig, &Scenario::day(&rig)).ledger.error;
    let flood = run(&rig, &Scenario::one_flood(&rig)).ledger.error;
    Ok(vec![("flood_error", flood), ("day_error", day), ("stuck_error", stuck)])
}

/// What a change of one input does to the flood, as the sign of the difference.
fn change(given: &Given<'_>) -> Results {
    let (before, after) = bench::pair(given)?;
    let ends = |rig: &Rig| {
        let r = run(rig, &Scenario { knobs: Knobs::textbook(rig, 20.0), ..Scenario::one_flood(rig) });
        r.flood(0).map(|f| (f.crest_wet_s, f.final_depth_m, f.drained_s)).ok_or("no flood")
    };
    let (a, b) = (ends(&before)?, ends(&after)?);
    let sign = |a: f64, b: f64| if (b - a).abs() < 1e-4 * a.abs() { 0.0 } else { (b - a).signum() };
    Ok(vec![("crest_wet_sign", sign(a.0, b.0)), ("final_depth_sign", sign(a.1, b.1)), ("drained_sign", sign(a.2, b.2))])
}

/// Equal trays on a manifold flood alike.
fn manifold(given: &Given<'_>) -> Results {
    let rig = bench::manifold(given)?;
    let r = run(&rig, &Scenario::one_flood(&rig));
    let spread = |value: fn(&tidewright_sim::FloodRecord) -> f64| {
        let all: Vec<f64> = r.floods.iter().map(value).collect();
        all.iter().fold(0.0f64, |w, x| w.max((x - all[0]).abs() / all[0].abs()))
    };
    Ok(vec![
        ("crest_wet_spread", spread(|f| f.crest_wet_s)),
        ("highest_spread", spread(|f| f.highest_m)),
        ("drained_spread", spread(|f| f.drained_s)),
    ])
}

/// The same flood at a loose and at a tight tolerance.
fn tolerance(given: &Given<'_>) -> Results {
    let (rig, scenario) = of_example(given)?;
    let at = |key| -> Result<Run, String> {
        let options = Options { rtol: given.number(key)?, keep: Keep::Events, ..scenario.options };
        Ok(run(&rig, &Scenario { options, ..scenario.clone() }))
    };
    differences(&at("loose")?, &at("tight")?)
}

fn differences(a: &Run, b: &Run) -> Results {
    let worst = |value: fn(&tidewright_sim::FloodRecord) -> f64| {
        let pairs = a.floods.iter().zip(&b.floods).map(|(a, b)| (value(a), value(b)));
        pairs.fold(0.0f64, |w, (a, b)| if a.is_infinite() && b.is_infinite() { w } else { w.max((a - b).abs()) })
    };
    Ok(vec![
        ("crest_wet_s", worst(|f| f.crest_wet_s)),
        ("drained_s", worst(|f| f.drained_s)),
        ("highest_mm", worst(|f| f.highest_m) * 1e3),
        ("events", a.events.len().abs_diff(b.events.len()) as f64),
    ])
}

/// The same bench written in millimetres and litres, and in inches and gallons.
fn units(_: &Given<'_>) -> Results {
    let (metric, customary) = bench::in_both_systems()?;
    let go = |rig: &Rig| run(rig, &Scenario::one_flood(rig));
    differences(&go(&metric), &go(&customary))
}

/// Whether the riser alone sets the depth: the final water over the crest with blocks of any height.
fn wanted_depth(given: &Given<'_>) -> Results {
    let rig = bench::blocks_on_slab(given)?;
    let r = run(&rig, &Scenario::one_flood(&rig));
    let f = r.flood(0).ok_or("no flood")?;
    let crest = rig.trays[0].crest().map_or(0.0, |c| c.value);
    let tops = rig.trays[0].block_tops().map_or(0.0, |t| t.value);
    Ok(vec![
        ("over_crest_mm", (f.final_depth_m - crest) * 1e3),
        ("below_tops_mm", (tops - crest) * 1e3),
        ("fill_min", f.crest_wet_s / 60.0),
    ])
}
