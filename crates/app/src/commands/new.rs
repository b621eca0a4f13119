use crate::store;
use crate::terminal::{Outcome, Trouble, say};
use std::io::{BufRead, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use tidewright_rig::outline::{Tape, bench_file};
use tidewright_rig::units::{Dimension, parse};
use tidewright_rig::{parts::Library, read};

/// Write a new bench file from five tape-measure numbers
#[derive(clap::Args)]
pub(crate) struct Args {
    /// Where to write it
    #[arg(default_value = "bench.toml")]
    file: PathBuf,
    /// What the bench is called
    #[arg(long)]
    name: Option<String>,
    /// Tray length inside, at the rim
    #[arg(long, value_name = "LENGTH")]
    tray_length: Option<String>,
    /// Tray width inside, at the rim
    #[arg(long, value_name = "LENGTH")]
    tray_width: Option<String>,
    /// Tray depth inside
    #[arg(long, value_name = "LENGTH")]
    tray_depth: Option<String>,
    /// Tray floor above the floor of the room
    #[arg(long, value_name = "LENGTH")]
    tray_height: Option<String>,
    /// Reservoir volume to its rim
    #[arg(long, value_name = "VOLUME")]
    reservoir: Option<String>,
}

pub(crate) fn run(args: &Args) -> Outcome {
    if args.file.exists() {
        return Err(Trouble(format!("{} is there already; name another file", args.file.display())));
    }
    say("Five sizes, each with its unit (\"86 cm\", \"34 in\", \"28 US gal\"). Measure inside.\n")?;
    let length = |given: &Option<String>, ask: &str| answer(given.as_deref(), ask, Some(Dimension::Length));
    let tape = Tape {
        name: answer(args.name.as_deref().or(Some("My bench")), "Name of the bench", None)?,
        tray_length: length(&args.tray_length, "Tray length at the rim")?,
        tray_width: length(&args.tray_width, "Tray width at the rim")?,
        tray_depth: length(&args.tray_depth, "Tray depth")?,
        tray_height: length(&args.tray_height, "Tray floor above the room's floor")?,
        reservoir_volume: answer(args.reservoir.as_deref(), "Reservoir volume to its rim", Some(Dimension::Volume))?,
    };
    let text = bench_file(&tape);
    let reading = read(&text, &Library::shipped());
    crate::terminal::show_faults(&args.file.display().to_string(), &text, &reading.findings);
    store::save(&args.file, &text)?;
    say(&format!("Wrote {0}. Next: tidewright check {0}, or tidewright open {0}\n", args.file.display()))?;
    Ok(ExitCode::SUCCESS)
}

/// A given answer, or one asked for until it can be read.
fn answer(given: Option<&str>, ask: &str, wanted: Option<Dimension>) -> Result<String, Trouble> {
    let sound = |text: &str| wanted.is_none_or(|d| parse(text, d).is_ok_and(|r| r.si > 0.0));
    if let Some(text) = given {
        return if sound(text) {
            Ok(text.to_owned())
        } else {
            Err(Trouble(format!("{ask}: \"{text}\" is no size with a unit")))
        };
    }
    let mut lines = std::io::stdin().lock().lines();
    loop {
        let mut out = anstream::stdout();
        write!(out, "{ask}: ")?;
        out.flush()?;
        match lines.next() {
            None => {
                return Err(Trouble(format!("{ask}: no answer; give it as an option, see \"tidewright new --help\"")));
            }
            Some(line) => {
                let line = line?;
                if sound(line.trim()) && !line.trim().is_empty() {
                    return Ok(line.trim().to_owned());
                }
                let example = wanted.map_or("a name", |d| d.describe().1);
                writeln!(out, "  A number and its unit, please, as in {example}.")?;
            }
        }
    }
}
