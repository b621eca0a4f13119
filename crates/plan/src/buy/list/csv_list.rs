//! The parts list as comma-separated values, out to a spreadsheet and back.

use super::Item;
use tidewright_rig::bench::Price;

const HEAD: [&str; 9] = ["item", "name", "size", "quantity", "unit", "price_each", "currency", "date", "owned"];
/// A price above this is a slip.
const MOST: f64 = 1e7;
/// More lines than this no bench has.
const MOST_LINES: usize = 5000;

/// The list as comma-separated values; a spreadsheet may fill prices in.
pub fn write_csv(items: &[Item]) -> String {
    // A spreadsheet takes what begins with these for a formula.
    let safe = |t: &str| if t.starts_with(['=', '+', '-', '@']) { format!("'{t}") } else { t.to_owned() };
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut rows = vec![HEAD.map(str::to_owned)];
    rows.extend(items.iter().map(|i| {
        [
            safe(&i.id),
            safe(&i.name),
            safe(&i.spec),
            format!("{}", (i.quantity * 1000.0).round() / 1000.0),
            i.unit.clone(),
            i.price.map_or_else(String::new, |p| format!("{p}")),
            safe(&i.currency),
            safe(&i.date),
            if i.owned { "yes".into() } else { "no".into() },
        ]
    }));
    // Into memory nothing can fail.
    for row in &rows {
        let _ = out.write_record(row);
    }
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// Whether a text is a day of a calendar as it is written, or nothing.
fn is_date(text: &str) -> bool {
    let digits = |t: &str, n: usize| (t.len() == n && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse::<u32>());
    let parts: Vec<&str> = text.split('-').collect();
    text.is_empty()
        || matches!(parts[..], [y, m, d] if digits(y, 4).is_some()
            && matches!(digits(m, 2), Some(Ok(1..=12))) && matches!(digits(d, 2), Some(Ok(1..=31))))
}

/// Prices and what is owned, out of a list that was filled in; every fault with its line.
pub fn read_csv(text: &str) -> (Vec<Price>, Vec<String>, Vec<String>) {
    let (mut prices, mut owned, mut faults) = (Vec::new(), Vec::new(), Vec::new());
    let text = text.trim_start_matches('\u{feff}');
    // Spreadsheets of half of Europe write semicolons.
    let first = text.lines().next().unwrap_or("");
    let between = if first.matches(';').count() > first.matches(',').count() { b';' } else { b',' };
    let mut reader =
        csv::ReaderBuilder::new().delimiter(between).flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
    let head: Vec<String> = reader.headers().map(|h| h.iter().map(str::to_lowercase).collect()).unwrap_or_default();
    let at = |name: &str| head.iter().position(|h| h == name);
    let (Some(item), Some(price)) = (at("item"), at("price_each")) else {
        faults.push(format!("line 1: the columns are {}; item and price_each must be there", HEAD.join(", ")));
        return (prices, owned, faults);
    };
    let (unit, currency, date, has, name) = (at("unit"), at("currency"), at("date"), at("owned"), at("name"));
    for (i, row) in reader.records().enumerate().take(MOST_LINES) {
        let row = match row {
            Ok(r) => r,
            Err(e) => {
                faults.push(format!("line {}: {e}", i + 2));
                continue;
            }
        };
        let line = i + 2;
        let cell = |k: Option<usize>| k.and_then(|k| row.get(k)).map_or("", |c| c.trim_start_matches('\''));
        let id = cell(Some(item));
        if id.is_empty() {
            continue;
        }
        if row.len() != head.len() {
            faults.push(format!("line {line}: {} columns, where the first line has {}", row.len(), head.len()));
            continue;
        }
        match cell(has).to_ascii_lowercase().as_str() {
            "yes" | "y" | "true" | "1" => owned.push(id.to_owned()),
            "" | "no" | "n" | "false" | "0" => {}
            other => faults.push(format!("line {line}: owned is \"{other}\"; yes or no is due")),
        }
        let typed = cell(Some(price));
        if typed.is_empty() {
            continue;
        }
        if !is_date(cell(date)) {
            faults.push(format!("line {line}: \"{}\" is no day: year-month-day, as in 2026-03-01", cell(date)));
        }
        let money = cell(currency).to_ascii_uppercase();
        if currency.is_some() && !(money.len() == 3 && money.bytes().all(|b| b.is_ascii_uppercase())) {
            faults.push(format!("line {line}: \"{}\" is no currency: three letters, as in EUR", cell(currency)));
        }
        match typed.parse::<f64>() {
            // Lines of one item, as lengths of one timber, have one price.
            Ok(x) if prices.iter().any(|p: &Price| p.id == id && p.price != x) => {
                faults.push(format!("line {line}: \"{id}\" has another price than in a line above"));
            }
            Ok(x) if x.is_finite() && (0.0..=MOST).contains(&x) => prices.push(Price {
                id: id.to_owned(),
                name: cell(name).to_owned(),
                price: x,
                unit: cell(unit).to_owned(),
                stock_m: 0.0,
                currency: money,
                date: cell(date).to_owned(),
                source: "your list".into(),
            }),
            _ => faults
                .push(format!("line {line}: \"{typed}\" is no price: a number from 0 to ten million, with a point")),
        }
    }
    (prices, owned, faults)
}
