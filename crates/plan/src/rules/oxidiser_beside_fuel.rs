use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "oxidiser-beside-fuel", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    if !s.rig.mixing.stated {
        return Vec::new();
    }
    let shelf = &s.rig.mixing.shelf;
    let Some(fuel) = shelf.iter().find(|x| x.fuel) else { return Vec::new() };
    let oxidisers: Vec<&str> = shelf.iter().filter(|x| x.oxidiser).map(|x| x.name.as_str()).collect();
    if oxidisers.is_empty() {
        return Vec::new();
    }
    vec![
        Finding::new(
            Severity::Stop,
            RULE.name,
            "An oxidiser beside what burns",
            format!("{} burns; {} feed a fire and can start one with it.", fuel.name, oxidisers.join(" and ")),
        )
        .at(Place::key("solution.shelf"))
        .mend("Keep them in different rooms or cabinets, dry and closed, away from oil, sugar, sawdust and chlorine; the label and local rules go before."),
    ]
}
