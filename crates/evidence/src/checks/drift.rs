//! Checks of `sim::drift` and of salt in `sim::block`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::quantity::celsius;
use tidewright_rig::chemistry::shipped;
use tidewright_rig::solution::totals;
use tidewright_sim::block::{Piece, Salt, Spread};
use tidewright_sim::drift::{Acidity, Drift, Takes, bleed_share, drift};

pub(crate) const CHECKS: Checks = &[("reservoir-drift", reservoir), ("salt-column", column), ("bleed", bleed)];

/// One ion in a reservoir: sodium, balanced by chloride that is not taken.
fn reservoir(given: &Given<'_>) -> Results {
    let system = shipped();
    let start = given.number("start_mmol_l")?;
    let top = given.number("top_up_mmol_l")?;
    let takes = match (given.number_if("uptake_mmol_l")?, given.number_if("uptake_share")?) {
        (Some(u), None) => Takes::Amount(1e-3 * u),
        (None, Some(k)) => Takes::Share(k),
        _ => return Err("either `uptake_mmol_l` or `uptake_share`".into()),
    };
    let salt = |mmol: f64| totals(system, [("Na", 1e-3 * mmol), ("Cl", 1e-3 * mmol)]);
    let na = system.component("Na").unwrap_or(0);
    let ask = Drift {
        system,
        start: salt(start),
        litres: given.number("volume_l")?,
        drinks_l: vec![given.number("drinks_l_day")?],
        takes: (0..system.components.len()).map(|c| if c == na { takes } else { Takes::Amount(0.0) }).collect(),
        top_up: salt(top),
        always: given.number_if("always")?.unwrap_or(1.0) > 0.0,
        acidity: Acidity::Free,
        days: given.number("days")? as u32,
        temperature: celsius(20.0),
        looks_a_day: 1,
    };
    let drifted = drift(&ask)?;
    let last = drifted.looks.last().ok_or("no look")?;
    let mut out =
        vec![("mmol_l", 1e3 * last.totals[na]), ("ledger", drifted.ledger_error), ("charge", drifted.charge.abs())];
    if let Some(limit) = given.number_if("limit_mmol_l")? {
        let at = drifted.looks.windows(2).find(|w| 1e3 * w[1].totals[na] >= limit);
        let day = at.map_or(f64::INFINITY, |w| {
            let (a, b) = (1e3 * w[0].totals[na], 1e3 * w[1].totals[na]);
            w[0].day + (limit - a) / (b - a) * (w[1].day - w[0].day)
        });
        out.push(("limit_day", day));
    }
    Ok(out)
}

fn bleed(given: &Given<'_>) -> Results {
    let (comes, taken, limit) =
        (given.number("comes_mmol_l")?, given.number("taken_mmol_l")?, given.number("limit_mmol_l")?);
    Ok(vec![("share", bleed_share(comes, taken, limit))])
}

/// Salt in an even column: carried up by water that evaporates at the top, or washed down by water from above.
fn column(given: &Given<'_>) -> Results {
    let height = given.length("height")?.value;
    let cells = given.number("cells")? as usize;
    let content = given.number("content")?;
    let spread = Spread { free_m2_s: given.number("free_m2_s")?, along_m: given.number("along_m")? };
    let up = given.number("up_mm_day")? * 1e-3 / 86_400.0;
    let days = given.number("days")?;
    let steps = given.number("steps")? as usize;
    let sizes = vec![height / cells as f64; cells];
    let pores = vec![content; cells];
    let dt = days * 86_400.0 / steps as f64;
    let piece = Piece {
        dt_s: dt,
        content: (vec![content; cells], vec![content; cells]),
        face_m: vec![up * dt; cells + 1],
        drunk_m: vec![0.0; cells],
        entered_m: vec![0.0; cells],
    };
    let mut salt = Salt::even(cells);
    let poured = given.number_if("poured")?.unwrap_or(1.0);
    let (before, mut moved) = (salt.total_m(&sizes, &pores), 0.0);
    for _ in 0..steps {
        let x = salt.advance(&piece, &sizes, &pores, spread, Takes::Amount(0.0), (1.0, poured));
        moved += x.with_water + x.from_above + x.taken;
    }
    let after = salt.total_m(&sizes, &pores);
    let at = |z: f64| salt.over[((z / sizes[0]) as usize).min(cells - 1)];
    let mut out = vec![
        ("top", salt.over[cells - 1]),
        ("gained_mm", 1e3 * (after - before)),
        ("account", (before + moved - after).abs() / after),
    ];
    if let Some(z) = given.length_if("at")? {
        out.push(("over", at(z.value)));
    }
    Ok(out)
}
