use super::Rule;
use crate::fit::judged::{Words, findings};
use crate::survey::Survey;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "return-sags", judge };

const WORDS: Words = Words {
    rule: RULE.name,
    bad: "The return hardly falls",
    good: "The return falls all the way",
    way: "Shorten it, or support it so that it falls 20 mm in a metre without a sag.",
    is_fall: true,
};

/// A level hose holds water and roots.
fn judge(s: &Survey) -> Vec<Finding> {
    findings(s, &WORDS, |_, _| Severity::Note)
}
