//! How long the build book takes from a bench that was read, all runs and judgements included.

use divan::{Bencher, black_box};
use tidewright_plan::{Survey, judge};
use tidewright_report::Advice;
use tidewright_report::book::{Contents, Sheet, book};
use tidewright_rig::parts::Library;
use tidewright_sim::band::USUAL_RUNS;

fn main() {
    divan::main();
}

#[divan::bench]
fn whole_book(b: Bencher) {
    let text = include_str!("../../../examples/quayside-kitchen.toml");
    let rig = tidewright_rig::read(text, &Library::shipped()).rig.expect("the demo reads");
    b.bench_local(|| {
        let survey = Survey::with_crop(&rig, USUAL_RUNS);
        let findings = judge(&survey);
        let advice = Advice::of(&survey);
        black_box(book(&Contents {
            survey: &survey,
            findings: &findings,
            advice: &advice,
            evidence: None,
            sheet: Sheet::A4,
            preview: false,
        }))
    });
}
