//! The reference transient against an independent computation (SciPy 1.17.1, DOP853 at rtol 1e-10).

use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{EventKind, Knobs, Run, Scenario, run};

/// Tub, tote, pump and hose of the reference case: no media, no strainer, smooth hose.
fn bench(fill: &str, crest: &str) -> Rig {
    let text = format!(
        r#"
[reservoir]
length = "0.70 m"
width = "0.45 m"
floor_length = "0.60 m"
floor_width = "0.36 m"
depth = "0.40 m"
fill = "{fill}"
[pump]
max_head = "1.8 m"
open_flow = "833 L/h"
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
riser_bore = "25 mm"
crest = "{crest}"
strainer = false
[timer]
minutes = "15 min"
"#
    );
    let reading = read(&text, &Library::shipped());
    reading.rig.unwrap_or_else(|| panic!("{:#?}", reading.findings))
}

fn reference(fill: &str, crest: &str, reverse_loss: f64) -> Run {
    let rig = bench(fill, crest);
    let scenario = Scenario {
        knobs: Knobs::textbook(&rig, reverse_loss),
        options: Options {
            rtol: 1e-8,
            hose_holdup: false,
            lip_control: false,
            keep: Keep::Course,
            ..Options::default()
        },
        ..Scenario::one_flood(&rig)
    };
    run(&rig, &scenario)
}

fn near(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{what}: got {got}, want {want} ± {tolerance}");
}

const L_H: f64 = 3.6e6;

#[test]
fn twin_case_a_base_bench_fifteen_minutes() {
    let r = reference("70 L", "80 mm", 20.0);
    let f = r.flood(0).unwrap();
    near("first flow", f.first_flow_m3_s * L_H, 520.951, 0.052);
    near("crest wet", f.crest_wet_s, 214.360, 0.05);
    near("steady", f.steady_s, 426.598, 0.05);
    near("depth at stop", f.depth_at_stop_m * 1e3, 90.2517, 0.009);
    near("final depth", f.final_depth_m * 1e3, 90.2518, 0.009);
    near("last flow", f.last_flow_m3_s * L_H, 475.442, 0.048);
    near("first back flow", f.first_back_flow_m3_s * L_H, 314.88, 0.032);
    near("crest dry", f.crest_dry_s, 30.958, 0.05);
    near("drained", f.drained_s, 385.149, 0.05);
    let drowned = r.first(EventKind::RiserDrowned, 0).unwrap();
    near("drowned", drowned.t_s, 282.940, 0.05);
    let t = r.totals[0];
    near("pumped", t.fed_m3 * 1e3, 120.4385, 0.012);
    near("over riser", t.over_riser_m3 * 1e3, 86.5018 + 1.4236, 0.009);
    assert!(r.ledger.closes(), "{}", r.ledger.error);
}

#[test]
fn twin_case_d_low_crest() {
    let r = reference("70 L", "50 mm", 20.0);
    let f = r.flood(0).unwrap();
    near("crest wet", f.crest_wet_s, 128.749, 0.05);
    near("steady", f.steady_s, 352.284, 0.05);
    near("depth at stop", f.depth_at_stop_m * 1e3, 60.9534, 0.006);
    near("last flow", f.last_flow_m3_s * L_H, 491.443, 0.049);
    near("crest dry", f.crest_dry_s, 32.102, 0.05);
    near("drained", f.drained_s, 246.439, 0.05);
    near("pumped", r.totals[0].fed_m3 * 1e3, 123.5432, 0.012);
}

#[test]
fn twin_case_f_short_of_water_loses_prime() {
    let r = reference("35 L", "80 mm", 20.0);
    let lost = r.first(EventKind::PrimeLost, 0).unwrap();
    near("prime lost", lost.t_s, 198.762, 0.05);
    near("reservoir then", lost.depth_m * 1e3, 40.0, 0.004);
    assert!(r.flood(0).unwrap().crest_wet_s.is_infinite());
    let highest = r.highest_m[0] * 1e3;
    near("tray then", highest, 70.7154, 0.007);
}

#[test]
fn twin_sensitivity_to_the_stopped_pump() {
    near("no loss", reference("70 L", "80 mm", 0.0).flood(0).unwrap().drained_s, 225.356, 0.05);
    near("great loss", reference("70 L", "80 mm", 100.0).flood(0).unwrap().drained_s, 720.102, 0.05);
}

#[test]
fn twin_course_of_the_base_bench() {
    let r = reference("70 L", "80 mm", 20.0);
    let at = |t: f64| {
        let i = r.course.partition_point(|m| m.t_s < t).max(1);
        let (a, b) = (&r.course[i - 1], &r.course[i]);
        let x = if b.t_s > a.t_s { (t - a.t_s) / (b.t_s - a.t_s) } else { 0.0 };
        let mix = |p: f64, q: f64| (p + x * (q - p)) * 1e3;
        (mix(a.trays[0].depth_m, b.trays[0].depth_m), mix(a.reservoir_m, b.reservoir_m))
    };
    let rows = [
        (60.0, 24.0924, 250.3118),
        (120.0, 46.7971, 219.4073),
        (180.0, 68.2430, 188.2985),
        (240.0, 86.3618, 160.4328),
        (300.0, 89.4217, 155.5747),
        (360.0, 89.9451, 154.7391),
        (480.0, 90.2091, 154.3172),
        (930.0, 80.2074, f64::NAN),
        (1020.0, 60.8480, f64::NAN),
        (1260.0, 10.2095, f64::NAN),
    ];
    for (t, y, z) in rows {
        let (got_y, got_z) = at(t);
        // The course is read between its own points by a straight line: 0.05 mm.
        near(&format!("tray at {t}"), got_y, y, 0.05);
        if z.is_finite() {
            near(&format!("reservoir at {t}"), got_z, z, 0.05);
        }
    }
}
