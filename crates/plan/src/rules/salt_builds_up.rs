use super::Rule;
use crate::solution::outlook::AHEAD_DAYS;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::drift::Reason;

pub(super) const RULE: Rule = Rule { name: "salt-builds-up", judge };

/// Within so many days it wants looking after. Common practice, no source.
const SOON: f64 = 28.0;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(outlook) = &s.solution else { return Vec::new() };
    if outlook.drifted.is_none() {
        return Vec::new();
    }
    let feeding = &s.rig.mixing.feeding;
    let place = Place::key("solution.top_up");
    let top = s.rig.mixing.top_up.get().word();
    let hit = outlook.change.iter().find(|c| matches!(c.0, Reason::Sodium | Reason::Chloride));
    let Some((reason, day)) = hit else {
        let words = format!(
            "Topped up with {top} {}, sodium stays below {} mmol/L and chloride below {} mmol/L for {AHEAD_DAYS} days.",
            if top == "plain" { "water" } else { "strength" },
            feeding.sodium.1,
            feeding.chloride.1
        );
        return vec![Finding::new(Severity::Good, RULE.name, "Sodium and chloride stay low", words).at(place)];
    };
    let (name, limit) = match reason {
        Reason::Sodium => ("Sodium", feeding.sodium.1),
        _ => ("Chloride", feeding.chloride.1),
    };
    let crop = &s.rig.growing.crop.name;
    let when = if *day < 0.5 { "from the first day on".to_owned() } else { format!("in {day:.0} days") };
    let severity = if *day < SOON { Severity::Care } else { Severity::Note };
    vec![
        Finding::new(
            severity,
            RULE.name,
            format!("{name} builds up"),
            format!("{name} reaches {limit} mmol/L, the most that {crop} bears, {when}: the water brings more than the crop takes."),
        )
        .at(place)
        .measured(*day, SOON, "d")
        .mend("Change the solution before that day, let a part go each week, or start from water with less of it."),
    ]
}
