//! Answers as JSON; names carry their units.

use super::drift::{SHOWN, of, reason};
use serde_json::{Value, json};
use tidewright_plan::solution::acid::{Dose, Source};
use tidewright_plan::solution::mix::{Sheet, Weighed};
use tidewright_plan::solution::system;
use tidewright_rig::solution::{Salt, Water};
use tidewright_sim::drift::{Drifted, Reason};

/// A water report.
pub fn water(water: &Water, s: &Source) -> Value {
    let rows = super::water::rows(water);
    json!({
        "id": water.id, "name": water.name, "source": water.source, "ions": rows,
        "cations_meq_l": s.sums.0, "anions_meq_l": s.sums.1, "hardness_mmol_l": super::water::hardness(&rows),
        "alkalinity_meq_l": s.alkalinity, "ph": s.ph, "ec_25_s_m": s.ec_25, "remarks": s.remarks,
    })
}

fn line(s: &Sheet, l: &Weighed) -> Value {
    let salt = &s.shelf[l.salt];
    json!({
        "salt": salt.id, "name": salt.name, "tank": l.tank, "unit": l.unit, "exact": l.exact, "amount": l.amount,
        "dilution": l.dilution.map(|d| json!({"of": d.of, "into_ml": d.into_ml, "tenfold": d.tenfold, "take_ml": d.take_ml})),
        "hazards": salt.hazards,
    })
}

/// A weigh-out sheet.
pub fn sheet(s: &Sheet) -> Value {
    json!({
        "litres": s.litres, "reservoir_litres": s.reservoir_litres, "concentrate": s.concentrate, "tank_litres": s.tank_litres,
        "lines": s.lines.iter().map(|l| line(s, l)).collect::<Vec<_>>(),
        "acids": s.acids.iter().map(|(l, p)| json!({
            "line": line(s, l),
            "portions": p.iter().map(|p| json!({"mmol_l": p.amount, "ph_at_once": p.ph_at_once, "ph_later": p.ph_later})).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "targets": s.solved.targets.iter().map(|t| json!({
            "name": t.target.name, "low_mmol_l": t.target.low, "high_mmol_l": t.target.high, "holds_mmol_l": t.amount,
            "from_water_mmol_l": t.from_water, "miss": t.miss, "why": t.why.as_ref().map(|w| w.say()),
        })).collect::<Vec<_>>(),
        "typical_miss": s.solved.miss,
        "price_m3": s.exact.price_m3, "price_m3_closest": s.exact.ends.0, "price_m3_cheapest": s.exact.ends.1,
        "margins_per_gram_in_100_l": s.exact.margins.iter().map(|m| json!({
            "salt": s.shelf[m.salt].id, "price": m.price, "typical_miss_change": m.miss,
        })).collect::<Vec<_>>(),
        "ec_25_s_m": {"low": s.ec_25[0], "likely": s.ec_25[1], "high": s.ec_25[2]},
        "ph": {"low": s.ph[0], "likely": s.ph[1], "high": s.ph[2]},
        "protons_per_tenth_ph_mmol_l": s.protons_per_tenth,
        "ionic_strength_mol_kg": s.solved.open.ionic_strength,
        "saturation_log10": s.solids,
        "tanks": s.tanks.iter().map(|h| json!({
            "tank": h.tank, "ph": h.ph, "ionic_strength_mol_kg": h.ionic_strength,
            "saturation_log10": h.solids.iter().take(4).collect::<Vec<_>>(),
            "fullness": h.fullness.iter().map(|f| json!({"salt": s.shelf[f.0].id, "share": f.1})).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "would_help": s.would_help.as_ref().map(|(salt, miss)| json!({"salt": salt.id, "typical_miss": miss})),
        "totals_mol_l": totals(&s.solved.totals),
        "charge_mol_l": s.solved.charge,
    })
}

fn totals(all: &[f64]) -> Value {
    let named = system().components.iter().zip(all).filter(|(_, x)| **x != 0.0);
    Value::Object(named.map(|(c, x)| (c.name.clone(), json!(x))).collect())
}

/// Doses of acids and bases.
pub fn doses(source: &Source, ph: f64, litres: f64, doses: &[(Salt, Option<Dose>)]) -> Value {
    json!({
        "ph_before": source.ph, "ph_wanted": ph, "alkalinity_meq_l": source.alkalinity, "litres": litres,
        "doses": doses.iter().filter_map(|(s, d)| d.as_ref().map(|d| json!({
            "salt": s.id, "name": s.name, "mol_l": s.molarity(), "at_once_mmol_l": d.at_once, "in_the_end_mmol_l": d.in_the_end,
            "protons_per_mol": d.protons,
            "portions": d.portions.iter().map(|p| json!({"mmol_l": p.amount, "ph_at_once": p.ph_at_once, "ph_later": p.ph_later})).collect::<Vec<_>>(),
        }))).collect::<Vec<_>>(),
    })
}

/// A reservoir through weeks.
pub fn drift(d: &Drifted, change: &[(Reason, f64)], litres_a_day: f64) -> Value {
    json!({
        "drinks_l_day": litres_a_day,
        "change": change.iter().map(|(r, day)| json!({"reason": r, "words": reason(*r), "day": day})).collect::<Vec<_>>(),
        "water_taken_l": d.water_l.0, "water_topped_up_l": d.water_l.1,
        "acid_mol": d.acid_base_mol.0, "base_mol": d.acid_base_mol.1, "ledger_error": d.ledger_error, "charge": d.charge,
        "looks": d.looks.iter().map(|l| {
            let mut row = json!({"day": l.day, "litres": l.litres, "ec_25_s_m": l.ec_25, "ph": l.ph});
            for (c, name) in SHOWN {
                row[format!("{}_mmol_l", name.to_lowercase())] = json!(of(l, c));
            }
            row
        }).collect::<Vec<_>>(),
    })
}
