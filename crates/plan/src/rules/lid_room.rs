use super::Rule;
use crate::fit::judged::{Words, findings};
use crate::survey::Survey;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "lid-room", judge };

const WORDS: Words = Words {
    rule: RULE.name,
    bad: "The lid cannot be lifted",
    good: "Lid and pump can be lifted out",
    way: "Raise the stand, or let the reservoir slide out on a board: empty, never full.",
    is_fall: false,
};

/// Every week somebody cleans the pump.
fn judge(s: &Survey) -> Vec<Finding> {
    findings(s, &WORDS, |_, _| Severity::Care)
}
