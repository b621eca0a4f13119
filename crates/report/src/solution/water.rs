//! A water report read back: ions in every unit, the balance, what it is like.

use super::ms_cm;
use crate::text::{COLUMNS, plain, wrap};
use std::fmt::Write as _;
use tidewright_plan::solution::acid::Source;
use tidewright_plan::solution::system;
use tidewright_rig::solution::Water;
use tidewright_rig::solution::amount::{analyte, mg_l};

/// One ion of a water: name, mmol/L, mg/L, meq/L.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Row {
    /// Ion.
    pub ion: String,
    /// mmol/L.
    pub mmol_l: f64,
    /// mg/L of the ion.
    pub mg_l: f64,
    /// meq/L, negative for anions.
    pub meq_l: f64,
}

/// Ions of a water, cations first; alkalinity as bicarbonate.
pub fn rows(water: &Water) -> Vec<Row> {
    let system = system();
    let mut out: Vec<Row> = Vec::new();
    for (c, x) in water.components().0 {
        let name = if c == "PO4" {
            "H2PO4"
        } else if c == "MoO4" {
            "Mo"
        } else {
            c
        };
        let z = match c {
            "PO4" => -1.0,
            _ => system.component(c).map_or(0.0, |i| f64::from(system.charge(i))),
        };
        let mg = analyte(name).map_or(f64::NAN, |a| mg_l(a, x));
        out.push(Row { ion: name.to_owned(), mmol_l: x, mg_l: mg, meq_l: z * x });
    }
    let (alk, _) = water.alkalinity(system);
    if alk > 0.0 {
        let mg = analyte("HCO3").map_or(f64::NAN, |a| mg_l(a, alk));
        out.push(Row { ion: "HCO3".into(), mmol_l: alk, mg_l: mg, meq_l: -alk });
    }
    out.sort_by(|a, b| b.meq_l.signum().total_cmp(&a.meq_l.signum()));
    out
}

/// Hardness \[mmol/L\] of calcium and magnesium.
pub fn hardness(rows: &[Row]) -> f64 {
    rows.iter().filter(|r| r.ion == "Ca" || r.ion == "Mg").map(|r| r.mmol_l).sum()
}

/// Answer of `water`.
pub fn answer(water: &Water, source: &Source) -> String {
    let all = rows(water);
    let mut out = wrap(&format!("{}: {}", plain(&water.name), plain(&water.source)), 0, COLUMNS);
    let _ = writeln!(out, "\n{:<8} {:>10} {:>10} {:>10}", "", "mg/L", "mmol/L", "meq/L");
    for r in &all {
        let _ = writeln!(out, "{:<8} {:>10.1} {:>10.3} {:>+10.2}", r.ion, r.mg_l, r.mmol_l, r.meq_l);
    }
    let (cations, anions) = source.sums;
    let gap = cations - anions;
    let mean = 0.5 * (cations + anions);
    out.push('\n');
    let balance = if mean < 0.1 {
        "Next to nothing is dissolved in it.".to_owned()
    } else {
        format!(
            "{}Cations {cations:.2} meq/L, anions {anions:.2} meq/L: a gap of {:.2} meq/L, {:.0} %{}.",
            if gap.abs() > 0.1 * mean { "▲ " } else { "" },
            gap.abs(),
            100.0 * gap.abs() / mean,
            if source.alkalinity_printed { "" } else { ", not known: alkalinity was made to fit" }
        )
    };
    out.push_str(&wrap(&balance, 0, COLUMNS));
    let hard = hardness(&all);
    out.push_str(&wrap(
        &format!(
            "Hardness {hard:.2} mmol/L, {:.1} °dH, {:.0} mg/L CaCO3. Alkalinity {:.2} meq/L, {:.0} mg/L CaCO3. pH {:.2}. EC {} mS/cm at 25 °C{}.",
            (hard / 0.178_32).abs(),
            100.086 * hard,
            source.alkalinity,
            50.043 * source.alkalinity,
            source.ph,
            ms_cm(source.ec_25),
            water.ec.map_or_else(String::new, |e| format!(", printed {e:.2}"))
        ),
        0,
        COLUMNS,
    ));
    for remark in &source.remarks {
        out.push_str(&wrap(&format!("▲ {remark}"), 0, COLUMNS));
    }
    out
}
