use super::Rule;
use crate::solution::solid_words;
use crate::solution::tanks::Saturation;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "precipitation-likely", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let place = Place::key("solution.recipe");
    let falls: Vec<&Saturation> = sheet.solids.iter().filter(|x| x.falls_out()).collect();
    let Some(worst) = falls.first() else {
        let nearest = sheet.solids.first().map_or_else(
            || "No solid can form.".to_owned(),
            |x| {
                format!(
                    "Nearest to falling out is {}, at {:.0} % of its saturation.",
                    solid_words(x.solid),
                    100.0 * x.times()
                )
            },
        );
        return vec![Finding::new(Severity::Good, RULE.name, "The solution stays clear", nearest).at(place)];
    };
    let names: Vec<&str> = falls.iter().map(|x| solid_words(x.solid)).collect();
    vec![
        Finding::new(
            Severity::Care,
            RULE.name,
            "Something will fall out of the solution",
            format!(
                "At pH {:.1} under open air the solution is beyond saturation with {}: {} by {:.1} times; up to {:.1} times is within doubt.",
                sheet.solved.open.ph,
                names.join(" and "),
                solid_words(worst.solid),
                worst.times(),
                10f64.powf(worst.doubt)
            ),
        )
        .at(place)
        .measured(worst.index, worst.doubt, "log10 of saturation")
        .mend("Bring the pH down with acid before phosphate and calcium go in, run a weaker solution, or start from softer water."),
    ]
}
