//! The command line. The only crate that touches disk, sockets and the terminal.

mod bench_file;
mod commands;
mod server;
mod store;
mod terminal;
#[cfg(feature = "typeset")]
mod typeset;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Design, check and run small flood-and-drain benches: how deep it floods, how fast, what can go
/// wrong, where to cut the riser, where to draw the fill lines, and why.
///
/// Without a command it opens the pages on the demo bench and prints its findings.
#[derive(Parser)]
#[command(name = "tidewright", version, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    Check(commands::check::Args),
    Flood(commands::flood::Args),
    Draw(commands::draw::Args),
    Roots(commands::roots::Args),
    Program(commands::program::Args),
    Season(commands::season::Args),
    Medium(commands::medium::Args),
    Water(commands::water::Args),
    Mix(commands::mix::Args),
    Acid(commands::acid::Args),
    Drift(commands::drift::Args),
    Salt(commands::salt::Args),
    Air(commands::air::Args),
    Light(commands::light::Args),
    Space(commands::space::Args),
    Stand(commands::stand::Args),
    Fit(commands::fit::Args),
    Power(commands::power::Args),
    Buy(commands::buy::Args),
    Book(commands::book::Args),
    Spills(commands::spills::Args),
    Working(commands::working::Args),
    Explain(commands::explain::Args),
    Bench(commands::bench::Args),
    Parts(commands::parts::Args),
    Evidence(commands::evidence::Args),
    New(commands::new::Args),
    Open(commands::open::Args),
    Completions(commands::completions::Args),
    Man(commands::man::Args),
}

fn main() -> ExitCode {
    let outcome = match Cli::parse().command {
        None => commands::open::demo(),
        Some(Command::Check(a)) => commands::check::run(&a),
        Some(Command::Flood(a)) => commands::flood::run(&a),
        Some(Command::Draw(a)) => commands::draw::run(&a),
        Some(Command::Roots(a)) => commands::roots::run(&a),
        Some(Command::Season(a)) => commands::season::run(&a),
        Some(Command::Medium(a)) => commands::medium::run(&a),
        Some(Command::Water(a)) => commands::water::run(&a),
        Some(Command::Mix(a)) => commands::mix::run(&a),
        Some(Command::Acid(a)) => commands::acid::run(&a),
        Some(Command::Drift(a)) => commands::drift::run(&a),
        Some(Command::Salt(a)) => commands::salt::run(&a),
        Some(Command::Air(a)) => commands::air::run(&a),
        Some(Command::Light(a)) => commands::light::run(&a),
        Some(Command::Space(a)) => commands::space::run(&a),
        Some(Command::Stand(a)) => commands::stand::run(&a),
        Some(Command::Fit(a)) => commands::fit::run(&a),
        Some(Command::Power(a)) => commands::power::run(&a),
        Some(Command::Buy(a)) => commands::buy::run(&a),
        Some(Command::Book(a)) => commands::book::run(&a),
        Some(Command::Program(a)) => commands::program::run(&a),
        Some(Command::Spills(a)) => commands::spills::run(&a),
        Some(Command::Working(a)) => commands::working::run(&a),
        Some(Command::Explain(a)) => commands::explain::run(&a),
        Some(Command::Bench(a)) => commands::bench::run(&a),
        Some(Command::Parts(a)) => commands::parts::run(&a),
        Some(Command::Evidence(a)) => commands::evidence::run(&a),
        Some(Command::New(a)) => commands::new::run(&a),
        Some(Command::Open(a)) => commands::open::run(&a),
        Some(Command::Completions(a)) => commands::completions::run(&a),
        Some(Command::Man(a)) => commands::man::run(&a),
    };
    match outcome {
        Ok(code) => code,
        Err(trouble) => {
            terminal::complain(&trouble);
            ExitCode::from(2)
        }
    }
}
