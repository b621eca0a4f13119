use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_evidence as evidence;

/// Run the published cases and show how the equations answer them
#[derive(clap::Args)]
pub(crate) struct Args {
    /// Only files whose name contains this
    filter: Option<String>,
    /// Print every case, not only what fails
    #[arg(long)]
    all: bool,
    /// Print JSON
    #[arg(long)]
    json: bool,
    /// Print this many random benches with our answers, for the independent twin
    #[arg(long, value_name = "COUNT")]
    twin_cases: Option<usize>,
}

pub(crate) fn run(args: &Args) -> Outcome {
    if let Some(count) = args.twin_cases {
        say_json(&evidence::twin::cases(count))?;
        return Ok(ExitCode::SUCCESS);
    }
    let sheets = evidence::all()
        .map_err(|errors| Trouble(errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")))?;
    let outcomes: Vec<evidence::Outcome> = sheets
        .iter()
        .filter(|s| args.filter.as_ref().is_none_or(|f| s.name.contains(f.as_str())))
        .flat_map(evidence::run)
        .collect();
    if args.json {
        say_json(&outcomes)?;
    } else {
        let mut text = String::new();
        for o in outcomes.iter().filter(|o| args.all || !o.passed) {
            text.push_str(&format!("{o}\n"));
        }
        let held = outcomes.iter().filter(|o| o.passed).count();
        let known = outcomes.iter().filter(|o| !o.passed && !o.surprising()).count();
        text.push_str(&format!(
            "{held} of {} values hold; {known} fail for a reason that stands beside them.\n",
            outcomes.len()
        ));
        say(&text)?;
    }
    Ok(if outcomes.iter().any(evidence::Outcome::surprising) { ExitCode::from(1) } else { ExitCode::SUCCESS })
}
