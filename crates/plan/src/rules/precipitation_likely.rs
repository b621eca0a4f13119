use super::Rule;
use crate::solution::solid_words;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "precipitation-likely", judge };

/// What iron does is told by its chelate, in a rule of its own.
const IRON: &str = "iron hydroxide";

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let place = Place::key("solution.recipe");
    let falls: Vec<&(String, f64, f64)> = sheet.solids.iter().filter(|x| x.1 > x.2 && x.0 != IRON).collect();
    let Some(worst) = falls.first() else {
        let nearest = sheet.solids.iter().find(|x| x.0 != IRON).map_or_else(
            || "No solid can form.".to_owned(),
            |x| format!("Nearest to falling out is {}, at {:.0} % of its saturation.", solid_words(&x.0), 100.0 * 10f64.powf(x.1)),
        );
        return vec![Finding::new(Severity::Good, RULE.name, "The solution stays clear", nearest).at(place)];
    };
    let names: Vec<&str> = falls.iter().map(|x| solid_words(&x.0)).collect();
    vec![
        Finding::new(
            Severity::Care,
            RULE.name,
            "Something will fall out of the solution",
            format!(
                "At pH {:.1} under open air the solution is beyond saturation with {}: {} by {:.1} times; up to {:.1} times is within doubt.",
                sheet.solved.open.ph,
                names.join(" and "),
                solid_words(&worst.0),
                10f64.powf(worst.1),
                10f64.powf(worst.2)
            ),
        )
        .at(place)
        .measured(worst.1, worst.2, "log10 of saturation")
        .mend("Bring the pH down with acid before phosphate and calcium go in, run a weaker solution, or start from softer water."),
    ]
}
