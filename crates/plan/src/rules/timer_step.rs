use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::TimerKind;
use tidewright_rig::finding::Place;
use tidewright_rig::units::{clock, duration};
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "timer-step", judge };

/// Starts and minutes must lie on the steps that the timer has.
fn judge(s: &Survey) -> Vec<Finding> {
    let step = s.rig.timer.step.get().value;
    let off = |t: f64| {
        let r = t.rem_euclid(step);
        r > 0.5 && step - r > 0.5
    };
    let mut out = Vec::new();
    for v in s.each() {
        let run = v.tray.schedule.run.get().value;
        let by_clock = s.rig.timer.kind.get() != TimerKind::Interval;
        let odd: Vec<String> =
            v.tray.schedule.starts.borrowed().iter().filter(|t| by_clock && off(**t)).map(|t| clock(*t)).collect();
        let place = Place::key("timer.step");
        if off(run) || run < step {
            out.push(
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The timer cannot run that long",
                    format!("{}{} is no whole number of its steps of {}.", v.who(), duration(run), duration(step)),
                )
                .at(place)
                .measured(run, step, "s")
                .mend("Round the minutes to the timer's steps, or take a digital timer."),
            );
        } else if !odd.is_empty() {
            out.push(
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "Starts between the timer's steps",
                    format!("{}{} cannot be set in steps of {}.", v.who(), odd.join(", "), duration(step)),
                )
                .at(place)
                .mend("Move them to the next step."),
            );
        } else {
            out.push(
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The timer can do it",
                    format!("{}Starts and minutes lie on its steps of {}.", v.who(), duration(step)),
                )
                .at(place),
            );
        }
    }
    out
}
