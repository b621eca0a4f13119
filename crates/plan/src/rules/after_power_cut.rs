use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::AfterPowerCut;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "after-power-cut", judge };

/// What the timer does when the power comes back.
fn judge(s: &Survey) -> Vec<Finding> {
    let (severity, title, words) = match s.rig.timer.after_power_cut.get() {
        AfterPowerCut::KeepsTime => {
            (Severity::Good, "The timer keeps its time", "After a power cut the program goes on at the right hours.")
        }
        AfterPowerCut::LosesTime => (
            Severity::Note,
            "The timer loses time in a power cut",
            "Every flood then comes late by the length of the cut, into the night if it was long.",
        ),
        AfterPowerCut::StartsOver => (
            Severity::Note,
            "The timer starts over after a power cut",
            "The pump may run as soon as the power is back, on a tray that is still flooded.",
        ),
    };
    let f = Finding::new(severity, RULE.name, title, words).at(Place::key("timer.after_power_cut"));
    vec![if severity == Severity::Good {
        f
    } else {
        f.mend("Look at its clock after each cut, or take one with a battery.")
    }]
}
