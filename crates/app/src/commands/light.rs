use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_plan::light::{self, Light};
use tidewright_report::light as told;

/// Light on the leaves: PPFD from the lamps, evenness, the day's sum by stage, the height that gives what the crop likes
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Print the map of each tray as CSV: along and across in metres, PPFD
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let all: Vec<Light> = (0..rig.trays.len()).filter_map(|i| light::of(rig, i)).collect();
        if args.csv {
            if all.is_empty() {
                return Err(Trouble("no lamp hangs over any tray: write [[lamp]] in the bench file".into()));
            }
            let mut out = String::from("tray,along_m,across_m,ppfd_umol_m2_s\n");
            for l in &all {
                let Some(m) = light::map_now(rig, l.tray, light::FINE) else { continue };
                for j in 0..m.points.1 {
                    for i in 0..m.points.0 {
                        let (x, y) = m.place(i, j);
                        out.push_str(&format!("{},{x:.4},{y:.4},{:.1}\n", l.tray + 1, m.ppfd[j * m.points.0 + i]));
                    }
                }
            }
            say(&out)?;
        } else if args.json {
            say_json(&all)?;
        } else {
            say(&told::answer(rig, &all))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
