use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_physics::quantity::litres;
use tidewright_plan::solution::mix;
use tidewright_plan::solution::outlook::{litres_a_day, outlook};
use tidewright_report::solution::{json, sheet};
use tidewright_rig::value::{Birth, Value};
use tidewright_rig::{Finding, Severity};

/// The weigh-out sheet of the bench's solution: grams, order, acid in portions, what the meters should read, hazards
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Litres to mix, in place of the reservoir's fill
    #[arg(long)]
    litres: Option<f64>,
    /// The top-up that holds the ratios, in place of the recipe: what the crop takes up; a week of it unless --litres says
    #[arg(long)]
    top_up: bool,
    /// Also what one more gram of each salt would cost and improve
    #[arg(long)]
    margins: bool,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let mut rig = bench.rig;
        if args.top_up {
            let recipe = rig.mixing.feeding.as_recipe();
            let from = Birth::Derived { from: "what the crop takes up".into() };
            rig.mixing.recipe = Value::new(recipe, from);
        }
        let rig = &rig;
        let volume = match args.litres {
            Some(l) if l.is_finite() && (0.1..=100_000.0).contains(&l) => litres(l),
            Some(l) => return Err(Trouble(format!("{l} L: between 0.1 and 100 000 L can be mixed"))),
            None if args.top_up => litres((7.0 * litres_a_day(rig)).max(0.1)),
            None => rig.reservoir.fill.get(),
        };
        let made = mix::sheet(&rig.mixing, volume, rig.site.water_temperature.get()).map_err(Trouble)?;
        let (findings, _) = tidewright_plan::judge_solution(rig, outlook(rig));
        let grave: Vec<Finding> = findings.into_iter().filter(|f| f.severity <= Severity::Care).collect();
        let stops = grave.iter().any(|f| f.severity == Severity::Stop);
        if args.json {
            let mut told = json::sheet(&made);
            told["findings"] = serde_json::json!(grave);
            say_json(&told)?;
        } else {
            // What must not be mixed like this, or wants care, is said before it is.
            say(&format!("{}{}", tidewright_report::text::findings(&grave, false), sheet::answer(rig, &made)))?;
            if args.margins {
                say(&sheet::margins(&made))?;
            }
        }
        Ok(if stops { ExitCode::from(1) } else { ExitCode::SUCCESS })
    })
}
