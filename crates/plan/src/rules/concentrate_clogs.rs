use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "concentrate-clogs", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let cold = s.units().temperature(s.rig.mixing.coldest.get().value);
    let mut out = Vec::new();
    for held in &sheet.tanks {
        let place = Place::key("solution.concentrate");
        let falls: Vec<&str> = held.falls_out().map(|x| x.0.as_str()).collect();
        let full = held.crowded();
        if falls.is_empty() && full.is_none() {
            continue;
        }
        let strength = s.rig.mixing.concentrate.get();
        let mut words = format!("Concentrate {:?}, {strength:.0} times as strong, at {cold}:", held.tank);
        if !falls.is_empty() {
            words.push_str(&format!(" {} falls out.", falls.join(" and ")));
        }
        if let Some((j, share)) = full {
            words.push_str(&format!(
                " {} alone fills the water to {:.0} % of what it holds; 80 % is enough.",
                sheet.shelf[j].name,
                100.0 * share
            ));
        }
        let clogs = !falls.is_empty() || full.is_some_and(|f| f.1 > 1.0);
        let severity = if clogs { Severity::Stop } else { Severity::Care };
        let fuller = full.map_or(1.0, |f| f.1);
        out.push(
            Finding::new(severity, RULE.name, format!("Concentrate {:?} will not stay clear", held.tank), words)
                .at(place)
                .measured(fuller, 0.8, "of saturation")
                .mend("Mix a weaker concentrate, keep it warmer, or move potassium nitrate between the tanks."),
        );
    }
    if out.is_empty() && !sheet.tanks.is_empty() {
        let words = format!("Both concentrates stay clear at {cold}.");
        out.push(Finding::new(Severity::Good, RULE.name, "Concentrates stay clear", words).at(Place::key("solution.concentrate")));
    }
    out
}
