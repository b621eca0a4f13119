use crate::terminal::Outcome;
use clap::CommandFactory;
use std::process::ExitCode;

/// Print completions for a shell
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The shell
    shell: clap_complete::Shell,
}

pub(crate) fn run(args: &Args) -> Outcome {
    clap_complete::generate(args.shell, &mut crate::Cli::command(), "tidewright", &mut std::io::stdout());
    Ok(ExitCode::SUCCESS)
}
