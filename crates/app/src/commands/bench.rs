use crate::bench_file::Source;
use crate::terminal::{Outcome, say, say_json};
use std::process::ExitCode;
use tidewright_report::answers;
use tidewright_rig::resolved;

/// Show every value of a bench and where it came from
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print the bench as numbers in SI units, nothing left to look up
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        if args.json {
            say_json(&resolved::json(&bench.rig))?;
        } else {
            say(&answers::sheet(&bench.rig))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
