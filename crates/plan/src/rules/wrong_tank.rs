use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::solution::Salt;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "wrong-tank", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let mixing = &s.rig.mixing;
    if !mixing.stated {
        return Vec::new();
    }
    let mut out = Vec::new();
    for (key, names) in [("tank_a", &mixing.tank_a), ("tank_b", &mixing.tank_b)] {
        let salts: Vec<&Salt> = names.iter().filter_map(|n| mixing.known.iter().find(|k| k.id == *n)).collect();
        if let (Some(acid), Some(chelate)) =
            (salts.iter().find(|x| x.is_acid()), salts.iter().find(|x| x.chelate.is_some()))
        {
            out.push(
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "Acid and chelate in one tank",
                    format!(
                        "{} and {} stand in one tank: below pH 3.5 the chelate lets its iron go.",
                        acid.name, chelate.name
                    ),
                )
                .at(Place::key(format!("solution.{key}")))
                .mend("Acid goes into the reservoir, in portions, or into a tank of its own."),
            );
        }
        let with = |c: &str| salts.iter().find(|x| x.gives(c) > 0.0);
        let Some(calcium) = with("Ca") else { continue };
        let Some(other) = with("SO4").or_else(|| with("PO4")) else { continue };
        let what = if other.gives("SO4") > 0.0 { "gypsum" } else { "calcium phosphate" };
        out.push(
            Finding::new(
                Severity::Stop,
                RULE.name,
                "Two salts that must not share a tank",
                format!("{} and {} stand in one tank: {what} falls out and clogs it.", calcium.name, other.name),
            )
            .at(Place::key(format!("solution.{key}")))
            .mend("Keep all calcium in A, and sulphates and phosphates in B; they may only meet diluted."),
        );
    }
    out
}
