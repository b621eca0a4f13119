use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_report::{answers, text};
use tidewright_rig::Rig;
use tidewright_sim::scenario::{Faults, Start};
use tidewright_sim::{Knobs, Scenario, run as simulate};

/// Simulate one flood or a whole day: events and levels as a table, CSV or JSON
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// A whole day of the timer, repeated until it no longer changes
    #[arg(long)]
    day: bool,
    /// Only this tray, by its name
    #[arg(long, value_name = "NAME", conflicts_with = "day")]
    tray: Option<String>,
    /// Media as bought, dry
    #[arg(long)]
    dry: bool,
    /// A worn pump
    #[arg(long)]
    worn: bool,
    /// A fouled strainer
    #[arg(long)]
    fouled: bool,
    /// The riser blocked
    #[arg(long)]
    blocked: bool,
    /// The timer stuck on
    #[arg(long, conflicts_with = "day")]
    stuck: bool,
    /// Print the course as comma-separated values
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print the whole run as JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let scenario = scenario(args, &bench.rig)?;
        let run = simulate(&bench.rig, &scenario);
        if args.json {
            say_json(&run)?;
        } else if args.csv {
            say(&text::run_csv(&run))?;
        } else {
            say(&answers::run(&bench.rig, &run))?;
        }
        Ok(if run.broke_off || !run.ledger.closes() { ExitCode::from(1) } else { ExitCode::SUCCESS })
    })
}

fn scenario(args: &Args, rig: &Rig) -> Result<Scenario, Trouble> {
    let mut s = match (&args.tray, args.day) {
        (_, true) => Scenario::day(rig),
        (None, false) => Scenario::one_flood(rig),
        (Some(name), false) => {
            let tray = rig.trays.iter().position(|t| t.name == *name).ok_or_else(|| {
                let names: Vec<&str> = rig.trays.iter().map(|t| t.name.as_str()).collect();
                Trouble(format!("there is no tray \"{name}\"; there are: {}", names.join(", ")))
            })?;
            Scenario::flood_of(rig, tray)
        }
    };
    if args.stuck
        && let tidewright_sim::Program::Once { trays } = &s.program
    {
        s.program = tidewright_sim::Program::StuckOn { trays: trays.clone(), until_s: 86_400.0 };
    }
    if args.dry {
        s.start = Start::Dry;
    }
    if args.worn {
        s.knobs = Knobs::nominal(rig).worn(rig);
    }
    s.faults = Faults { fouled: args.fouled, risers_blocked: args.blocked, ..Faults::default() };
    Ok(s)
}
