//! Checks of one kind as findings.

use super::checks;
use crate::survey::{Survey, View};
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

/// What a rule says of its checks.
pub(crate) struct Words {
    /// Name of the rule.
    pub(crate) rule: &'static str,
    /// Where one does not hold.
    pub(crate) bad: &'static str,
    /// Where all hold.
    pub(crate) good: &'static str,
    /// What to do.
    pub(crate) way: &'static str,
    /// Whether the number is a fall over a length (or a length).
    pub(crate) is_fall: bool,
}

/// A finding for each check that does not hold, or one that all do; `severity`: of a tray's worst check.
pub(crate) fn findings(s: &Survey, w: &Words, severity: impl Fn(&View<'_>, f64) -> Severity) -> Vec<Finding> {
    let u = s.units();
    let say = |x: f64| if w.is_fall { u.fall(x) } else { u.length(x) };
    let unit = if w.is_fall { "-" } else { "m" };
    let all = checks(&s.rig);
    let mut out = Vec::new();
    for v in s.each() {
        let own: Vec<_> = all.iter().filter(|c| c.rule == w.rule && c.tray == v.index).collect();
        let Some(worst) = own.iter().min_by(|a, b| (a.number - a.limit).total_cmp(&(b.number - b.limit))) else {
            continue;
        };
        let told = |c: &super::Check, severity: Severity, title: &str| {
            let words = format!("{}{}: {}, where {} are needed.", v.who(), c.what, say(c.number), say(c.limit));
            Finding::new(severity, w.rule, title, words)
                .at(Place::key(v.key(c.field)))
                .measured(c.number, c.limit, unit)
        };
        if worst.holds() {
            out.push(told(worst, Severity::Good, w.good));
        }
        let severity = severity(&v, worst.number);
        out.extend(own.iter().filter(|c| !c.holds()).map(|c| told(c, severity, w.bad).mend(w.way)));
    }
    out
}
