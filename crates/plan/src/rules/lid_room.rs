use super::Rule;
use crate::survey::Survey;
use crate::fit::checks;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "lid-room", judge };

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
                Finding::new(Severity::Care, RULE.name, "The lid cannot be lifted", words)
                    .at(Place::key(v.key(c.field)))
                    .measured(c.number, c.limit, "m")
                    .mend("Raise the stand, or let the reservoir slide out on a board: empty, never full."),
            );
        }
        if worst.holds() {
            let words = format!("{}{}: {}, where {} are needed.", v.who(), worst.what, say(worst.number), say(worst.limit));
            out.push(
                Finding::new(Severity::Good, RULE.name, "Lid and pump can be lifted out", words)
                    .at(Place::key(v.key(worst.field)))
                    .measured(worst.number, worst.limit, "m"),
            );
        }
    }
    out
}
