use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_plan::solution::{mix, outlook, system};
use tidewright_report::solution::{drift as told, json};
use tidewright_sim::drift::{change_out, drift};

/// The reservoir through weeks: EC, each ion, sodium and chloride, and the day to change it
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Days to look ahead
    #[arg(long, default_value_t = outlook::AHEAD_DAYS)]
    days: u32,
    /// Litres that the crop drinks a day, in place of what the canopy model says
    #[arg(long)]
    litres_a_day: Option<f64>,
    /// Print every look (hour by hour) as CSV
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        if !(1..=1000).contains(&args.days) {
            return Err(Trouble(format!("{} days: between 1 and 1000 can be looked ahead", args.days)));
        }
        let litres = args.litres_a_day.unwrap_or_else(|| outlook::litres_a_day(rig));
        if !(0.0..=100_000.0).contains(&litres) {
            return Err(Trouble(format!("{litres} L a day: no crop here drinks that")));
        }
        let t = rig.site.water_temperature.get();
        let sheet = mix::sheet(&rig.mixing, rig.reservoir.fill.get(), t).map_err(Trouble)?;
        let looks = if args.csv { 24 } else { 1 };
        let ask = outlook::weeks(rig, &sheet, litres, args.days, looks)
            .ok_or_else(|| Trouble("the top-up cannot be reckoned".into()))?;
        let drifted = drift(&ask).map_err(Trouble)?;
        let change = change_out(system(), &drifted, &rig.mixing.feeding);
        if args.json {
            say_json(&json::drift(&drifted, &change, litres))?;
        } else if args.csv {
            say(&told::csv(&drifted))?;
        } else {
            let seen = &sheet.solved.open;
            let words = told::compensation(seen.ec, seen.ec_25, t.value - 273.15);
            say(&told::answer(rig, &drifted, &change, (litres, outlook::held_ph(&rig.mixing, &sheet)), &words))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
