use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_physics::quantity::celsius;
use tidewright_plan::solution::acid;
use tidewright_report::solution::{json, water};

/// A water report read back: ions in every unit, the balance of charge, hardness, alkalinity, pH, EC
#[derive(clap::Args)]
pub(crate) struct Args {
    /// Name of a water, as "tidewright parts water" lists them
    water: String,
    /// A file with parts of your own, where your report stands; `parts.toml` of this folder is read anyway
    #[arg(long, value_name = "FILE")]
    parts: Vec<std::path::PathBuf>,
    /// Temperature of the water [°C]
    #[arg(long, default_value_t = 20.0)]
    celsius: f64,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    let mut parts = args.parts.clone();
    let here = std::path::PathBuf::from("parts.toml");
    // As beside a bench file, the parts of this folder are read anyway.
    if parts.is_empty() && here.is_file() {
        parts.push(here);
    }
    let library = Source { file: None, parts }.library()?;
    let Some(report) = library.waters().iter().find(|w| w.id == args.water) else {
        let known: Vec<&str> = library.waters().iter().map(|w| w.id.as_str()).collect();
        return Err(Trouble(format!("there is no water \"{}\"; there are {}", args.water, known.join(", "))));
    };
    if !(0.1..=45.0).contains(&args.celsius) {
        return Err(Trouble(format!("{} °C: water here is between 0.1 and 45 °C", args.celsius)));
    }
    let source = acid::source(report, celsius(args.celsius)).map_err(|e| Trouble(format!("{}: {e}", report.id)))?;
    if args.json {
        say_json(&json::water(report, &source))?;
    } else {
        say(&water::answer(report, &source))?;
    }
    Ok(ExitCode::SUCCESS)
}
