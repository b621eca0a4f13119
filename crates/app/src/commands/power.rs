use crate::bench_file::Source;
use crate::terminal::{Outcome, say, say_json};
use std::process::ExitCode;
use tidewright_plan::power;
use tidewright_report::frame;

/// Electric loads: current, inrush, timer and circuit, order of starting, battery
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let e = power::of(rig);
        if args.json {
            say_json(&e)?;
        } else {
            say(&frame::power_answer(rig, &e))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
