use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, exit_code, say, say_json};
use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, judge};
use tidewright_report::roots;

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
        let survey = Survey::with_crop(rig, QUICK_RUNS);
        let crop = survey.crop.as_ref();
        if let Some(tray) = crop.and_then(|c| c.lost) {
            return Err(Trouble(format!(
                "the water in the blocks of {} cannot be followed: nothing is known of it",
                rig.trays[tray].name
            )));
        }
        let days: Vec<_> = crop.iter().flat_map(|c| c.days()).cloned().collect();
        let findings = judge(&survey);
        if args.json {
            say_json(&days)?;
        } else if args.csv {
            say(&roots::csv(&days))?;
        } else {
            say(&roots::table(rig, &days, &findings))?;
        }
        Ok(exit_code(&findings))
    })
}
