use super::Rule;
use crate::climate::siphon;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "air-pump-below-water", judge };

/// A pump that stops below the water turns its line into a siphon.
fn judge(s: &Survey) -> Vec<Finding> {
    let Some(a) = &s.rig.aeration else { return Vec::new() };
    let u = s.units();
    let x = siphon(&s.rig, a, s.day.highest_reservoir_m);
    let place = Place::key("air.height");
    if x.head_m <= 0.0 {
        let words = format!(
            "The highest point of the air line lies {} over the highest that water can stand.",
            u.length((-x.head_m).max(0.0))
        );
        return vec![Finding::new(Severity::Good, RULE.name, "The air line cannot run back", words).at(place)];
    }
    let runs = if x.flow_m3_s > 0.0 {
        format!("{} run out through it", u.flow(x.flow_m3_s))
    } else {
        "the reservoir runs out through it as soon as a port is open".into()
    };
    let words = format!(
        "The air pump and its line lie {} below the highest water: when the pump stops, {runs}.",
        u.length(x.head_m)
    );
    let (severity, words) = if x.valve {
        (Severity::Care, format!("{words} Only its check valve keeps it, and valves stick."))
    } else {
        (Severity::Stop, words)
    };
    vec![
        Finding::new(severity, RULE.name, "The air line would empty the reservoir", words)
            .at(place)
            .measured(x.head_m, 0.0, "m")
            .mend("Put the pump above the water, or lay a loop of its line over it, and a check valve besides: valves stick, so not the valve alone."),
    ]
}
