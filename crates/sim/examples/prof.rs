fn main() {
    let text = std::fs::read_to_string("examples/quayside-kitchen.toml").unwrap();
    let rig = tidewright_rig::read(&text, &tidewright_rig::parts::Library::shipped()).rig.unwrap();
    let mut sc = tidewright_sim::Scenario::one_flood(&rig);
    sc.options.keep_course = false;
    let t = std::time::Instant::now();
    let mut r = Default::default();
    for _ in 0..2000 { r = tidewright_sim::run(&rig, &sc); }
    eprintln!("{:?} per run, evals {} end {} floods {:#?}", t.elapsed() / 2000, r.evaluations, r.end_s, r.floods);
    for e in &r.events { eprintln!("{:8.1} {:?} {:.4}", e.t_s, e.kind, e.depth_m); }
}
