use super::Rule;
use crate::solution::system;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "phosphate-in-hard-water", judge };

/// From this alkalinity on the order matters [meq/L]. Common practice, no source.
const HARD: f64 = 2.0;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let system = system();
    let (Some(p), Some(ca)) = (system.component("PO4"), system.component("Ca")) else { return Vec::new() };
    let phosphorus = 1e3 * (sheet.solved.totals[p] - sheet.source.totals[p]);
    let calcium = 1e3 * sheet.source.totals[ca];
    if sheet.source.alkalinity < HARD || phosphorus < 0.2 || calcium < 1.0 {
        return Vec::new();
    }
    let place = Place::key("solution.water");
    vec![
        Finding::new(
            Severity::Note,
            RULE.name,
            "Hard water and phosphate",
            format!(
                "The water brings {calcium:.1} mmol/L of calcium and {:.1} meq/L of alkalinity, the recipe {phosphorus:.1} mmol/L of phosphate: above pH 6.5 calcium phosphate falls out.",
                sheet.source.alkalinity
            ),
        )
        .at(place)
        .measured(sheet.source.alkalinity, HARD, "meq/L")
        .mend("Put the acid into the water first, wait for the pH to settle, then the phosphate, calcium last."),
    ]
}
