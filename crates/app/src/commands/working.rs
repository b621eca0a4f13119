use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_plan::{Survey, working};
use tidewright_report::answers;
use tidewright_sim::band::USUAL_RUNS;

/// Show how a reported number came about: formula, symbols, source, band
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Which number (all of them without a name)
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let mut all = working::all(&Survey::of(&bench.rig, USUAL_RUNS));
        if let Some(name) = &args.of {
            let known: Vec<&str> = all.iter().map(|w| w.name).collect();
            if !known.contains(&name.as_str()) {
                return Err(Trouble(format!("there is no number \"{name}\"; there are: {}", known.join(", "))));
            }
            all.retain(|w| w.name == name);
        }
        if args.json {
            say_json(&all)?;
        } else {
            say(&answers::workings(&all))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
