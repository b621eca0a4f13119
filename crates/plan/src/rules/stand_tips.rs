use super::Rule;
use crate::stand::{self, LEAN_N};
use crate::survey::Survey;
use tidewright_rig::bench::Along;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

/// Less than this is a touch \[N\]. Common practice, no source.
const TOUCH_N: f64 = 50.0;

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
            if let Some(f) = off_its_rails(s, v.index, &v.who()) {
                return Some(f);
            }
            let f = if s.rig.stand.as_ref().is_some_and(|st| st.tied.get()) {
                Finding::new(Severity::Note, RULE.name, "Tied to the wall", words)
                    .mend("Look at the tie once a year; a wall of plasterboard holds only at its studs.")
            } else if full < TOUCH_N {
                Finding::new(Severity::Care, RULE.name, "A touch tips it", words)
                    .mend("Tie it to a wall before anything stands on it, or widen its base; keep children from it.")
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

/// A tray whose middle lies outside of its outer rails.
fn off_its_rails(s: &Survey, tray: usize, who: &str) -> Option<Finding> {
    let st = s.rig.stand.as_ref()?;
    let (l, w) = s.rig.trays[tray].floor();
    let across = if st.along.get() == Along::Length { w } else { l };
    let rails = st.rail_at.borrowed();
    let (first, last) = rails.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |r, x| (r.0.min(*x), r.1.max(*x)));
    let middle = 0.5 * across.value;
    let inside = (middle - first).min(last - middle);
    if inside > 0.0 {
        return None;
    }
    let u = s.units();
    let words = format!(
        "{who}The rails lie between {} and {} of the floor's edge, the tray's middle at {}.",
        u.length(first),
        u.length(last),
        u.length(middle)
    );
    Some(
        Finding::new(Severity::Stop, RULE.name, "The tray falls off its rails", words)
            .mend("Lay a rail under each half of the tray, a fifth of its width from its edges.")
            .at(Place::key("stand.rail_at"))
            .measured(inside, 0.0, "m"),
    )
}
