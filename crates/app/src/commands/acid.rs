use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use std::process::ExitCode;
use tidewright_plan::solution::acid;
use tidewright_report::solution::{acid as told, json};
use tidewright_rig::solution::amount::Counts;

/// Acid or base that brings the bench's source water to a pH: at once, to stay, and in portions
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// pH to reach, in place of the bench file's
    #[arg(long)]
    ph: Option<f64>,
    /// Litres of water, in place of the reservoir's fill
    #[arg(long)]
    litres: Option<f64>,
    /// Print JSON; names carry their units
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let rig = &bench.rig;
        let mixing = &rig.mixing;
        let ph = args.ph.unwrap_or_else(|| mixing.ph.get());
        if !(3.0..=10.0).contains(&ph) {
            return Err(Trouble(format!("pH {ph}: between 3 and 10 can be asked for")));
        }
        let litres = args.litres.unwrap_or(rig.reservoir.fill.get().value * 1e3);
        if !(0.1..=100_000.0).contains(&litres) {
            return Err(Trouble(format!("{litres} L: between 0.1 and 100 000 L can be treated")));
        }
        let t = rig.site.water_temperature.get();
        let source = acid::source(mixing.water.borrowed(), t).map_err(|e| Trouble(format!("the water report: {e}")))?;
        // The bench's own first, then whatever else the parts data know.
        let own = mixing.shelf.iter();
        let others = mixing.known.iter().filter(|k| mixing.shelf.iter().all(|s| s.id != k.id));
        let doses = own
            .chain(others)
            .filter(|s| s.is_acid() || s.is_base())
            .map(|s| {
                Ok((s.clone(), acid::dose(&source.totals, ph, s, t).map_err(|e| Trouble(format!("{}: {e}", s.id)))?))
            })
            .collect::<Result<Vec<_>, Trouble>>()?;
        if args.json {
            say_json(&json::doses(&source, ph, litres, &doses))?;
        } else {
            let recipe = mixing.recipe.borrowed();
            let target = |name: &'static str| {
                let hit = recipe.targets.iter().find(|t| t.counts == Counts::Component(name));
                (name, hit.map_or(0.0, |t| t.high * mixing.strength.get()))
            };
            say(&told::answer(rig.system, &source, ph, litres, &doses, &[target("PO4"), target("SO4")]))?;
        }
        Ok(ExitCode::SUCCESS)
    })
}
