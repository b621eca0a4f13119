use super::Rule;
use crate::survey::Survey;
use crate::fit::checks;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "hole-near-wall", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let say = |x: f64| u.length(x);
    let mut out = Vec::new();
    for v in s.each() {
        let own: Vec<_> = checks(&s.rig).into_iter().filter(|c| c.rule == RULE.name && c.tray == v.index).collect();
        let Some(worst) = own.iter().min_by(|a, b| (a.number - a.limit).total_cmp(&(b.number - b.limit))) else { continue };
        for c in own.iter().filter(|c| !c.holds()) {
            let words = format!("{}{}: {}, where {} are needed.", v.who(), c.what, say(c.number), say(c.limit));
            out.push(
                Finding::new(Severity::Care, RULE.name, "A fitting too near the wall", words)
                    .at(Place::key(v.key(c.field)))
                    .measured(c.number, c.limit, "m")
                    .mend("A flange seals on flat floor only: move the hole in, or take a smaller fitting."),
            );
        }
        if worst.holds() {
            let words = format!("{}{}: {}, where {} are needed.", v.who(), worst.what, say(worst.number), say(worst.limit));
            out.push(
                Finding::new(Severity::Good, RULE.name, "Fittings have flat floor around them", words)
                    .at(Place::key(v.key(worst.field)))
                    .measured(worst.number, worst.limit, "m"),
            );
        }
    }
    out
}
