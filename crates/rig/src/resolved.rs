//! The bench as numbers only: SI units in field names, every default filled in, nothing to look up.
//!
//! An independent program can simulate from this alone.

use crate::bench::{Entry, Feed, Rig, Supply, TopUp, Valve};
use crate::value::Spread;
use serde_json::{Value, json};
use tidewright_physics::geometry::Shape;
use tidewright_physics::hydraulics::pump::Curve;
use tidewright_physics::water;

/// The whole bench as one JSON object.
pub fn json(rig: &Rig) -> Value {
    let temperature = rig.site.water_temperature.get();
    json!({
        "name": rig.name,
        "water": {
            "temperature_k": temperature.value,
            "density_kg_m3": water::density(temperature).value,
            "kinematic_viscosity_m2_s": water::kinematic_viscosity_m2_s(temperature),
            "gravity_m_s2": tidewright_physics::GRAVITY_M_S2,
        },
        "reservoir": {
            "shape": shape(&rig.reservoir.shape),
            "elevation_m": rig.reservoir.elevation.get().value,
            "fill_m3": rig.reservoir.fill.get().value,
            "spill_height_m": rig.reservoir.spill_height.get().value,
            "top_up": match &rig.reservoir.top_up {
                TopUp::ByHand => Value::Null,
                TopUp::FloatValve { height, flow, supply } => json!({
                    "shuts_at_m": height.get().value,
                    "flow_m3_s": flow.get().value,
                    "tank_m3": match supply { Supply::Mains => Value::Null, Supply::Tank(v) => json!(v.get().value) },
                }),
            },
        },
        "pumps": rig.pumps.iter().map(|p| {
            let (flow_factor, head_factor) = p.speed_factors(rig.site.mains_frequency.get());
            json!({
                "name": p.name,
                "curve": curve(p.curve.borrowed()),
                "curve_is_measured": matches!(p.curve.birth, crate::value::Birth::Measured { .. }),
                "speed_flow_factor": flow_factor,
                "speed_head_factor": head_factor,
                "as_sold": spread(&p.as_sold.get()),
                "worn": p.worn.get(),
                "power_w": p.power.get().value,
                "inlet_height_m": p.inlet_height.get().value,
                "prime_depth_m": p.prime_depth.get().value,
                "check_valve": p.check_valve.get(),
                "throttle_loss": p.throttle.get(),
                "reverse_loss": spread(&p.reverse_loss.get()),
                "bypass": p.bypass.as_ref().map(|b| json!({
                    "bore_m": b.bore.get().value, "length_m": b.length.get().value, "loss": b.loss.get(),
                })),
                "feed": feed(&p.feed),
            })
        }).collect::<Vec<_>>(),
        "trays": rig.trays.iter().map(tray).collect::<Vec<_>>(),
        "timer": {
            "kind": rig.timer.kind.get(),
            "step_s": rig.timer.step.get().value,
            "after_power_cut": rig.timer.after_power_cut.get(),
        },
    })
}

fn tray(t: &crate::bench::Tray) -> Value {
    json!({
        "name": t.name,
        "shape": shape(&t.shape),
        "elevation_m": t.elevation.get().value,
        "lip_m": t.lip.get().value,
        "floor_relief": t.relief.knots(),
        "entry": match &t.entry {
            Entry::Floor => json!({ "kind": "floor" }),
            Entry::OverRim { end, break_hole, bend } => json!({
                "kind": "over_rim",
                "end_m": end.get().value,
                "break_hole_m": break_hole.as_ref().map(|b| b.get().value),
                "bend_m": bend.get().value,
            }),
        },
        "pump": t.pump,
        "branch": t.branch.as_ref().map(|b| json!({
            "hose": feed(&b.hose),
            "stays_open_s": match &b.valve { Valve::AlwaysOpen => Value::Null, Valve::Timed { stays_open } => json!(stays_open.get().value) },
        })),
        "drain": {
            "riser": t.drain.riser.as_ref().map(|r| json!({
                "bore_m": r.bore.get().value, "crest_m": r.crest.height.get().value, "count": r.count.get(),
            })),
            "strainer_open_ratio": t.drain.strainer.fitted.get().then(|| t.drain.strainer.open_ratio.get()),
            "weep_m": t.drain.weep.as_ref().map(|w| w.get().value),
            "return": {
                "bore_m": t.drain.back.bore.get().value,
                "length_m": t.drain.back.length.get().value,
                "drop_m": t.drain.back.drop.get().value,
                "vented": t.drain.back.vented.get(),
            },
        },
        "drains_into": t.drains_into,
        "blocks": t.blocks.as_ref().map(|b| json!({
            "plan_area_m2": b.plan_area().value,
            "height_m": b.total_height().value,
            "base_m": b.base.get().value,
            "wrapped": b.wrapped.get(),
            "start": b.start.get(),
            "medium": medium(&b.medium),
        })),
        "bed": t.bed.as_ref().map(|b| json!({
            "depth_m": b.depth.get().value,
            "void_fraction": b.void_fraction.get(),
            "medium": medium(&b.medium),
        })),
        "flood_starts_s": t.schedule.starts.borrowed(),
        "flood_run_s": t.schedule.run.get().value,
    })
}

fn medium(m: &crate::bench::Medium) -> Value {
    json!({
        "theta_r": m.retention.theta_r,
        "theta_s": m.retention.theta_s,
        "alpha_per_m": m.retention.alpha_per_m,
        "n": m.retention.n,
        "second": m.retention.second,
        "dry_content": m.dry_content,
        "dry_density_kg_m3": m.dry_density,
        "soak_s": m.soak_s,
        "release_s": m.release_s,
    })
}

fn feed(f: &Feed) -> Value {
    json!({
        "bore_m": f.bore.get().value,
        "length_m": f.length.get().value,
        "roughness_m": f.roughness.get().value,
        "loss": f.loss(1.0),
        "loss_is_measured": f.measured_loss.is_some(),
        "high_point_m": f.high_point.as_ref().map(|h| h.get().value),
    })
}

fn spread(s: &Spread) -> Value {
    json!({ "low": s.low, "mode": s.mode, "high": s.high, "log": s.log, "median": s.median() })
}

fn curve(c: &Curve) -> Value {
    match c {
        Curve::Power { max_head, open_flow, shape } => {
            json!({ "kind": "power", "max_head_m": max_head.value, "open_flow_m3_s": open_flow.value, "shape": shape })
        }
        Curve::Points(p) => json!({ "kind": "points", "flow_m3_s_and_head_m": p.points().collect::<Vec<_>>() }),
    }
}

fn shape(s: &Shape) -> Value {
    match s {
        Shape::TaperedRectangle { floor, rim, depth } => json!({
            "kind": "tapered_rectangle",
            "floor_m": [floor.0.value, floor.1.value],
            "rim_m": [rim.0.value, rim.1.value],
            "depth_m": depth.value,
        }),
        Shape::TaperedRound { floor, rim, depth } => json!({
            "kind": "tapered_round", "floor_m": floor.value, "rim_m": rim.value, "depth_m": depth.value,
        }),
        Shape::Table { points, .. } => json!({
            "kind": "table",
            "depth_m_and_volume_m3": points.iter().map(|p| (p.0.value, p.1.value)).collect::<Vec<_>>(),
        }),
    }
}
