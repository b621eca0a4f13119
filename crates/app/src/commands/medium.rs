use crate::store;
use crate::terminal::{Outcome, Trouble, say, say_json, show_faults};
use std::path::PathBuf;
use std::process::ExitCode;
use tidewright_plan::medium;
use tidewright_rig::parts::Library;
use tidewright_rig::weighed;

/// Fit a growing medium to what a kitchen scale said, and print it as a part
#[derive(clap::Args)]
pub(crate) struct Args {
    /// A file of weights: [medium], [[block]] with length, width, height, dry, saturated and drained, or four [[point]]s
    file: PathBuf,
    /// Print JSON, all numbers in SI units
    #[arg(long)]
    json: bool,
    /// Print the part alone, to be added to parts.toml
    #[arg(long, conflicts_with = "json")]
    part: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    let bytes = store::load(&args.file)?;
    let name = args.file.display().to_string();
    let text = String::from_utf8(bytes).map_err(|_| Trouble(format!("{name} is not a text file")))?;
    let (weighing, faults) = weighed::read(text.trim_start_matches('\u{feff}'), &Library::shipped());
    show_faults(&name, &text, &faults);
    let Some(weighing) = weighing else {
        return Err(Trouble(format!("{name} does not read: {} to mend", faults.len())));
    };
    let fit = medium::fit(&weighing).map_err(|why| Trouble(format!("{name}: {why}")))?;
    if args.json {
        say_json(&fit)?;
    } else if args.part {
        say(&fit.as_part())?;
    } else {
        say(&tidewright_report::medium::answer(&weighing, &fit))?;
    }
    Ok(ExitCode::SUCCESS)
}
