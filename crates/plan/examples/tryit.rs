use std::time::Instant;
use tidewright_physics::quantity::celsius;
use tidewright_plan::solution::{recipe::*, *};
use tidewright_rig::parts::Library;
fn main() {
    let lib = Library::shipped();
    for w in ["hard-tap", "salty-well"] {
        for r in ["hoagland-1", "leafy-greens", "tomato-mature", "steiner"] {
            let water = lib.waters().iter().find(|x| x.id == w).unwrap();
            let recipe = lib.recipes().iter().find(|x| x.id == r).unwrap();
            let src = acid::source(water, celsius(20.0)).unwrap();
            let shelf: Vec<_> = lib.salts().iter().filter(|s| s.usual).cloned().collect();
            for cheaper in [0.0, 1.0] {
                let wanted = Wanted {
                    recipe,
                    strength: 1.0,
                    water: &src.totals,
                    shelf: &shelf,
                    ph: Some(5.8),
                    ammonium: 0.15,
                    cheaper,
                    temperature: celsius(20.0),
                };
                let t = Instant::now();
                let s = match solve(&wanted) {
                    Ok(s) => s,
                    Err(e) => {
                        println!("{w} {r}: {e}");
                        continue;
                    }
                };
                println!(
                    "{w} {r} cheaper {cheaper}: {:.2} ms, miss {:.2} %, price {:?} ends {:?} pH {:.2} / {:?} EC {:.2} charge {:.1e}",
                    t.elapsed().as_secs_f64() * 1e3,
                    100.0 * s.miss,
                    s.price_m3,
                    s.ends,
                    s.open.ph,
                    s.closed.as_ref().map(|c| c.ph),
                    10.0 * s.open.ec_25,
                    s.charge
                );
                for (j, a) in &s.salts {
                    let (v, u) = acid::measure(&shelf[*j], a * 100.0);
                    println!("    {:<26} {:9.4} mmol/L {:9.2} {u} in 100 L", shelf[*j].id, a, v);
                }
                for t in s.targets.iter().filter(|t| t.miss.abs() > 0.005) {
                    println!(
                        "    {}: {:.3} of {:.3}-{:.3} ({:+.1} %) {:?}",
                        t.target.name,
                        t.amount,
                        t.target.low,
                        t.target.high,
                        100.0 * t.miss,
                        t.why
                    );
                }
                if cheaper == 0.0 {
                    if let Some(h) = why_helper(&wanted, &s, lib.salts()) {
                        println!("    would help: {} -> {:.2} %", h.0.id, 100.0 * h.1);
                    }
                }
            }
        }
    }
}
