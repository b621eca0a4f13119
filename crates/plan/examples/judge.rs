fn main() {
    for path in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&path).unwrap();
        let r = tidewright_rig::read(&text, &tidewright_rig::parts::Library::shipped());
        for f in &r.findings {
            println!("{:?} {} {:?}", f.severity, f.sentence, f.place);
        }
        let Some(rig) = r.rig else { continue };
        let t = std::time::Instant::now();
        let (rig, _) = tidewright_plan::advice::settle_crests(&rig);
        let s = tidewright_plan::Survey::of(&rig, 256);
        let t1 = t.elapsed();
        let f = tidewright_plan::judge(&s);
        println!("== {path} survey {t1:?} judged {:?}", t.elapsed());
        for f in &f {
            println!("{} {:5} [{}] {} — {}", f.severity.sign(), f.severity.word(), f.name, f.title, f.sentence);
            if let Some(m) = &f.mend {
                println!("      → {} ({}) {:?}", m.say, m.remains, m.change);
            }
        }
        for v in s.each() {
            println!("{:?}", tidewright_plan::advice::riser(&v));
        }
        println!("{:?}", tidewright_plan::advice::fill_lines(&s));
        for s in tidewright_plan::spills::spills(&rig) {
            println!("{:8.1} L {} ({})", s.on_the_floor_m3 * 1e3, s.fault, s.remark);
        }
    }
}
