use crate::bench_file::Source;
use crate::terminal::{Outcome, say, say_json};
use std::process::ExitCode;
use tidewright_plan::Survey;
use tidewright_plan::spills::spills;
use tidewright_report::text;

/// Litres on the floor by single fault
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let all = spills(&bench.rig);
        if args.json {
            say_json(&all)?;
        } else {
            say(&text::spill_table(&Survey::of(&bench.rig, 2), &all))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
