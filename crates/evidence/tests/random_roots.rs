//! Random benches: the day of their blocks can be followed, with finite numbers and a closed account.

use tidewright_evidence::random::bench_file;
use tidewright_rig::parts::Library;
use tidewright_rig::read;
use tidewright_sim::{Program, Scenario, roots, run};

/// Forty in an ordinary test run; `TIDEWRIGHT_ROOT_SEEDS` for more.
#[test]
fn law_blocks_of_random_benches_are_followed() {
    let count: u64 = std::env::var("TIDEWRIGHT_ROOT_SEEDS").ok().and_then(|n| n.parse().ok()).unwrap_or(40);
    let library = Library::shipped();
    let (mut followed, mut faults) = (0, Vec::new());
    for seed in 0..count {
        let Some(rig) = read(&bench_file(seed), &library).rig else { continue };
        let flood = run(&rig, &Scenario { program: Program::Day, ..Scenario::one_flood(&rig) });
        if flood.broke_off {
            continue;
        }
        for tray in 0..rig.trays.len() {
            match roots::day(&rig, &flood, tray) {
                Ok(None) => {}
                Ok(Some(d)) => {
                    followed += 1;
                    let numbers = [d.taken_m3, d.given_back_m3, d.drunk_m3, d.demand_m3, d.airless_s];
                    let finite = numbers.iter().all(|x| x.is_finite() && *x >= -1e-12);
                    let contents = d.course.iter().all(|m| (0.0..=1.0).contains(&m.mean) && m.supplied.is_finite());
                    if !(d.ledger_error < 1e-9 && finite && contents && d.drunk_m3 <= d.demand_m3 * (1.0 + 1e-6)) {
                        faults.push(format!("seed {seed} tray {tray}: ledger {:e}, {numbers:?}", d.ledger_error));
                    }
                }
                Err(s) => faults.push(format!("seed {seed} tray {tray}: stuck after {} s", s.after_s)),
            }
        }
    }
    assert!(faults.is_empty(), "{} of {followed}:\n{}", faults.len(), faults.join("\n"));
    assert!(followed > 10, "{followed}");
}
