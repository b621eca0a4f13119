use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

use tidewright_rig::units::{clock, duration};
use tidewright_sim::roots::SHORT;

pub(super) const RULE: Rule = Rule { name: "night-flood", judge };

/// Whether floods in the dark are needed, or there.
fn judge(s: &Survey) -> Vec<Finding> {
    let g = &s.rig.growing;
    let night_s = 86_400.0 - g.lit.get().value;
    if night_s < 3600.0 {
        return Vec::new();
    }
    s.each()
        .filter_map(|v| {
            let (_, dry, _) = v.blocks()?;
            let starts = v.tray.schedule.starts.borrowed();
            let dark: Vec<String> = starts.iter().filter(|t| !g.is_lit(**t)).map(|t| clock(*t)).collect();
            let keeps = dry.course.iter().all(|m| m.supplied >= SHORT);
            let place = Place::key(v.key("floods"));
            let at_night = dry.course.iter().filter(|m| !g.is_lit(m.t_s - 1.0)).map(|m| m.supplied).fold(1.0, f64::min);
            let f = if dark.is_empty() && at_night < SHORT {
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "The night dries the blocks",
                    format!(
                        "{}In {} of dark roots fall to {:.0} % of their water at the dry end.",
                        v.who(),
                        duration(night_s),
                        100.0 * at_night.max(0.0)
                    ),
                )
                .mend("One flood in the middle of the night.")
            } else if !dark.is_empty() && dark.len() < starts.len() && keeps && dry.lasts_s > night_s + 3600.0 {
                let lasts =
                    if dry.lasts_s.is_finite() { duration(dry.lasts_s) } else { "two weeks and more".to_owned() };
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "A flood at night is not needed",
                    format!("{}One flood lasts {lasts} even at the dry end; {} in the dark.", v.who(), said(&dark)),
                )
                .mend("Leave it out: tops dry off at night, and roots get more air.")
            } else {
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The night is as it should be",
                    format!(
                        "{}{} in {} of dark.",
                        v.who(),
                        if dark.is_empty() {
                            "No flood is needed".to_owned()
                        } else {
                            format!("{} keeps the blocks wet", said(&dark))
                        },
                        duration(night_s)
                    ),
                )
            };
            Some(f.at(place).measured(at_night, SHORT, "-"))
        })
        .collect()
}

/// A few times of day, or how many.
fn said(times: &[String]) -> String {
    if times.len() > 3 { format!("{} floods", times.len()) } else { times.join(", ") }
}
