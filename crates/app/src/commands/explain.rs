use crate::terminal::{Outcome, Trouble, say};
use std::process::ExitCode;
use tidewright_plan::pages;

/// Explain a finding: what it means, why it matters, how it is judged, how to mend it
#[derive(clap::Args)]
pub(crate) struct Args {
    /// Name of the finding, as printed in brackets; without one, the list
    name: Option<String>,
}

pub(crate) fn run(args: &Args) -> Outcome {
    match &args.name {
        None => {
            let list: String = pages::all().iter().map(|p| format!("{:<26} {}\n", p.name, p.title)).collect();
            say(&list)?;
        }
        Some(name) => {
            let page = pages::page(name).ok_or_else(|| {
                Trouble(format!("there is no finding \"{name}\"; \"tidewright explain\" lists them all"))
            })?;
            say(page.text)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}
