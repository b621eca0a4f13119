fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let rig = tidewright_rig::read(&text, &tidewright_rig::parts::Library::shipped()).rig.unwrap();
    let mut sc = tidewright_sim::Scenario::day(&rig);
    if std::env::args().nth(2).is_some() {
        sc = tidewright_sim::Scenario::one_flood(&rig);
    }
    let r = tidewright_sim::run(&rig, &sc);
    for e in &r.events {
        println!("{:9.1} {:?} {:.4}", e.t_s, e.kind, e.depth_m);
    }
    println!("{:?}", r.ledger);
}
