//! Acid or base for a water, in portions.

use super::{amount, volume};
use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_plan::solution::acid::{Dose, Source, measure};
use tidewright_rig::solution::Salt;
use tidewright_rig::units::System;

/// Answer of `acid`: doses of several acids and bases for so many litres.
pub fn answer(
    u: System,
    source: &Source,
    ph: f64,
    litres: f64,
    doses: &[(Salt, Option<Dose>)],
    wanted: &[(&str, f64)],
) -> String {
    let mut out = wrap(
        &format!(
            "{} of water at pH {:.2} with {:.2} meq/L of alkalinity, to pH {ph}:",
            volume(u, litres),
            source.ph,
            source.alkalinity
        ),
        0,
        COLUMNS,
    );
    for r in &source.remarks {
        out.push_str(&wrap(&format!("▲ {r}"), 0, COLUMNS));
    }
    let _ = writeln!(out, "\n{:<30} {:>12} {:>12} {:>9}  brings", "", "for the day", "to stay", "protons");
    for (salt, dose) in doses {
        let Some(d) = dose else { continue };
        let in_it = |mmol: f64| {
            let (x, unit) = measure(salt, mmol * litres);
            amount(x, unit)
        };
        let _ = writeln!(
            out,
            "{:<30} {:>12} {:>12} {:>9.2}  {}",
            salt.name.chars().take(30).collect::<String>(),
            in_it(d.at_once),
            in_it(d.in_the_end),
            d.protons,
            brings(salt, d.in_the_end)
        );
    }
    if doses.iter().all(|d| d.1.is_none()) {
        out.push_str("Nothing of the shelf is wanted: the water is there already, or on the other side.\n");
        return out;
    }
    out.push('\n');
    for (salt, dose) in doses.iter().filter_map(|(s, d)| d.as_ref().map(|d| (s, d))) {
        let _ = writeln!(out, "{}, in portions:", salt.name);
        for (k, p) in dose.portions.iter().enumerate() {
            let (x, unit) = measure(salt, p.amount * litres);
            let _ = writeln!(
                out,
                "  {}. {:>10}: pH {:.1} at once, {:.1} once the carbon dioxide has left",
                k + 1,
                amount(x, unit),
                p.ph_at_once,
                p.ph_later
            );
        }
    }
    for (salt, dose) in doses.iter().filter_map(|(s, d)| d.as_ref().map(|d| (s, d))) {
        for (component, target) in wanted {
            let brings = salt.gives(component) * dose.in_the_end;
            if *target > 0.0 && brings > 1.2 * target {
                let most = dose.in_the_end * target / brings;
                let (x, unit) = measure(salt, most * litres);
                out.push_str(&wrap(
                    &format!(
                        "▲ {} brings {:.1} times the {} that the recipe wants: at most {} of it, the rest by another acid or softer water.",
                        salt.name,
                        brings / target,
                        if *component == "PO4" { "phosphorus" } else { "sulphur" },
                        amount(x, unit)
                    ),
                    0,
                    COLUMNS,
                ));
            }
        }
        if !salt.note.is_empty() {
            out.push_str(&wrap(&format!("▲ {}: {}.", salt.name, salt.note), 0, COLUMNS));
        }
    }
    out.push('\n');
    for line in [
        "\"For the day\" is what the meter asks for at once; carbon dioxide then leaves and the pH climbs. \"To stay\" is what it takes once the water stands under air: give that, in portions, a flood and some hours between.",
        "▲ A lye or its pellets go slowly into cold water, never water onto them: they get hot.",
        "▲ Acid slowly into much water, never water into acid. Goggles, gloves, open window; no metal; no chlorine bleach near it. Children away. The safety data sheet and local rules go before.",
    ] {
        out.push_str(&wrap(line, 0, COLUMNS));
    }
    out
}

/// What so many mmol/L bring beside protons, in mg/L.
pub fn brings(salt: &Salt, mmol_l: f64) -> String {
    let of = |c: &str, mass: f64, name: &str| {
        let n = salt.gives(c);
        (n > 0.0).then(|| format!("{:.0} mg/L {name}", n * mmol_l * mass))
    };
    [of("NO3", 14.007, "N"), of("PO4", 30.974, "P"), of("SO4", 32.06, "S"), of("K", 39.098, "K")]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}
