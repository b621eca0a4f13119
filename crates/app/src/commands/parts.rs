use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say, say_json};
use serde_json::json;
use std::process::ExitCode;

/// List parts, fittings, media, crops, salts, recipes, waters and prices, each with its source
#[derive(clap::Args)]
pub(crate) struct Args {
    /// Only this kind: tray, reservoir, pump, feed, drain, air pump, stone, lamp, member, fitting, medium, crop, salt, recipe, water, feeding or price
    kind: Option<String>,
    /// A file with parts of your own
    #[arg(long, value_name = "FILE")]
    parts: Vec<std::path::PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    let library = Source { file: None, parts: args.parts.clone() }.library()?;
    let wanted = |kind: &str| args.kind.as_deref().is_none_or(|k| k == kind);
    let mut rows: Vec<(String, String, String, String)> = Vec::new();
    for p in library.parts().filter(|p| wanted(&p.kind)) {
        rows.push((p.kind.clone(), p.id.clone(), p.name.clone(), p.source.clone()));
    }
    for f in library.fittings().filter(|_| wanted("fitting")) {
        let loss =
            f.insert_ratio.map_or_else(|| format!("K {}", f.loss), |r| format!("K from its bore, {r} of the hose's"));
        rows.push(("fitting".into(), f.kind.clone(), loss, f.source.clone()));
    }
    for m in library.media().filter(|_| wanted("medium")) {
        rows.push(("medium".into(), m.id.clone(), m.name.clone(), m.source.clone()));
    }
    for c in library.crops().filter(|_| wanted("crop")) {
        let days: f64 = c.days.iter().sum();
        rows.push(("crop".into(), c.id.clone(), format!("{}, {days:.0} days", c.name), c.source.clone()));
    }
    for x in library.salts().iter().filter(|_| wanted("salt")) {
        rows.push(("salt".into(), x.id.clone(), format!("{}, {}", x.name, x.formula), x.source.clone()));
    }
    for x in library.recipes().iter().filter(|_| wanted("recipe")) {
        rows.push(("recipe".into(), x.id.clone(), x.name.clone(), x.source.clone()));
    }
    for x in library.waters().iter().filter(|_| wanted("water")) {
        rows.push(("water".into(), x.id.clone(), x.name.clone(), x.source.clone()));
    }
    for x in library.feedings().iter().filter(|_| wanted("feeding")) {
        let name = format!("EC {} to {} mS/cm, pH {} to {}", x.ec.0, x.ec.1, x.ph.0, x.ph.1);
        rows.push(("feeding".into(), x.crop.clone(), name, x.source.clone()));
    }
    for x in library.prices().iter().filter(|_| wanted("price")) {
        let name = format!("{}: {:.2} {} a {}, {}", x.name, x.price, x.currency, x.unit, x.date);
        rows.push(("price".into(), x.id.clone(), name, x.source.clone()));
    }
    if args.json {
        say_json(
            &rows.iter().map(|r| json!({"kind": r.0, "id": r.1, "name": r.2, "source": r.3})).collect::<Vec<_>>(),
        )?;
    } else {
        let text: String =
            rows.iter().map(|r| format!("{:<10} {:<18} {}\n{:30}{}\n", r.0, r.1, r.2, "", r.3)).collect();
        if text.is_empty() {
            return Err(Trouble(
                "there is nothing of that kind; there are tray, reservoir, pump, feed, drain, air pump, stone, lamp, member, fitting, medium, crop, salt, recipe, water, feeding and price"
                    .into(),
            ));
        }
        say(&text)?;
    }
    Ok(ExitCode::SUCCESS)
}
