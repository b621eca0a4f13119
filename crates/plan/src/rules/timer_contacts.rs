use super::Rule;
use crate::power::{self, CONTACT_PEAK};
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "timer-contacts", judge };

/// What a timer's contacts bear: running current, and the peak of a driver or a motor.
fn judge(s: &Survey) -> Vec<Finding> {
    if !s.rig.mains.stated {
        return Vec::new();
    }
    let rated = s.rig.mains.timer_rating.get().value;
    let e = power::of(&s.rig);
    let one = |by: &'static str| {
        let own: Vec<_> = e.loads.iter().filter(|l| l.switched_by == by).collect();
        // Every pump hangs on a timer of its own; lamps share one.
        let (run, peak) = own.iter().fold((0.0f64, 0.0f64), |x, l| {
            if by == "flood timer" {
                (x.0.max(l.current_a), x.1.max(l.peak_a))
            } else {
                (x.0 + l.current_a, x.1 + l.peak_a)
            }
        });
        if own.is_empty() {
            return None;
        }
        let words = format!(
            "The {by} switches {run:.2} A with a peak of {peak:.0} A; its contacts are taken for {rated:.1} A of motor or lamp and peaks of {:.0} A.",
            CONTACT_PEAK * rated
        );
        // Nobody read the timer's plate: then it is a reason to read it.
        let over = if s.rig.mains.timer_rating.is_assumed() { Severity::Care } else { Severity::Stop };
        let f = if run > rated {
            Finding::new(over, RULE.name, "Too much for the timer", words)
                .mend("Let the timer switch a contactor, or take one that is rated for it; an electrician fits it.")
        } else if peak > CONTACT_PEAK * rated {
            Finding::new(Severity::Care, RULE.name, "Inrush may weld the timer's contacts", words)
                .mend("Let it switch a contactor, or start the lamps one after the other. A stuck lamp costs sleep, a stuck pump water.")
        } else {
            Finding::new(Severity::Good, RULE.name, "The timer's contacts bear it", words)
        };
        Some(f.at(Place::key("power.timer_rating")).measured(run.max(peak / CONTACT_PEAK), rated, "A"))
    };
    ["flood timer", "lamp timer"].into_iter().filter_map(one).collect()
}
