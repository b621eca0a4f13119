use super::Rule;
use crate::solution::Why;
use crate::solution::recipe::Reached;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "target-not-met", judge };

/// Worth a remark, and worth looking after [-].
const REMARK: f64 = 0.1;
const MUCH: f64 = 0.25;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(outlook) = &s.solution else { return Vec::new() };
    let place = Place::key("solution.shelf");
    let sheet = match &outlook.sheet {
        Ok(sheet) => sheet,
        Err(why) => {
            return vec![
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "No solution can be reckoned",
                    format!("There is no answer: {why}."),
                )
                .at(Place::key("solution.recipe"))
                .mend("Look at the amounts of recipe and water report."),
            ];
        }
    };
    let mut missed: Vec<&Reached> =
        sheet.solved.targets.iter().filter(|t| t.miss.abs() > REMARK && t.target.weight > 0.0).collect();
    missed.sort_by(|a, b| b.miss.abs().total_cmp(&a.miss.abs()));
    let Some(worst) = missed.first() else {
        let words = format!("Every target of {} is met within a tenth.", s.rig.mixing.recipe.borrowed().name);
        return vec![Finding::new(Severity::Good, RULE.name, "The shelf meets the recipe", words).at(place)];
    };
    let list: Vec<String> = missed
        .iter()
        .map(|t| {
            let exactly = sheet.exact.targets.iter().find(|e| e.target.name == t.target.name);
            let why = match exactly.filter(|e| e.miss.abs() > 0.5 * REMARK) {
                Some(e) => e.why.as_ref().or(t.why.as_ref()).map_or_else(|| "rounding".into(), Why::say),
                None => "what the scale can weigh".into(),
            };
            (t, why)
        })
        .map(|(t, why)| format!("{} {:+.0} % ({why})", t.target.name, 100.0 * t.miss))
        .collect();
    let severity = if worst.miss.abs() > MUCH { Severity::Care } else { Severity::Note };
    let missing: Vec<&str> = missed.iter().filter(|t| t.why == Some(Why::Nothing)).map(|t| t.target.name).collect();
    let way = match &sheet.would_help {
        Some((salt, miss)) => format!(
            "With {} on the shelf the typical miss falls from {:.0} to {:.0} %.",
            salt.name,
            100.0 * sheet.exact.miss,
            100.0 * miss
        ),
        None if !missing.is_empty() => format!("Put salts on the shelf that bring {}.", missing.join(", ")),
        None if sheet.exact.miss < 0.5 * sheet.solved.miss => "A finer scale, or a larger volume at a time.".to_owned(),
        None => "No single salt of the parts data would mend it: softer water, or another recipe.".to_owned(),
    };
    vec![
        Finding::new(
            severity,
            RULE.name,
            "Targets out of reach",
            format!("With this shelf and water: {}.", list.join("; ")),
        )
        .at(place)
        .measured(worst.miss.abs(), REMARK, "of the target")
        .mend(way),
    ]
}
