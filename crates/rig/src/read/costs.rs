use super::section::Section;
use crate::bench::Costs;
use crate::finding::{Finding, Severity};

/// `[money]`; without it prices of the parts data stand, as they are.
pub(crate) fn read(s: &Section<'_>) -> Costs {
    let currency = s.text("currency", "currency of all prices").unwrap_or_else(|| "EUR".into());
    if currency.len() != 3 || !currency.chars().all(|c| c.is_ascii_uppercase()) {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "unknown-choice",
                "No currency",
                format!("\"{currency}\" is no currency: three capital letters as in EUR, USD or GBP."),
            )
            .at(s.place("currency", s.find("currency").and_then(|f| f.span)))
            .mend("Write its code of ISO 4217."),
        );
    }
    let date = s.text("date", "day of the prices").unwrap_or_default();
    if !date.is_empty() && !is_day(&date) {
        s.context.report(
            Finding::new(Severity::Stop, "wrong-type", "No day", format!("\"{date}\" is no day."))
                .at(s.place("date", s.find("date").and_then(|f| f.span)))
                .mend("Write year, month and day, as in \"2026-03-01\"."),
        );
    }
    let costs = Costs {
        stated: s.present(),
        electricity: s
            .number("electricity", "price of a kilowatt hour")
            .range(0.0, 1e4)
            .or(0.30, "from memory, a household"),
        water: s
            .number("water", "price of a cubic metre of water")
            .range(0.0, 1e5)
            .or(4.0, "from memory, a household, waste water included"),
        plug: s
            .number("plug", "price of a seedling or its seed")
            .range(0.0, 1e4)
            .or(0.1, "from memory: seed and a plug"),
        owned: s.texts("owned", "items that are there already"),
        prices: s.context.library.prices().to_vec(),
        currency,
        date,
    };
    s.finish();
    costs
}

fn is_day(text: &str) -> bool {
    let parts: Vec<Option<u32>> = text.split('-').map(|p| p.parse().ok()).collect();
    matches!(parts[..], [Some(1970..=2200), Some(1..=12), Some(1..=31)])
}
