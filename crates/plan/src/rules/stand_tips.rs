use super::Rule;
use crate::stand::{self, LEAN_N};
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "stand-tips", judge };

/// A push at rim height that tips a stand, empty: that is when it happens.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let x = stand::of(&s.rig, v.index)?;
            let [full, empty] = x.tips_n;
            let words = format!(
                "{}At rim height {empty:.0} N tip it empty, {full:.0} N with wet blocks; a person who leans gives {LEAN_N:.0} N.",
                v.who()
            );
            let f = if s.rig.stand.as_ref().is_some_and(|st| st.tied.get()) {
                Finding::new(Severity::Note, RULE.name, "Tied to the wall", words)
                    .mend("Look at the tie once a year; a wall of plasterboard holds only at its studs.")
            } else if empty < LEAN_N {
                Finding::new(Severity::Note, RULE.name, "A lean tips it when it is empty", words)
                    .mend("Tie it to a wall, or widen its base; keep children from it.")
            } else {
                Finding::new(Severity::Note, RULE.name, "It takes a push to tip it", words)
                    .mend("Tie it to a wall all the same: free water shifts to the low side.")
            };
            Some(f.at(Place::key("stand.tied")).measured(empty, LEAN_N, "N"))
        })
        .collect()
}
