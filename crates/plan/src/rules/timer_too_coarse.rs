use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

use tidewright_rig::units::duration;
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "timer-too-coarse", judge };

/// The timer's shortest step against the shortest flood that fills the tray, and against the time for which one lasts.
fn judge(s: &Survey) -> Vec<Finding> {
    let step = s.rig.timer.step.get().value;
    s.each()
        .filter_map(|v| {
            let (_, dry, _) = v.blocks()?;
            let fills = v.band(Figure::CrestWet).high;
            let fills = if fills.is_finite() { fills } else { return None };
            let needed = fills + 120.0;
            let place = Place::key("timer.step");
            let f = if dry.lasts_s < 2.0 * step {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The timer is too coarse for this stage",
                    format!(
                        "{}One flood lasts {} at the dry end and the timer's step is {}.",
                        v.who(),
                        duration(dry.lasts_s),
                        duration(step)
                    ),
                )
                .mend("A timer that sets single minutes, or a medium that holds more.")
            } else if step > 5.0 * needed {
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "Floods could be shorter than the timer can do",
                    format!(
                        "{}{} fill the tray and wet the blocks; the timer's step is {}.",
                        v.who(),
                        duration(needed),
                        duration(step)
                    ),
                )
                .mend("It costs pump hours and some air, no more. A digital timer sets single minutes.")
            } else {
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The timer is fine enough",
                    format!("{}Its step is {}, a flood wants {} at least.", v.who(), duration(step), duration(needed)),
                )
            };
            Some(f.at(place).measured(step, 5.0 * needed, "s"))
        })
        .collect()
}
