use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::io::Write as _;
use std::process::ExitCode;
use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, judge, program};

/// The timer program of each stage: fewest floods, shortest minutes, and what the others cost
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Which tray, counted from 1
    #[arg(long, default_value_t = 1)]
    tray: usize,
    /// Print JSON, all numbers in SI units
    #[arg(long, conflicts_with = "calendar")]
    json: bool,
    /// Print a calendar of the whole crop (iCalendar) that begins on this day, as in 2026-03-01
    #[arg(long, value_name = "DAY")]
    calendar: Option<String>,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let tray = args
            .tray
            .checked_sub(1)
            .filter(|t| *t < rig.trays.len())
            .ok_or_else(|| Trouble(format!("there is no tray {}; there are {}", args.tray, rig.trays.len())))?;
        let begins = match &args.calendar {
            None => None,
            Some(text) => Some(tidewright_report::calendar::day(text).ok_or_else(|| {
                Trouble(format!("\"{text}\" is no day; write year, month and day, as in 2026-03-01"))
            })?),
        };
        let findings = judge(&Survey::of(rig, QUICK_RUNS));
        let stops = tidewright_report::roots::stops(&findings);
        if begins.is_some() && !stops.is_empty() {
            return Err(Trouble(format!("no calendar for a bench that does not flood as it should. {}", stops.trim())));
        }
        let progress = Progress::new();
        let programs = program::programs(rig, tray, &|_| progress.one_more());
        progress.end();
        let Some(programs) = programs else {
            let why = if rig.trays[tray].blocks.is_none() {
                "no blocks stand in it"
            } else {
                "its blocks cannot be followed"
            };
            return Err(Trouble(format!("there is no program for {}: {why}", rig.trays[tray].name)));
        };
        match begins {
            Some(day) => say(&tidewright_report::calendar::calendar(rig, tray, &programs, day))?,
            None if args.json => say_json(&programs)?,
            None => {
                say(&tidewright_report::text::wrap(&stops, 0, 100))?;
                say(&tidewright_report::program::table(rig, tray, &programs))?;
            }
        }
        let holds = stops.is_empty() && programs.iter().all(|p| p.offer.is_some());
        Ok(if holds { ExitCode::SUCCESS } else { ExitCode::from(1) })
    })
}

/// Stages done, on a terminal's error stream.
struct Progress {
    done: std::sync::atomic::AtomicUsize,
    shown: bool,
}

impl Progress {
    fn new() -> Self {
        Self { done: 0.into(), shown: std::io::IsTerminal::is_terminal(&std::io::stderr()) }
    }

    fn one_more(&self) {
        let done = 1 + self.done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        if self.shown {
            let _ = write!(std::io::stderr(), "\rstage {done} of 5");
        }
    }

    fn end(&self) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r              \r");
        }
    }
}
