//! A reservoir through weeks as text.

use super::ms_cm;
use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_plan::solution::system;
use tidewright_rig::Rig;
use tidewright_sim::drift::{Drifted, Look, Reason, bleed_share};

/// A reason in words.
pub fn reason(r: Reason) -> &'static str {
    match r {
        Reason::Sodium => "sodium is at the crop's limit",
        Reason::Chloride => "chloride is at the crop's limit",
        Reason::TooStrong => "EC has left the crop's range upwards",
        Reason::TooWeak => "EC has left the crop's range downwards",
        Reason::Balance => "potassium over calcium is more than half off",
        Reason::Phosphorus => "phosphorus is more than half off",
        Reason::Ballast => "sodium and chloride carry a third of the charge",
    }
}

/// mmol/L of a component in a look.
pub(crate) fn of(l: &Look, c: &str) -> f64 {
    system().component(c).map_or(0.0, |i| 1e3 * l.totals[i])
}

/// Ions that are shown.
pub(crate) const SHOWN: [(&str, &str); 9] = [
    ("NO3", "NO3"),
    ("NH4", "NH4"),
    ("PO4", "P"),
    ("K", "K"),
    ("Ca", "Ca"),
    ("Mg", "Mg"),
    ("SO4", "S"),
    ("Na", "Na"),
    ("Cl", "Cl"),
];

/// Answer of `drift`.
pub fn answer(
    rig: &Rig,
    d: &Drifted,
    change: &[(Reason, f64)],
    (litres_a_day, held): (f64, f64),
    compensation: &str,
) -> String {
    let u = rig.system;
    let mut out = wrap(
        &format!(
            "{} a day are drunk; the reservoir of {} is topped up with {}, its pH held at {}.",
            u.sip(1e-3 * litres_a_day),
            u.volume(rig.reservoir.fill.get().value),
            match rig.mixing.top_up.get().word() {
                "plain" => "plain water".to_owned(),
                w => format!("{w} strength"),
            },
            super::sheet::number(held)
        ),
        0,
        COLUMNS,
    );
    let _ = write!(out, "\n{:>5} {:>7} {:>6}", "day", "mS/cm", "pH");
    for (_, name) in SHOWN {
        let _ = write!(out, " {name:>7}");
    }
    out.push_str("  mmol/L\n");
    let last = d.looks.last().map_or(0.0, |l| l.day);
    let every = if last > 35.0 { 7.0 } else { 2.0 };
    let mut next = 0.0;
    for l in &d.looks {
        if l.day + 1e-9 < next && l.day < last {
            continue;
        }
        next = l.day + every;
        let _ = write!(out, "{:>5.0} {:>7} {:>6.2}", l.day, ms_cm(l.ec_25), l.ph);
        for (c, _) in SHOWN {
            let _ = write!(out, " {:>7.2}", of(l, c));
        }
        out.push('\n');
    }
    out.push('\n');
    match change.first() {
        Some((r, day)) => {
            let others: Vec<String> =
                change.iter().skip(1).map(|(r, d)| format!("{} on day {d:.0}", reason(*r))).collect();
            let more = if others.is_empty() { String::new() } else { format!(" Then: {}.", others.join("; ")) };
            out.push_str(&wrap(&format!("▲ Change it by day {day:.0}: {}.{more}", reason(*r)), 0, COLUMNS));
        }
        None => out.push_str(&wrap(
            &format!("✓ No reason to change it within {last:.0} days. Root disease is always one."),
            0,
            COLUMNS,
        )),
    }
    let feeding = &rig.mixing.feeding;
    let comes = |c: &str| {
        rig.mixing.water.borrowed().components().0.iter().filter(|x| x.0 == c).map(|x| x.1).sum::<f64>().max(0.0)
    };
    let bleed = bleed_share(comes("Na"), feeding.sodium.0, feeding.sodium.1).max(bleed_share(
        comes("Cl"),
        feeding.chloride.0,
        feeding.chloride.1,
    ));
    if bleed > 0.0 && bleed.is_finite() {
        out.push_str(&wrap(
            &format!(
                "Letting {:.2} L go for each litre drunk would hold sodium and chloride at the limit for good.",
                bleed
            ),
            0,
            COLUMNS,
        ));
    } else if bleed.is_infinite() {
        out.push_str(&wrap("No letting go helps: the water alone is at the crop's limit.", 0, COLUMNS));
    }
    // Until the day of change: after it nobody doses.
    let until = change.first().map_or(last, |c| c.1).max(1.0);
    let at = d.looks.iter().rfind(|l| l.day <= until);
    let (acid, base) = at.map_or(d.acid_base_mol, |l| l.acid_base_mol);
    let first = d.looks.first().map_or((0.0, 0.0), |l| l.acid_base_mol);
    out.push_str(&wrap(
        &format!(
            "Holding the pH until then takes {} and {} a day; uptake rows are good to a tenth, so either may be twice as much or nothing.",
            said(rig, 1e3 * (acid - first.0) / until, true),
            said(rig, 1e3 * (base - first.1) / until, false)
        ),
        0,
        COLUMNS,
    ));
    out.push_str(&wrap(compensation, 0, COLUMNS));
    out.push_str(&wrap(
        &format!("The account of ions closes to {:.0e} of all that moved.", d.ledger_error.max(1e-17)),
        0,
        COLUMNS,
    ));
    out
}

/// So many mmol of protons as acid or base of the shelf.
fn said(rig: &Rig, mmol: f64, acid: bool) -> String {
    let word = if acid { "acid" } else { "base" };
    if mmol < 0.05 {
        return format!("no {word}");
    }
    let found = rig.mixing.shelf.iter().find(|s| if acid { s.is_acid() } else { s.is_base() });
    match found {
        Some(salt) => {
            let protons = salt.spare_protons().abs();
            let (x, unit) = tidewright_plan::solution::acid::measure(salt, mmol / protons);
            if x < 0.05 { format!("next to no {word}") } else { format!("{} of {}", super::amount(x, unit), salt.name) }
        }
        None => format!("{mmol:.1} mmol of {word}"),
    }
}

/// What a meter's temperature compensation does to this solution.
pub fn compensation(ec: f64, ec_25: f64, celsius: f64) -> String {
    let off = celsius - 25.0;
    if off.abs() < 0.5 {
        return "The solution is at 25 °C: the meter's temperature compensation does nothing.".into();
    }
    let own = (ec / ec_25 - 1.0) / off;
    let shown = ec / (1.0 + 0.02 * off);
    format!(
        "At {celsius:.0} °C the solution conducts {} mS/cm, at 25 °C {}: {:.2} % a degree. A meter set to 2.0 % shows {}, {:+.1} %.",
        ms_cm(ec),
        ms_cm(ec_25),
        100.0 * own,
        ms_cm(shown),
        100.0 * (shown / ec_25 - 1.0)
    )
}

/// Looks as CSV.
pub fn csv(d: &Drifted) -> String {
    let mut out = String::from("day,litres,ec_25_ms_cm,ph");
    for (_, name) in SHOWN {
        let _ = write!(out, ",{}_mmol_l", name.to_lowercase());
    }
    out.push('\n');
    for l in &d.looks {
        let _ = write!(out, "{:.3},{:.3},{:.4},{:.3}", l.day, l.litres, 10.0 * l.ec_25, l.ph);
        for (c, _) in SHOWN {
            let _ = write!(out, ",{:.4}", of(l, c));
        }
        out.push('\n');
    }
    out
}
