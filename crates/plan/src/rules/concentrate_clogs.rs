use super::Rule;
use crate::solution::solid_words;
use crate::solution::tanks::Saturation;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "concentrate-clogs", judge };

/// Solids that clog a tank whatever its water.
const SULPHATES: [&str; 4] = ["gypsum", "syngenite", "arcanite", "epsomite"];

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let cold = s.units().temperature(s.rig.mixing.coldest.get().value);
    let mut out = Vec::new();
    for held in &sheet.tanks {
        let place = Place::key("solution.concentrate");
        let falls: Vec<&Saturation> = held.falls_out().collect();
        let full = held.crowded();
        if falls.is_empty() && full.is_none() {
            continue;
        }
        // Lime and phosphates come of the water that the tank is made with, and at these strengths their saturation is a
        // guess: a nuisance with a way out of its own.
        let by_water = |x: &Saturation| !SULPHATES.contains(&x.solid);
        let only_water = full.is_none() && falls.iter().all(|x| by_water(x));
        let strength = s.rig.mixing.concentrate.get();
        let mut words = format!("Concentrate {:?}, {strength:.0} times as strong, at {cold}:", held.tank);
        if !falls.is_empty() {
            let names: Vec<&str> = falls.iter().map(|x| solid_words(x.solid)).collect();
            words.push_str(&format!(
                " {} {}.",
                names.join(" and "),
                if names.len() == 1 { "falls out" } else { "fall out" }
            ));
        }
        if let Some((j, share)) = full {
            words.push_str(&format!(
                " {} alone fills the water to {:.0} % of what it holds; 80 % is enough.",
                sheet.shelf[j].name,
                100.0 * share
            ));
        }
        let clogs = falls.iter().any(|x| !by_water(x)) || full.is_some_and(|f| f.1 > 1.0);
        let severity = if clogs { Severity::Stop } else { Severity::Care };
        let way = if only_water {
            "Make the tanks with rain or reverse-osmosis water, or bring the water to pH 5 with a little nitric acid before anything else goes in."
        } else if full.is_some_and(|f| sheet.shelf[f.0].id == "potassium-nitrate") {
            "Mix a weaker concentrate, keep it warmer, or move potassium nitrate between the tanks."
        } else {
            "Mix a weaker concentrate or keep it warmer; each salt in the tank where the sheet has it."
        };
        out.push(
            Finding::new(severity, RULE.name, format!("Concentrate {:?} will not stay clear", held.tank), words)
                .at(place)
                .measured(full.map_or(1.0, |f| f.1), 0.8, "of saturation")
                .mend(way),
        );
    }
    if out.is_empty() && !sheet.tanks.is_empty() {
        let words = format!("Both concentrates stay clear at {cold}.");
        out.push(
            Finding::new(Severity::Good, RULE.name, "Concentrates stay clear", words)
                .at(Place::key("solution.concentrate")),
        );
    }
    out
}
