//! A whole crop as text: week by week, and in all.

use crate::program::medium_words;
use crate::text::{COLUMNS, plain, wrap};
use std::fmt::Write as _;
use tidewright_rig::Rig;
use tidewright_sim::season::SeasonDay;

/// Answer of `season`: for each tray its days, none where no blocks stand.
pub fn table(rig: &Rig, all: &[Option<Vec<SeasonDay>>]) -> String {
    let mut out = String::new();
    let u = rig.system;
    let crop = &rig.growing.crop;
    for (tray, days) in rig.trays.iter().zip(all) {
        let Some(days) = days else {
            let _ = writeln!(out, "{}: no blocks stand in it.\n", plain(&tray.name));
            continue;
        };
        let water: f64 = days.iter().map(|d| d.drunk_m3 + d.evaporated_m3).sum();
        let most = days.iter().map(|d| d.drunk_m3 + d.evaporated_m3).fold(0.0, f64::max);
        out.push_str(&wrap(
            &format!(
                "{}: {} in {} days take {} of water, {} on the thirstiest day, topped up each midnight.",
                plain(&tray.name),
                crop.name,
                days.len(),
                u.volume(water),
                u.sip(most)
            ),
            0,
            COLUMNS,
        ));
        let _ = writeln!(
            out,
            "\n{:>8}  {:<8} {:>10} {:>8} {:>10} {:>8}",
            "days", "stage", "a day", "driest", "at worst", "no air"
        );
        for week in days.chunks(7) {
            let (first, last) = (week[0], week[week.len() - 1]);
            let n = week.len() as f64;
            let mean = |f: &dyn Fn(&SeasonDay) -> f64| week.iter().map(f).sum::<f64>() / n;
            let least = |f: &dyn Fn(&SeasonDay) -> f64| week.iter().map(f).fold(1.0, f64::min);
            let (_, _, stage) = crop.on_day(f64::from(first.day));
            let _ = writeln!(
                out,
                "{:>8}  {:<8} {:>10} {:>8} {:>10} {:>8}",
                format!("{}–{}", first.day, last.day),
                stage.word(),
                u.sip(mean(&|d| d.drunk_m3 + d.evaporated_m3)),
                format!("{:.0} %", 100.0 * least(&|d| d.driest)),
                format!("{:.0} %", 100.0 * least(&|d| d.supplied).max(0.0) + 0.0),
                format!("{:.0} %", 100.0 * mean(&|d| d.starved)),
            );
        }
        out.push('\n');
    }
    let media: Vec<String> =
        rig.trays.iter().filter_map(|t| t.blocks.as_ref()).map(|b| medium_words(&b.medium)).collect();
    out.push_str(&wrap(
        &format!(
            "\"At worst\" is the share of its water that the crop gets in the worst quarter of an hour of the week. How sure: everything at its likely value and the program as the file has it; water is good to a third, and \"drinks\" in the file \
             is left out here, since it was weighed on one day. Stages and leaf: {}. Medium: {}.",
            crop.source,
            media.first().cloned().unwrap_or_default()
        ),
        0,
        COLUMNS,
    ));
    out
}

/// Every day as CSV.
pub fn csv(all: &[Option<Vec<SeasonDay>>]) -> String {
    let mut out = String::from("tray,day,drunk_m3,evaporated_m3,supplied,driest_content,starved_roots\n");
    for (tray, days) in all.iter().enumerate() {
        for d in days.iter().flatten() {
            let _ = writeln!(
                out,
                "{tray},{},{:.7},{:.7},{:.4},{:.5},{:.4}",
                d.day, d.drunk_m3, d.evaporated_m3, d.supplied, d.driest, d.starved
            );
        }
    }
    out
}
