use super::Rule;
use crate::solution::mix::Weighed;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::units::round_to;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "below-the-scale", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let step = s.rig.mixing.scale.get().value * 1e3;
    let place = Place::key("solution.scale");
    let small: Vec<&Weighed> = sheet.lines.iter().filter(|l| l.dilution.is_some()).collect();
    let least = small.iter().map(|l| l.exact).fold(f64::INFINITY, f64::min);
    if small.is_empty() {
        let words = format!("Every salt is at least twenty steps of {step} g.");
        return vec![Finding::new(Severity::Good, RULE.name, "The scale is fine enough", words).at(place)];
    }
    let names: Vec<&str> = small.iter().map(|l| sheet.shelf[l.salt].name.split(',').next().unwrap_or("")).collect();
    vec![
        Finding::new(
            Severity::Note,
            RULE.name,
            "Too little to weigh",
            format!("{} come to less than twenty steps of the scale's {step} g, the least to {} g.", names.join(", "), round_to(least, 2)),
        )
        .at(place)
        .measured(least, 20.0 * step, "g")
        .mend("Weigh more into a litre of water and take the millilitres of the sheet; or mix a concentrate for many fillings."),
    ]
}
