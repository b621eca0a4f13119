use crate::bench_file::Source;
use crate::store;
use crate::terminal::{Outcome, Trouble, say, say_json};
use serde_json::json;
use std::path::PathBuf;
use std::process::ExitCode;
use tidewright_plan::climate::Climate;
use tidewright_plan::{Survey, buy};
use tidewright_report::buy as told;
use tidewright_sim::band::USUAL_RUNS;

/// What to buy: windows of what would serve, the parts list with prices, and what running costs
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print only the parts list, as CSV for a spreadsheet
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Take prices and what is owned from such a list, filled in
    #[arg(long, value_name = "FILE")]
    prices: Option<PathBuf>,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let mut rig = bench.rig;
        if let Some(path) = &args.prices {
            if !path.exists() {
                return Err(Trouble(format!(
                    "there is no file {}; \"tidewright buy --csv\" writes such a list",
                    path.display()
                )));
            }
            let text = String::from_utf8(store::load(path)?).map_err(|_| store::no_text(path))?;
            let (prices, owned, faults) = buy::read_csv(&text);
            if !faults.is_empty() {
                return Err(Trouble(format!("{} does not read:\n  {}", path.display(), faults.join("\n  "))));
            }
            rig = buy::with_prices(&rig, prices, owned);
        }
        let items = buy::list(&rig);
        if args.csv {
            say(&buy::write_csv(&items))?;
            return Ok(ExitCode::SUCCESS);
        }
        let card = buy::card(&Survey::of(&rig, USUAL_RUNS));
        let heat = if rig.warmth.hold.is_some() {
            Climate::of(&rig, None, None).map_or([0.0; 2], |c| c.likely.held_j)
        } else {
            [0.0; 2]
        };
        let running = buy::running(&rig, heat);
        if args.json {
            say_json(&json!({ "card": card, "list": items, "running": running }))?;
        } else {
            say(&format!(
                "{}\n{}\n{}\n{}",
                rig.name,
                told::card(&card),
                told::list(rig.system, &items),
                told::running(&rig, &running)
            ))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
