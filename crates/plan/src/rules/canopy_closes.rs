use super::Rule;
use crate::space;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "canopy-closes", judge };

/// When plants of a tray touch: wanted for short bushy plants, the day to respace or harvest for heads.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let c = space::closure(&s.rig, v.index)?;
            let words = format!(
                "{}{:.0} plants have a square of {} each; a full plant of {} is {} across.",
                v.who(),
                c.plants,
                u.length(c.room_m),
                s.rig.growing.crop.name,
                u.length(c.across_m)
            );
            let growing = s.rig.growing.crop.span(tidewright_rig::bench::Stage::Growing).0;
            let f = match c.day {
                Some(d) if d < growing => {
                    let words = format!("{words} They touch about day {d:.0}, before they grow in earnest.");
                    Finding::new(Severity::Note, RULE.name, "Leaves meet early", words)
                        .mend("Respace them by then, or take fewer: plants that touch early stretch.")
                }
                Some(d) => {
                    let words = format!("{words} They touch about day {d:.0}: good for short bushy plants; heads are respaced or cut by then.");
                    Finding::new(Severity::Good, RULE.name, "Leaves meet in an even canopy", words)
                }
                None => Finding::new(Severity::Good, RULE.name, "Plants have room to the end", words),
            };
            Some(f.at(Place::key(v.key("blocks.count"))).measured(c.across_m, c.room_m, "m"))
        })
        .collect()
}
