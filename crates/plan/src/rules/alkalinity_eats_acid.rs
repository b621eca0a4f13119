use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "alkalinity-eats-acid", judge };

/// Below this alkalinity acid is a matter of drops [meq/L]. Common practice, no source.
const LITTLE: f64 = 1.0;
/// Further from the wanted pH than this it is not reached.
const REACHED: f64 = 0.3;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let alk = sheet.source.alkalinity;
    let (wanted, open) = (s.rig.mixing.ph.get(), sheet.solved.open.ph);
    let place = Place::key("solution.water");
    if !sheet.source.alkalinity_printed && alk > 0.5 * LITTLE {
        return vec![
            Finding::new(
                Severity::Care,
                RULE.name,
                "Alkalinity is a guess",
                format!("The report does not print it: {alk:.1} meq/L is what the other ions leave, the most it can be. Acid reckoned from it may be far too much."),
            )
            .at(place)
            .measured(alk, LITTLE, "meq/L")
            .mend("Measure it with a drop test for carbonate hardness (1 °dH is 0.36 meq/L) and write it into the report before any acid."),
        ];
    }
    let (low, _) = s.rig.mixing.feeding.ph;
    if open < low - 0.1 && !sheet.acids.is_empty() {
        return vec![
            Finding::new(
                Severity::Care,
                RULE.name,
                "The pH falls below the crop's range",
                format!(
                    "As weighed the solution settles at pH {open:.1}; {} is run from {low:.1}.",
                    s.rig.growing.crop.name
                ),
            )
            .at(place)
            .measured(open, low, "pH")
            .mend(
                "Give less acid and the last of it by the meter, or a little potassium hydrogen carbonate at the end.",
            ),
        ];
    }
    if open - wanted > REACHED {
        return vec![
            Finding::new(
                Severity::Care,
                RULE.name,
                "The pH is not reached",
                format!("With this shelf the solution settles at pH {open:.1}, {wanted:.1} is wanted: {alk:.1} meq/L of alkalinity eat the acid that the recipe has room for."),
            )
            .at(place)
            .measured(open, wanted, "pH")
            .mend("Add nitric acid to the shelf (its nitrogen takes the place of nitrate salts), or cut the water with rain or reverse-osmosis water."),
        ];
    }
    if alk < LITTLE {
        return Vec::new();
    }
    let first = sheet.acids.iter().find(|(_, p)| !p.is_empty());
    let portion = first.and_then(|(_, p)| p.first()).map_or_else(String::new, |p| {
        format!(" After the first portion it reads {:.1} at once and {:.1} a day later.", p.ph_at_once, p.ph_later)
    });
    vec![
        Finding::new(
            Severity::Note,
            RULE.name,
            "Alkalinity eats acid",
            format!("The water has {alk:.1} meq/L of alkalinity: acid makes carbon dioxide first, and as that leaves the pH climbs again.{portion}"),
        )
        .at(place)
        .measured(alk, LITTLE, "meq/L")
        .mend("Give the acid in the portions of the sheet, stir by a flood, and read again the next day before giving more."),
    ]
}
