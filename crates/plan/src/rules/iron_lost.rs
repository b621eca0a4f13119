use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "iron-lost", judge };

/// pH up to which each chelate keeps its iron. Practical ceilings, from memory; o,o-EDDHA holds to 9 or 10.
const CEILINGS: [(&str, f64); 3] = [("EDTA", 6.5), ("DTPA", 7.5), ("EDDHA", 9.0)];

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let chelate = sheet.solved.salts.iter().find_map(|(j, _)| sheet.shelf[*j].chelate.as_deref());
    let wants_iron = sheet.solved.targets.iter().any(|t| t.target.name == "Fe" && t.target.low > 0.0);
    let place = Place::key("solution.shelf");
    let ph = sheet.solved.open.ph.max(s.rig.mixing.ph.get());
    let Some((name, ceiling)) = chelate.and_then(|c| CEILINGS.iter().find(|x| x.0 == c)) else {
        return if wants_iron && chelate.is_none() {
            vec![
                Finding::new(Severity::Care, RULE.name, "No chelate for the iron", "No salt of the shelf brings chelated iron; iron without a chelate is gone within a day above pH 5.")
                    .at(place)
                    .mend("Add iron-dtpa (to pH 7.5) or iron-eddha (to pH 9) to the shelf."),
            ]
        } else {
            Vec::new()
        };
    };
    // The meter drifts and so does the reservoir: half a unit.
    let margin = ceiling - ph;
    let words = format!(
        "{name} keeps iron dissolved to about pH {ceiling}; this solution stands at pH {ph:.1} under open air."
    );
    let finding = if margin < 0.0 {
        Finding::new(Severity::Care, RULE.name, "Iron will be lost", words).mend(if ph < 7.5 {
            "Bring the pH down, or take iron DTPA (to pH 7.5) or iron EDDHA (to pH 9)."
        } else {
            "Bring the pH down, or take iron EDDHA (to pH 9)."
        })
    } else {
        Finding::new(Severity::Good, RULE.name, "The chelate holds the iron", words)
    };
    vec![finding.at(place).measured(ph, *ceiling, "pH")]
}
