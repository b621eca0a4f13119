//! Random benches: every file is valid, every run ends with finite numbers and a closed ledger.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use tidewright_evidence::random::bench_file;
use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, Severity, read};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Faults, Knobs, Program, Run, Scenario, run};

/// Runs a job for every seed below `count`, on all cores; gives what it found, by seed.
fn every_seed(count: u64, job: impl Fn(u64) -> Option<String> + Sync) -> Vec<(u64, String)> {
    let next = AtomicU64::new(0);
    let found = Mutex::new(Vec::new());
    let threads = std::thread::available_parallelism().map_or(2, usize::from);
    std::thread::scope(|s| {
        for _ in 0..threads {
            s.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= count {
                        return;
                    }
                    if let Some(what) = job(seed) {
                        found.lock().expect("no one panicked").push((seed, what));
                    }
                }
            });
        }
    });
    let mut found = found.into_inner().expect("no one panicked");
    found.sort();
    found
}

fn listed(found: &[(u64, String)]) -> String {
    let lines: Vec<String> = found.iter().take(40).map(|(seed, what)| format!("seed {seed}: {what}")).collect();
    format!("{} found\n{}", found.len(), lines.join("\n"))
}

fn rig_of(seed: u64, library: &Library) -> Result<Rig, String> {
    let reading = read(&bench_file(seed), library);
    let stops: Vec<String> =
        reading.findings.iter().filter(|f| f.severity == Severity::Stop).map(|f| format!("{f:?}")).collect();
    match reading.rig {
        Some(rig) if stops.is_empty() => Ok(rig),
        _ => Err(format!("not valid: {}", stops.join("; "))),
    }
}

/// Most seeds ask for one flood; some for a stuck pump, worn pumps, faults or whole days.
fn scenario_of(seed: u64, rig: &Rig) -> Scenario {
    let base = Scenario::one_flood(rig);
    let mut scenario = match seed % 20 {
        0 => Scenario::stuck_and_blocked(rig, 0),
        1 => Scenario { knobs: base.knobs.clone().worn(rig), ..base },
        2 => Scenario { faults: Faults { fouled: true, ..Faults::default() }, ..base },
        3 => Scenario { faults: Faults { return_off: true, ..Faults::default() }, ..base },
        4 => Scenario { faults: Faults { feed_off: true, ..Faults::default() }, ..base },
        5 => Scenario::flood_of(rig, rig.trays.len() - 1),
        6 => Scenario { knobs: Knobs::textbook(rig, 20.0), ..base },
        7 if seed % 100 == 7 => Scenario { program: Program::Day, ..base },
        7 if seed % 100 == 27 => Scenario::day(rig),
        _ => base,
    };
    scenario.options = Options { keep: Keep::Events, ..Options::default() };
    scenario
}

fn any_nan(run: &Run) -> bool {
    let floods = run.floods.iter().flat_map(|f| {
        [
            f.start_s,
            f.stop_s,
            f.crest_wet_s,
            f.base_wet_s,
            f.steady_s,
            f.highest_m,
            f.depth_at_stop_m,
            f.final_depth_m,
            f.crest_dry_s,
            f.drained_s,
            f.puddle_s,
            f.first_flow_m3_s,
            f.last_flow_m3_s,
            f.first_back_flow_m3_s,
        ]
    });
    let events = run.events.iter().flat_map(|e| [e.t_s, e.depth_m]);
    let totals = run.totals.iter().flat_map(|t| [t.fed_m3, t.back_m3, t.over_riser_m3, t.spilled_m3]);
    let alone = [
        run.end_s,
        run.lowest_reservoir_m,
        run.highest_reservoir_m,
        run.reservoir_spill_m3,
        run.topped_up_m3,
        run.ledger.error,
        run.ledger.end.total_m3(),
    ];
    floods.chain(events).chain(totals).chain(alone).chain(run.highest_m.iter().copied()).any(f64::is_nan)
}

/// Six thousand in an ordinary test run; `TIDEWRIGHT_SEEDS=100000` for the long one, and
/// `TIDEWRIGHT_BROKE=1` to list the seeds on which the solver gave up.
#[test]
fn random_benches_simulate() {
    let count = std::env::var("TIDEWRIGHT_SEEDS").ok().and_then(|n| n.parse().ok()).unwrap_or(6_000);
    let library = Library::shipped();
    let (broke, most, evaluations) = (AtomicU64::new(0), AtomicU64::new(0), AtomicU64::new(0));
    let only: Vec<u64> = std::env::var("TIDEWRIGHT_ONLY")
        .map_or_else(|_| Vec::new(), |l| l.split(',').filter_map(|s| s.parse().ok()).collect());
    let found = every_seed(count, |seed| {
        if !only.is_empty() && !only.contains(&seed) {
            return None;
        }
        let rig = match rig_of(seed, &library) {
            Ok(rig) => rig,
            Err(why) => return Some(why),
        };
        let scenario = scenario_of(seed, &rig);
        let Ok(run) = std::panic::catch_unwind(|| run(&rig, &scenario)) else {
            return Some("panicked".into());
        };
        evaluations.fetch_add(run.evaluations, Ordering::Relaxed);
        most.fetch_max(run.evaluations, Ordering::Relaxed);
        if any_nan(&run) {
            return Some("a number is none".into());
        }
        if !run.ledger.closes() {
            return Some(format!("the ledger is open by {:e}; it ends with {:?}", run.ledger.error, run.ledger.end));
        }
        if run.broke_off {
            broke.fetch_add(1, Ordering::Relaxed);
            if std::env::var("TIDEWRIGHT_BROKE").is_ok() {
                return Some(format!("broke off at {} s after {} events", run.end_s, run.events.len()));
            }
        }
        None
    });
    let (broke, most, evaluations) = (broke.into_inner(), most.into_inner(), evaluations.into_inner());
    let account = format!("{broke} of {count} broke off; evaluations {evaluations}, most {most}");
    assert!(found.is_empty(), "{account}; {}", listed(&found));
    // Stiff or chattering benches exist among the extreme ones; they must stay rare.
    assert!(broke * 100 <= count, "{account}");
}
