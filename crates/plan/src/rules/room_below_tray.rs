use super::Rule;
use crate::fit::judged::{Words, findings};
use crate::survey::{Survey, View};
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "room-below-tray", judge };

const WORDS: Words = Words {
    rule: RULE.name,
    bad: "No room for the fitting below the tray",
    good: "Fitting and elbow have room below",
    way: "Raise the tray, lower the reservoir, or take a flatter elbow.",
    is_fall: false,
};

/// Fitting and elbow hang below the tray.
fn judge(s: &Survey) -> Vec<Finding> {
    findings(s, &WORDS, severity)
}

/// Nobody measured the fitting: then the number is worth a look, not more.
fn severity(v: &View<'_>, room_m: f64) -> Severity {
    match room_m {
        // Through the reservoir's wall it can be done.
        x if x < 0.0 => Severity::Care,
        x if x > 0.02 && v.tray.holes.below.is_assumed() => Severity::Note,
        _ => Severity::Stop,
    }
}
