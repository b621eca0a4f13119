//! Shop card, parts list and running cost as text.

use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_plan::buy::{Card, Item, Running, total};
use tidewright_rig::Rig;
use tidewright_rig::units::System;

/// The shop card.
pub fn card(c: &Card) -> String {
    let mut out = String::from("What would serve (windows, not parts)\n\n");
    for w in &c.windows {
        let _ = writeln!(out, "  {}: {}", w.what, w.words);
        out.push_str(&wrap(&w.note, 6, COLUMNS));
    }
    out.push_str("\nBeware\n");
    for t in &c.traps {
        out.push_str(&wrap(&format!("- {t}"), 2, COLUMNS));
    }
    out
}

/// Quantity and unit, and the price of one, in a person's own units: hose by the foot beside US units.
pub fn shown(u: System, i: &Item) -> (String, Option<f64>) {
    const FOOT_M: f64 = 0.3048;
    let (per, unit) = match (u, i.unit.as_str()) {
        (System::UsCustomary, "m") => (FOOT_M, "ft"),
        (System::UsCustomary, "m2") => (FOOT_M * FOOT_M, "ft²"),
        (_, "m2") => (1.0, "m²"),
        (_, other) => (1.0, other),
    };
    (format!("{} {unit}", (i.quantity / per * 100.0).round() / 100.0), i.price.map(|p| p * per))
}

fn clipped(text: &str, most: usize) -> String {
    if text.chars().count() <= most { text.to_owned() } else { text.chars().take(most - 1).chain(['…']).collect() }
}

/// Days of the prices in a list, in words; empty without prices.
pub fn dated(items: &[Item]) -> String {
    let days = || items.iter().filter(|i| i.price.is_some() && !i.date.is_empty()).map(|i| i.date.as_str());
    match (days().min(), days().max()) {
        (Some(a), Some(b)) if a == b => format!(", prices of {a}"),
        (Some(a), Some(b)) => format!(", prices of {a} to {b}"),
        _ => String::new(),
    }
}

/// The parts list as a table.
pub fn list(u: System, items: &[Item]) -> String {
    let mut out = format!("{:<34}{:>16}{:>10}{:>11}  size\n", "part", "", "each", "cost");
    for i in items {
        let name = clipped(&i.name, 33);
        let (quantity, price) = shown(u, i);
        let each = price.map_or_else(|| "?".into(), |p| format!("{p:.2}"));
        let cost = match (i.owned, i.cost()) {
            (true, _) => "there".into(),
            (_, Some(c)) => format!("{c:.2}"),
            (_, None) => "?".into(),
        };
        let spec = clipped(&i.spec, 52);

        let _ = writeln!(out, "{name:<34}{quantity:>16}{each:>10}{cost:>11}  {spec}");
    }
    let (sum, none) = total(items);
    let currency = items.first().map_or("", |i| i.currency.as_str());
    let _ = writeln!(
        out,
        "\nTogether {sum:.2} {currency}{}{}.",
        dated(items),
        if none > 0 { format!("; {none} lines have no price in {currency}") } else { String::new() }
    );
    out.push_str(&wrap(
        "Prices that ship with the program are from memory and of no shop. --csv writes the list for a spreadsheet, --prices reads it back.",
        0,
        COLUMNS,
    ));
    out
}

/// Running cost.
pub fn running(rig: &Rig, r: &Running) -> String {
    let c = &r.currency;
    let mut out = format!("Running, {}, at {} {c} for a kWh\n", rig.growing.crop.name, rig.costs.electricity.get());
    for (what, how, cost) in &r.day {
        let _ = writeln!(out, "  {what:<34}{how:>14}{cost:>10.3} {c} a day");
    }
    let _ = writeln!(out, "  {:<48}{:>10.2} {c} a day", "together", r.a_day);
    for (what, cost) in &r.start {
        let _ = writeln!(out, "  {what:<48}{cost:>10.2} {c} a crop");
    }
    let _ = writeln!(
        out,
        "A crop of {:.0} days: {:.2} {c}; a plant {:.2} {c}, {:.2} with the bench spread over {:.0} crops.",
        r.days, r.a_crop, r.a_plant, r.a_plant_with_bench, r.crops
    );
    if let Some(l) = r.a_litre {
        let _ = writeln!(out, "A litre of solution: {l:.4} {c}.");
    }
    out.push_str("Nobody's work is counted.\n");
    out
}
