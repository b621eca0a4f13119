//! Everything that the findings on a solution look at: the sheet, and the weeks after it.

use super::mix::{Sheet, sheet};
use super::recipe::Wanted;
use super::system;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Mixing, TopUp};
use tidewright_rig::solution::totals;
use tidewright_sim::drift::{Acidity, Drift, Drifted, Reason, change_out, drift, takes};
use tidewright_sim::stack::Demand;

/// How far is looked ahead \[d\].
pub const AHEAD_DAYS: u32 = 90;

/// A solution and what becomes of it.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// The sheet, or why there is none.
    pub sheet: Result<Sheet, String>,
    /// The reservoir through ninety days, where it could be followed.
    pub drifted: Option<Drifted>,
    /// Reasons to change it, by day.
    pub change: Vec<(Reason, f64)>,
    /// What the crop drinks now \[L/d\].
    pub litres_a_day: f64,
}

/// Litres that all trays' crops drink in a day as they stand now.
pub fn litres_a_day(rig: &Rig) -> f64 {
    let of_tray = |i: usize| match &rig.trays[i].blocks {
        Some(b) => 1e3 * Demand::of(rig, i, b, 1.0).water_a_day_m3(),
        None => {
            let area = rig.trays[i].shape.si().area(rig.trays[i].rim().value);
            1e3 * area * tidewright_sim::stack::transpiration_a_day_m(&rig.growing)
        }
    };
    (0..rig.trays.len()).map(of_tray).sum()
}

/// The sheet alone, for who waits for it: the weeks after it are left open.
pub fn glance(rig: &Rig) -> Outlook {
    let made = sheet(&rig.mixing, rig.reservoir.fill.get(), rig.site.water_temperature.get());
    Outlook { sheet: made, drifted: None, change: Vec::new(), litres_a_day: litres_a_day(rig) }
}

/// Looks at a bench's solution.
pub fn outlook(rig: &Rig) -> Outlook {
    let mixing = &rig.mixing;
    let temperature = rig.site.water_temperature.get();
    let litres = litres_a_day(rig);
    let made = sheet(mixing, rig.reservoir.fill.get(), temperature);
    let drifted = made.as_ref().ok().and_then(|s| {
        let ask = weeks(rig, s, litres, AHEAD_DAYS, 1)?;
        drift(&ask).ok()
    });
    let change = drifted.as_ref().map_or_else(Vec::new, |d| change_out(system(), d, &mixing.feeding));
    Outlook { sheet: made, drifted, change, litres_a_day: litres }
}

/// The question to `sim::drift` for a sheet: pH held at the target, topped up as the bench file says.
pub fn weeks(rig: &Rig, sheet: &Sheet, litres_a_day: f64, days: u32, looks_a_day: u32) -> Option<Drift<'static>> {
    let mixing = &rig.mixing;
    let start = sheet.solved.totals.clone();
    Some(Drift {
        system: system(),
        litres: sheet.reservoir_litres,
        drinks_l: vec![litres_a_day],
        takes: takes(system(), &mixing.feeding),
        top_up: top_up(mixing, sheet, rig.site.water_temperature.get())?,
        always: matches!(rig.reservoir.top_up, TopUp::FloatValve { .. }),
        acidity: Acidity::Held { ph: held_ph(mixing, sheet), acid: brings(mixing, true), base: brings(mixing, false) },
        start,
        days,
        temperature: rig.site.water_temperature.get(),
        looks_a_day,
    })
}

/// pH at which the reservoir is held: the wanted one, or where the sheet leaves it when its acid does not reach that far.
pub fn held_ph(mixing: &Mixing, sheet: &Sheet) -> f64 {
    const REACHED: f64 = 0.3;
    let (wanted, open) = (mixing.ph.get(), sheet.solved.open.ph);
    if open - wanted > REACHED { open } else { wanted }
}

/// What is poured in: water with its part of the recipe.
fn top_up(
    mixing: &Mixing,
    sheet: &Sheet,
    temperature: tidewright_physics::quantity::ThermodynamicTemperature,
) -> Option<Vec<f64>> {
    let part = mixing.top_up.get().part();
    if part >= 1.0 {
        return Some(sheet.solved.totals.clone());
    }
    if part <= 0.0 {
        return Some(sheet.source.totals.clone());
    }
    let wanted = Wanted {
        recipe: mixing.recipe.borrowed(),
        strength: part * mixing.strength.get(),
        water: &sheet.source.totals,
        shelf: &mixing.shelf,
        ph: Some(mixing.ph.get()),
        ammonium: mixing.feeding.ammonium,
        cheaper: 0.0,
        temperature,
    };
    super::recipe::solve(&wanted).ok().map(|s| s.totals)
}

/// What an acid (or base) of the shelf brings beside a mole of protons given (or taken); nitrate and potassium where the shelf
/// has none.
fn brings(mixing: &Mixing, acid: bool) -> Vec<f64> {
    let found = mixing.shelf.iter().find(|s| if acid { s.is_acid() } else { s.is_base() });
    match found {
        Some(salt) => {
            let per = salt.spare_protons().abs();
            let parts = salt.gives.iter().map(|(c, n)| {
                let n = if c == "H" { 2.0 * salt.gives("PO4") } else { *n };
                (c.as_str(), n / per)
            });
            totals(system(), parts)
        }
        None => totals(system(), [(if acid { "NO3" } else { "K" }, 1.0)]),
    }
}
