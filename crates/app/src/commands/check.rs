use crate::bench_file::Source;
use crate::terminal::{Outcome, exit_code, say, say_json};
use serde_json::json;
use tidewright_plan::{Survey, advice, judge};
use tidewright_report::answers;
use tidewright_sim::band::USUAL_RUNS;

/// Check a bench: findings, figures, where to cut the riser, where to draw the fill lines
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print everything that holds, too
    #[arg(long)]
    all: bool,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// bench.toml ─ rig::read ─► Rig ─ sim::run (inside the survey) ─► Run ─ plan::judge ─► Findings ─ report
pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let survey = Survey::with_crop(&bench.rig, USUAL_RUNS);
        let mut findings = bench.remarks;
        findings.extend(judge(&survey));
        findings.sort_by_key(|f| f.severity);
        if args.json {
            say_json(&json!({
                "bench": survey.rig.name,
                "findings": findings,
                "bands": survey.trays.iter().map(|t| &t.bands).collect::<Vec<_>>(),
                "risers": survey.each().filter_map(|v| advice::riser(&v)).collect::<Vec<_>>(),
                "fill_lines": advice::fill_lines(&survey),
                "ledger": survey.day.ledger,
            }))?;
        } else {
            say(&answers::check(&survey, &findings, args.all))?;
        }
        Ok(exit_code(&findings))
    })
}
