use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use serde_json::json;
use std::process::ExitCode;
use tidewright_plan::solution::crust::{Ask, Salted, salted};
use tidewright_report::solution::salt;

/// Salt in the blocks through weeks: EC by height, the day of a white crust, what a leach or a weaker feed does
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Weeks to look ahead
    #[arg(long, default_value_t = 6)]
    weeks: u32,
    /// Water poured over the tops at each leach [mm]
    #[arg(long, default_value_t = 30.0)]
    leach: f64,
    /// Days between leaches
    #[arg(long, default_value_t = 14)]
    every: u32,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        if !(1..=52).contains(&args.weeks) || !(1.0..=500.0).contains(&args.leach) || !(1..=365).contains(&args.every) {
            return Err(Trouble("weeks from 1 to 52, a leach from 1 to 500 mm, every 1 to 365 days".into()));
        }
        let ask = Ask { days: 7 * args.weeks, leach_m: 1e-3 * args.leach, every: args.every };
        let all = salted(&bench.rig, &ask).map_err(Trouble)?;
        if all.is_empty() {
            return Err(Trouble("no blocks stand in any tray: a bed of grains is not followed".into()));
        }
        if args.json {
            let row = |s: &Salted| {
                json!({
                    "tray": s.tray, "ec_reservoir_ms_cm": s.ec_ms_cm, "crust_over": s.crust.as_ref().map(|c| c.0),
                    "crust_solid": s.crust.as_ref().map(|c| &c.1),
                    "crust_day": s.crust.as_ref().and_then(|c| salt::crust_day(&s.plain, c.0)),
                    "evaporates_mm_day": s.water_mm.0, "drunk_mm_day": s.water_mm.1,
                    "days": s.plain, "days_leached": s.leached, "days_weaker": s.weaker, "ledger_error": s.ledger_error,
                })
            };
            say_json(&all.iter().map(row).collect::<Vec<_>>())?;
        } else {
            say(&text(&all, &ask))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}

/// The answer for all trays.
pub(crate) fn text(all: &[Salted], ask: &Ask) -> String {
    all.iter()
        .map(|s| {
            salt::answer(&salt::Told {
                tray: &s.tray,
                ec_ms_cm: s.ec_ms_cm,
                crust: s.crust.clone(),
                water_mm: s.water_mm,
                plain: &s.plain,
                leached: Some((&s.leached, 1e3 * ask.leach_m, ask.every)),
                weaker: Some((&s.weaker, tidewright_plan::solution::crust::WEAKER)),
                ledger_error: s.ledger_error,
            })
        })
        .collect::<Vec<_>>()
        .join("\n")
}
