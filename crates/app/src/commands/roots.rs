use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, exit_code, say, say_json};
use std::process::ExitCode;
use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, judge};
use tidewright_report::roots;
use tidewright_sim::roots as blocks;

/// Water and air in the blocks over a day, what the crop drinks, how long one flood lasts
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print JSON, all numbers in SI units
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print the course of the day as CSV
    #[arg(long)]
    csv: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let survey = Survey::of(rig, QUICK_RUNS);
        let mut days = Vec::new();
        for tray in 0..rig.trays.len() {
            let day = blocks::day(rig, &survey.day, tray).map_err(|s| {
                Trouble(format!(
                    "the water in the blocks of {} cannot be followed past {:.0} s: nothing is known of it",
                    rig.trays[tray].name, s.after_s
                ))
            })?;
            days.extend(day);
        }
        let findings = judge(&survey);
        if args.json {
            say_json(&days)?;
        } else if args.csv {
            say(&roots::csv(&days))?;
        } else {
            say(&roots::table(rig, &days, &findings))?;
        }
        let holds = !days.iter().any(roots::out_of_nothing);
        Ok(if holds { exit_code(&findings) } else { ExitCode::from(1) })
    })
}
