use super::Rule;
use crate::fit::judged::{Words, findings};
use crate::survey::Survey;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "hole-near-wall", judge };

const WORDS: Words = Words {
    rule: RULE.name,
    bad: "A fitting too near the wall",
    good: "Fittings have flat floor around them",
    way: "A flange seals on flat floor only: move the hole in, or take a smaller fitting.",
    is_fall: false,
};

/// A flange seals on flat floor only.
fn judge(s: &Survey) -> Vec<Finding> {
    findings(s, &WORDS, |_, to_wall| if to_wall < 0.0 { Severity::Stop } else { Severity::Care })
}
