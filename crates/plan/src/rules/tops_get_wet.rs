use super::Rule;
use crate::advice;
use crate::survey::Survey;
use tidewright_physics::quantity::m;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "tops-get-wet", judge };

/// Half an inch of dry block above the highest water (common practice: 10–15 mm). Water below the
/// top does not by itself keep a wicking medium dry.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let (top, what) = match (v.tops(), &v.tray.bed) {
                (Some(t), _) => (t.value, "blocks are"),
                (None, Some(b)) => (b.depth.get().value, "bed is"),
                (None, None) => return None,
            };
            let u = s.units();
            let b = v.band(Figure::HighestWater);
            let words = format!(
                "{}Water stands {} while the pump runs, {} at the high end; the {what} {}.",
                v.who(),
                u.length(b.likely),
                u.length(b.high),
                u.length(top)
            );
            let path = v.key("drain.crest");
            let place = Place::key(path.clone());
            let margin = top - b.high;
            let offer = |f: Finding| match advice::riser(&v).filter(|a| a.holds && a.crest_m < a.present_crest_m) {
                Some(a) => {
                    let left = top - a.crest_m - a.head_high_m;
                    let value = advice::typed_length(u, m(a.crest_m));
                    f.mend_by(
                        format!("Lower the crest to {}", u.length(a.crest_m)),
                        format!("{} dry at the high end", u.length(left)),
                        Change { path, value },
                    )
                }
                None => f.mend("Lower the crest, throttle the pump, or take a wider riser."),
            };
            let f = if b.likely > top {
                offer(Finding::new(Severity::Care, RULE.name, "Water stands over the top", words))
            } else if b.high > top {
                offer(Finding::new(Severity::Care, RULE.name, "The top may get wet", words))
            } else if margin < 0.010 {
                offer(Finding::new(Severity::Note, RULE.name, "Little dry height above the water", words))
            } else if v.tray.blocks.as_ref().is_some_and(|b| b.medium.wicks) {
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The flood stays below the tops",
                    format!("{words} This medium draws water up all the same: cover what light reaches."),
                )
            } else {
                Finding::new(Severity::Good, RULE.name, "The top stays dry", words)
            };
            Some(f.at(place).measured(b.high, top, "m"))
        })
        .collect()
}
