//! Shop card, parts list and running cost as text.

use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_plan::buy::{Card, Item, Running, total};
use tidewright_rig::Rig;

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

/// The parts list as a table.
pub fn list(items: &[Item]) -> String {
    let mut out = format!("{:<34}{:>9} {:<6}{:>10}{:>11}  {}\n", "part", "", "", "each", "cost", "size");
    for i in items {
        let name: String = i.name.chars().take(33).collect();
        let each = i.price.map_or_else(|| "?".into(), |p| format!("{p:.2}"));
        let cost = match (i.owned, i.cost()) {
            (true, _) => "there".into(),
            (_, Some(c)) => format!("{c:.2}"),
            (_, None) => "?".into(),
        };
        let spec: String = i.spec.chars().take(52).collect();
        let quantity = (i.quantity * 100.0).round() / 100.0;
        let _ = writeln!(out, "{name:<34}{quantity:>9} {:<6}{each:>10}{cost:>11}  {spec}", i.unit);
    }
    let (sum, none) = total(items);
    let currency = items.first().map_or("", |i| i.currency.as_str());
    let _ = writeln!(
        out,
        "\nTogether {sum:.2} {currency}{}.",
        if none > 0 { format!("; {none} lines have no price in {currency}") } else { String::new() }
    );
    let dates: Vec<&str> = items.iter().map(|i| i.date.as_str()).filter(|d| !d.is_empty()).collect();
    if let (Some(first), Some(last)) = (dates.iter().min(), dates.iter().max()) {
        let when = if first == last { (*first).to_owned() } else { format!("{first} to {last}") };
        out.push_str(&wrap(
            &format!("Prices of {when}; those that ship with the program are from memory and of no shop. --csv writes the list for a spreadsheet, --prices reads it back."),
            0,
            COLUMNS,
        ));
    }
    out
}

/// Running cost.
pub fn running(rig: &Rig, r: &Running) -> String {
    let c = &r.currency;
    let mut out = format!("Running, {} and {} for a kWh\n", rig.growing.crop.name, rig.costs.electricity.get());
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
