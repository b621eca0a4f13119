use tidewright_sim::band::*;
fn main() {
    let text = std::fs::read_to_string("examples/quayside-kitchen.toml").unwrap();
    let rig = tidewright_rig::read(&text, &tidewright_rig::parts::Library::shipped()).rig.unwrap();
    let mut sc = tidewright_sim::Scenario::one_flood(&rig);
    sc.options.keep_course = false;
    let t = std::time::Instant::now();
    let mut r = Default::default();
    for _ in 0..2000 {
        r = tidewright_sim::run(&rig, &sc);
    }
    eprintln!("{:?} per run, evals {} end {}", t.elapsed() / 2000, r.evaluations, r.end_s);
    let t = std::time::Instant::now();
    let b = bands(&rig, 0, 512);
    eprintln!("{:?} band", t.elapsed());
    for (f, b) in &b.figures {
        eprintln!("{:?} {:.4} {:.4} {:.4} never {} {:?}", f, b.low, b.likely, b.high, b.never, &b.makers[..3]);
    }
}
