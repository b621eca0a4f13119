//! Random benches: the day of their blocks can be followed, with finite numbers and a closed account.

use tidewright_evidence::random::bench_file;
use tidewright_rig::parts::Library;
use tidewright_rig::read;
use tidewright_sim::stack::{Branch, Manner};
use tidewright_sim::{Program, Scenario, roots, run};

/// Forty in an ordinary test run; `TIDEWRIGHT_ROOT_SEEDS` for more.
#[test]
fn law_blocks_of_random_benches_are_followed() {
    let count: u64 = std::env::var("TIDEWRIGHT_ROOT_SEEDS").ok().and_then(|n| n.parse().ok()).unwrap_or(40);
    let library = Library::shipped();
    let (mut followed, mut broke_off, mut faults) = (0, 0, Vec::new());
    for seed in 0..count {
        let Some(rig) = read(&bench_file(seed), &library).rig else { continue };
        // Both ends of what is not known, in turn.
        let (branch, thirst) = if seed % 2 == 0 { (Branch::Drying, 0.75) } else { (Branch::Wetting, 4.0 / 3.0) };
        let manner = Manner { branch, thirst, stuffy: seed % 3 == 0, ..Manner::LIKELY };
        let day = run(&rig, &Scenario { program: Program::Day, ..Scenario::crop_day(&rig, manner) });
        if day.broke_off {
            broke_off += 1;
            continue;
        }
        for tray in 0..rig.trays.len() {
            match roots::day(&rig, &day, tray, manner) {
                Ok(None) => {}
                Ok(Some(d)) => {
                    followed += 1;
                    let numbers = [d.taken_m3, d.given_back_m3, d.drunk_m3, d.demand_m3, d.airless_s];
                    let finite = numbers.iter().all(|x| x.is_finite() && *x >= -1e-12);
                    let share = |x: f64| (0.0..=1.0 + 1e-9).contains(&x);
                    let contents = d.course.iter().all(|m| share(m.mean) && share(m.oxygen) && m.supplied.is_finite());
                    if !(d.ledger_error < 1e-9 && finite && contents && d.drunk_m3 <= d.demand_m3 * 1.001) {
                        faults.push(format!("seed {seed} tray {tray}: ledger {:e}, {numbers:?}", d.ledger_error));
                    }
                }
                Err(s) => faults.push(format!("seed {seed} tray {tray}: stuck after {} s", s.after_s)),
            }
        }
    }
    assert!(faults.is_empty(), "{} of {followed}:\n{}", faults.len(), faults.join("\n"));
    assert!(followed > 10, "{followed}");
    assert!(broke_off * 50 <= count, "{broke_off} of {count} broken off");
}
