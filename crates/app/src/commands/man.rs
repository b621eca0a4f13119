use crate::terminal::Outcome;
use clap::CommandFactory;
use std::process::ExitCode;

/// Print the manual page
#[derive(clap::Args)]
pub(crate) struct Args {}

pub(crate) fn run(_: &Args) -> Outcome {
    clap_mangen::Man::new(crate::Cli::command()).render(&mut std::io::stdout())?;
    Ok(ExitCode::SUCCESS)
}
