use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use serde_json::json;
use std::process::ExitCode;
use tidewright_plan::fit::blocks_on_fittings;
use tidewright_plan::space::{closure, pack};
use tidewright_rig::units::{Dimension, parse};

/// Blocks on the real floor of each tray with its fittings kept free: square or staggered, and when leaves meet
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Middle to middle, with its unit; the block's own size without it
    #[arg(long, value_name = "LENGTH")]
    spacing: Option<String>,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let spacing = match &args.spacing {
            None => None,
            Some(text) => match parse(text, Dimension::Length) {
                Ok(r) if r.si > 0.0 && r.si < 10.0 => Some(r.si),
                _ => {
                    return Err(Trouble(format!("\"{text}\" is no spacing: write it with its unit, as in \"150 mm\"")));
                }
            },
        };
        if args.json {
            let of = |i: usize| {
                let t = &rig.trays[i];
                let own = t.blocks.as_ref().map_or(0.1, |b| b.length.get().value.max(b.width.get().value));
                json!({ "tray": t.name, "patterns": pack(t, spacing.unwrap_or(own)), "closure": closure(rig, i),
                    "blocks_on_fittings": blocks_on_fittings(t) })
            };
            say_json(&(0..rig.trays.len()).map(of).collect::<Vec<_>>())?;
        } else {
            say(&tidewright_report::light::space(rig, spacing))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
