use crate::bench_file::Source;
use crate::terminal::{Outcome, say, say_json};
use serde_json::json;
use std::process::ExitCode;
use tidewright_plan::fit;
use tidewright_report::frame;

/// Does it go together: holes against rails, ribs and walls, room below and above, hoses, and the cover to cut
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
        if args.json {
            let of = |i: usize| json!({ "tray": rig.trays[i].name, "holes": fit::holes(&rig.trays[i]), "cover": fit::cover(rig, i) });
            say_json(&json!({ "checks": fit::checks(rig), "trays": (0..rig.trays.len()).map(of).collect::<Vec<_>>() }))?;
        } else {
            say(&frame::fit_answer(rig))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
