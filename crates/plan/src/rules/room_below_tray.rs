use super::Rule;
use crate::survey::Survey;
use crate::fit::checks;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "room-below-tray", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let say = |x: f64| u.length(x);
    let mut out = Vec::new();
    for v in s.each() {
        let own: Vec<_> = checks(&s.rig).into_iter().filter(|c| c.rule == RULE.name && c.tray == v.index).collect();
        let Some(worst) = own.iter().min_by(|a, b| (a.number - a.limit).total_cmp(&(b.number - b.limit))) else { continue };
        // Nobody measured the fitting: then the number is worth a look, not more.
        let severity = if v.tray.holes.below.is_assumed() && worst.number > 0.02 { Severity::Note } else { Severity::Stop };
        for c in own.iter().filter(|c| !c.holds()) {
            let words = format!("{}{}: {}, where {} are needed.", v.who(), c.what, say(c.number), say(c.limit));
            out.push(
                Finding::new(severity, RULE.name, "No room for the fitting below the tray", words)
                    .at(Place::key(v.key(c.field)))
                    .measured(c.number, c.limit, "m")
                    .mend("Raise the tray, lower the reservoir, or take a flatter elbow."),
            );
        }
        if worst.holds() {
            let words = format!("{}{}: {}, where {} are needed.", v.who(), worst.what, say(worst.number), say(worst.limit));
            out.push(
                Finding::new(Severity::Good, RULE.name, "Fitting and elbow have room below", words)
                    .at(Place::key(v.key(worst.field)))
                    .measured(worst.number, worst.limit, "m"),
            );
        }
    }
    out
}
