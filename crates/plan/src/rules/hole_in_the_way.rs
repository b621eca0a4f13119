use super::Rule;
use crate::fit::judged::{Words, findings};
use crate::survey::{Survey, View};
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "hole-in-the-way", judge };

const WORDS: Words = Words {
    rule: RULE.name,
    bad: "A hole in the way of something",
    good: "Holes are clear of rails, ribs and each other",
    way: "Move the hole, or the rail. Mark it on the tray where it stands on its stand, before anything is cut.",
    is_fall: false,
};

/// A fitting against rails of the stand, ribs of the mould, and the other fitting.
fn judge(s: &Survey) -> Vec<Finding> {
    findings(s, &WORDS, |v, _| severity(v))
}

/// Holes that nobody placed can still be moved on paper.
fn severity(v: &View<'_>) -> Severity {
    let nobody = v.tray.feed_at.0.is_assumed() && v.tray.drain_at.0.is_assumed();
    let rails = v.survey.rig.stand.as_ref().is_none_or(|s| s.rail_at.is_assumed());
    if nobody && rails { Severity::Note } else { Severity::Stop }
}
