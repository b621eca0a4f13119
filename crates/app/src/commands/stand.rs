use crate::bench_file::Source;
use crate::terminal::{Outcome, say, say_json};
use std::process::ExitCode;
use tidewright_plan::stand::{self, Standing};
use tidewright_report::frame;

/// What the stand carries with a blocked drain: sag, stress, legs, tipping, floor; never a word that it is safe to climb
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
        let all: Vec<Standing> = (0..rig.trays.len()).filter_map(|i| stand::of(rig, i)).collect();
        if args.json {
            say_json(&all)?;
        } else {
            say(&frame::stand_answer(rig, &all))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
