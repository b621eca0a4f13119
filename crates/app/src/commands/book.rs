use crate::bench_file::Source;
use crate::store;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use tidewright_plan::{Survey, judge};
use tidewright_report::Advice;
use tidewright_report::book::{Contents, Sheet, book};
use tidewright_rig::units::System;
use tidewright_sim::band::USUAL_RUNS;

/// The build book: one document to build, commission and run the bench from, to print at true scale
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Paper that it is printed on; without it A4, or Letter for a bench in US units
    #[arg(long, value_enum)]
    paper: Option<Paper>,
    /// Write it to this file instead of printing it
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Write it as a typeset PDF; needs a program built with the feature `typeset`
    #[arg(long, value_name = "FILE", conflicts_with_all = ["out", "json"])]
    pdf: Option<PathBuf>,
    /// Print what the book is made from as JSON; names carry their units
    #[arg(long, conflicts_with = "out")]
    json: bool,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum Paper {
    A4,
    Letter,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let survey = Survey::with_crop(&bench.rig, USUAL_RUNS);
        let mut findings = bench.remarks;
        findings.extend(judge(&survey));
        findings.sort_by_key(|f| f.severity);
        if args.json {
            return json(&survey);
        }
        let contents = Contents {
            survey: &survey,
            findings: &findings,
            advice: &Advice::of(&survey),
            evidence: evidence(),
            sheet: match (args.paper, bench.rig.system) {
                (Some(Paper::A4), _) | (None, System::Metric) => Sheet::A4,
                (Some(Paper::Letter), _) | (None, System::UsCustomary) => Sheet::Letter,
            },
            preview: false,
        };
        if let Some(path) = &args.pdf {
            return typeset_pdf(path, &contents);
        }
        let html = book(&contents);
        match &args.out {
            None => say(&html)?,
            Some(path) if path.is_dir() => {
                return Err(Trouble(format!("{} is a folder; name the file to write in it", path.display())));
            }
            Some(path) => {
                store::save(path, &html)?;
                say(&format!("{} written; open it in a browser and print at 100 %", path.display()))?;
            }
        }
        Ok(ExitCode::SUCCESS)
    })
}

#[cfg(feature = "typeset")]
fn typeset_pdf(path: &Path, contents: &Contents<'_>) -> Outcome {
    let pdf = crate::typeset::pdf(&tidewright_report::book::typeset::typeset(contents))?;
    std::fs::write(path, pdf).map_err(|e| Trouble(format!("{} cannot be written: {e}", path.display())))?;
    say(&format!("{} written", path.display()))?;
    Ok(ExitCode::SUCCESS)
}

#[cfg(not(feature = "typeset"))]
fn typeset_pdf(_: &Path, _: &Contents<'_>) -> Outcome {
    Err(Trouble(
        "this program was built without typesetting: cargo build --release --features typeset; or write HTML with --out and print that".into(),
    ))
}

fn json(survey: &Survey) -> Outcome {
    use tidewright_plan::book::{card, cuts, gauge, steps, tasks, trials, turnover};
    let rig = &survey.rig;
    let climate = survey.climate.as_ref();
    let gauges: Vec<_> = (0..rig.trays.len()).map(|i| gauge(rig, i)).collect();
    say_json(&serde_json::json!({
        "bench": rig.name,
        "cuts": cuts(rig),
        "holes": rig.trays.iter().map(tidewright_plan::fit::holes).collect::<Vec<_>>(),
        "steps": steps(rig),
        "trials": trials(survey),
        "card": card(survey, climate),
        "gauge": gauges,
        "tasks": tasks(survey, climate, survey.solution.as_ref()),
        "turnover": turnover(survey),
    }))?;
    Ok(ExitCode::SUCCESS)
}

/// Values that the program is held against: those that hold, and all. A row says itself where it fails and stays.
pub(crate) fn evidence() -> Option<(usize, usize)> {
    let sheets = tidewright_evidence::all().ok()?;
    let cases = || sheets.iter().flat_map(|s| &s.cases);
    let all: usize = cases().map(|c| c.expect.len()).sum();
    let failing = cases().filter(|c| c.expected_failure.is_some()).count();
    Some((all - failing, all))
}
