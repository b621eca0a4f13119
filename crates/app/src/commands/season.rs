use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use serde_json::json;
use std::process::ExitCode;
use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, judge};
use tidewright_sim::season::season;
use tidewright_sim::stack::Manner;

/// The whole crop day by day under the file's program: what it drinks, and how dry and airless the blocks get
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print JSON, all numbers in SI units
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print every day as CSV
    #[arg(long)]
    csv: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let days = rig.growing.crop.days.iter().sum::<f64>().round().clamp(1.0, 1000.0) as u32;
        if rig.trays.iter().all(|t| t.blocks.is_none()) {
            return Err(Trouble("no blocks stand in any tray: a bed of grains is not followed".into()));
        }
        let all = season(days, Manner::LIKELY, |day| rig.clone().on_day(day))
            .map_err(|_| Trouble("the water in the blocks cannot be followed to the end of the crop".into()))?;
        if args.json {
            let named = rig.trays.iter().zip(&all);
            say_json(&named.map(|(t, d)| json!({"tray": t.name, "days": d})).collect::<Vec<_>>())?;
        } else if args.csv {
            say(&tidewright_report::season::csv(&all))?;
        } else {
            let findings = judge(&Survey::of(rig, QUICK_RUNS));
            say(&tidewright_report::text::wrap(&tidewright_report::roots::stops(&findings), 0, 100))?;
            say(&tidewright_report::season::table(rig, &all))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
