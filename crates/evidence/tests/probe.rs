//! probe
use tidewright_rig::parts::Library;
use tidewright_sim::*;
#[test]
fn probe() {
    for e in [
        "windowsill-tub",
        "tray-in-tote",
        "quayside-kitchen",
        "long-tray",
        "pellet-bed",
        "big-table",
        "nursery-manifold",
        "nursery-bench",
    ] {
        let text = std::fs::read_to_string(format!("{}/../../examples/{e}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap();
        let r = tidewright_rig::read(&text, &Library::shipped());
        for f in &r.findings {
            eprintln!("{e} {:?}", f);
        }
        let rig = r.rig.unwrap();
        for (name, phi, head, krev, shape) in [
            ("nominal", 0.0, 0, 0.0, 0.0),
            ("clean", 1.0, 1, 20.0, 2.0),
            ("worn sqrt", 0.75, 1, 100.0, 2.0),
            ("worn flow only", 0.75, 0, 100.0, 2.0),
            ("worn both", 0.75, 2, 100.0, 2.0),
        ] {
            let mut rig2 = rig.clone();
            let base = Scenario::one_flood(&rig);
            let mut k = Knobs::textbook(&rig, krev);
            if name == "nominal" {
                k = base.knobs.clone();
            } else {
                for (i, p) in k.pumps.iter_mut().enumerate() {
                    p.flow_share = phi;
                    // H = sqrt(phi)*H0[..]; scale the printed head to get other readings
                    let want = match head {
                        0 => 1.0,
                        1 => phi.sqrt(),
                        _ => phi,
                    } / phi.sqrt();
                    if let tidewright_physics::hydraulics::pump::Curve::Power { max_head, open_flow, shape } =
                        rig.pumps[i].curve.borrowed()
                    {
                        rig2.pumps[i].curve = tidewright_rig::Value::assumed(
                            tidewright_physics::hydraulics::pump::Curve::Power {
                                max_head: *max_head * want,
                                open_flow: *open_flow,
                                shape: *shape,
                            },
                            "x",
                        );
                    }
                }
            }
            let run = run(&rig2, &Scenario { knobs: k, ..base });
            let mut s = String::new();
            for (t, f) in run.floods.iter().enumerate() {
                let stop = f.stop_s;
                let d = run
                    .course
                    .iter()
                    .find(|m| m.t_s > stop && m.trays[t].depth_m <= 0.01)
                    .map_or(f64::NAN, |m| (m.t_s - stop) / 60.0);
                s += &format!(
                    " [{} fill {:.2} drain10 {:.2} drained {:.2} over {:.1} mm]",
                    t,
                    f.crest_wet_s / 60.0,
                    d,
                    f.drained_s / 60.0,
                    (f.highest_m - rig.trays[t].crest().unwrap().value) * 1e3
                );
            }
            eprintln!(
                "{e:18} {name:14}{s} broke {} low res {:.0} lost {}",
                run.broke_off,
                run.lowest_reservoir_m * 1e3,
                run.any(EventKind::PrimeLost)
            );
        }
    }
}
