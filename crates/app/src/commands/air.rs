use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_plan::climate::{self, Climate};
use tidewright_report::climate as told;

/// Air, oxygen and heat over the day: stones and pump, what the water holds, hours when the air stops, heater and chiller
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Compare with every air pump and stone of the parts data
    #[arg(long)]
    compare: bool,
    /// Print the course of the day as CSV
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        if args.compare {
            let all = climate::compare(rig, &args.source.library()?);
            if args.json {
                say_json(&all)?;
            } else {
                say(&told::comparison(&all, &rig.costs.currency))?;
            }
            return Ok(ExitCode::SUCCESS);
        }
        let day = Climate::of(rig, None, None)
            .ok_or_else(|| Trouble("the bench's day of water cannot be followed to its end".into()))?;
        if args.json {
            say_json(&day)?;
        } else if args.csv {
            say(&told::csv(rig, &day))?;
        } else {
            say(&told::answer(rig, &day))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
