//! probe
use tidewright_evidence::random::bench_file;
use tidewright_rig::parts::Library;
use tidewright_rig::read;
use tidewright_sim::scenario::Options;
use tidewright_sim::{Scenario, run};
#[test]
fn probe() {
    let seeds = std::env::var("SEEDS").unwrap_or_default();
    for s in seeds.split(',').filter_map(|s| s.parse::<u64>().ok()) {
        let text = bench_file(s);
        if std::env::var("TEXT").is_ok() {
            eprintln!("{text}");
        }
        let rig = read(&text, &Library::shipped()).rig.unwrap();
        let base = match s % 20 {
            0 => Scenario::stuck_and_blocked(&rig, 0),
            _ => Scenario::one_flood(&rig),
        };
        let sc = Scenario { options: Options { keep_course: true, ..Options::default() }, ..base };
        let t = std::time::Instant::now();
        let r = run(&rig, &sc);
        eprintln!("{s}: {:?} {} ev, end {}, broke {}", t.elapsed(), r.evaluations, r.end_s, r.broke_off);
        for e in r.events.iter().take(25) {
            eprintln!("  {:.3} {:?} {} {:.5}", e.t_s, e.kind, e.index, e.depth_m);
        }
        for m in r.course.iter().rev().take(6) {
            eprintln!(
                "  {:.6} res {:.6} {:?}",
                m.t_s,
                m.reservoir_m,
                m.trays.iter().map(|t| (t.depth_m, t.feed_m3_s, t.riser_m3_s)).collect::<Vec<_>>()
            );
        }
    }
}
#[test]
fn debts() {
    for s in std::env::var("SEEDS").unwrap_or_default().split(',').filter_map(|s| s.parse::<u64>().ok()) {
        let rig = read(&bench_file(s), &Library::shipped()).rig.unwrap();
        let base = match s % 20 {
            0 => Scenario::stuck_and_blocked(&rig, 0),
            _ => Scenario::one_flood(&rig),
        };
        let r = run(&rig, &Scenario { options: Options { keep_course: false, ..Options::default() }, ..base });
        eprintln!(
            "D {s} {:?} ev {:?}",
            r.ledger.end,
            r.events.iter().rev().take(3).map(|e| (e.t_s, e.kind, e.index)).collect::<Vec<_>>()
        );
        if std::env::var("TEXT").is_ok() {
            eprintln!("{:#?}", tidewright_evidence::twin::events(s));
        }
    }
}
