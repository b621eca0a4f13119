//! Writes the page of a bench file, as it first appears: `still BENCH.toml PAGE.html [STATE.json]`.
#![allow(clippy::print_stderr)]

use std::time::Instant;
use tidewright_plan::Survey;
use tidewright_plan::advice::settle_crests;
use tidewright_report::{Advice, Given, Meta, page, state};
use tidewright_rig::parts::Library;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let (Some(from), Some(to)) = (args.next(), args.next()) else { return Err("still BENCH.toml PAGE.html".into()) };
    let reading = tidewright_rig::read(&std::fs::read_to_string(&from)?, &Library::shipped());
    let Some(rig) = reading.rig else {
        for f in &reading.findings {
            eprintln!("{} {} {:?}", f.title, f.sentence, f.place);
        }
        return Err("the bench does not read".into());
    };
    let (rig, _) = settle_crests(&rig);
    let clock = Instant::now();
    let survey = Survey::of(&rig, 128);
    let findings = tidewright_plan::judge(&survey);
    let advice = Advice::of(&survey).with_throttles(&survey);
    let spills = tidewright_plan::spills::spills(&rig);
    eprintln!("runs and judgement {:?}, course of the day {} moments", clock.elapsed(), survey.day.course.len());
    let name = from.rsplit('/').next().unwrap_or("bench.toml").to_owned();
    let meta = Meta { file_name: name, saved: false, can_undo: true, refined: true, ..Meta::default() };
    let clock = Instant::now();
    let s = state(&Given {
        survey: &survey,
        findings: &findings,
        faults: &reading.findings,
        advice: &advice,
        spills: &spills,
        meta: &meta,
    });
    let json = serde_json::to_string(&s)?;
    eprintln!("state {:?}, {} kB as JSON", clock.elapsed(), json.len() / 1024);
    let html = page(&s);
    eprintln!("page {} kB", html.len() / 1024);
    if let Some(also) = args.next() {
        std::fs::write(also, json)?;
    }
    std::fs::write(to, html)?;
    Ok(())
}
