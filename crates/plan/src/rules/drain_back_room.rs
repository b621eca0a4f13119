use super::Rule;
use crate::advice;
use crate::survey::Survey;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;

pub(super) const RULE: Rule = Rule { name: "drain-back-room", judge };

/// Everything that is out must fit back in, media's drainage included.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let r = &s.rig.reservoir;
    let fill = r.fill.get();
    let spill = r.spill_volume();
    let below = (r.spill_height.get() - r.rest_depth()).value;
    let place = Place::key("reservoir.fill");
    let over = fill > spill
        || s.day.any(EventKind::ReservoirOverflow)
        || s.trays.iter().any(|t| t.flood.any(EventKind::ReservoirOverflow));
    let words = format!(
        "{} in a reservoir that spills at {}, {} below that at rest.",
        u.volume(fill.value),
        u.volume(spill.value),
        u.length(below.max(0.0))
    );
    vec![
        if over {
            let most = advice::fill_lines(s).highest_m3;
            let litres = (most * 1e3).floor();
            Finding::new(
                Severity::Stop,
                RULE.name,
                "The reservoir cannot take everything back",
                if fill > spill {
                    format!(
                        "{} at rest; its lowest hole or rim is reached at {}.",
                        u.volume(fill.value),
                        u.volume(spill.value)
                    )
                } else {
                    format!(
                        "It runs over during the day: {} at rest and what comes on top pass {}.",
                        u.volume(fill.value),
                        u.volume(spill.value)
                    )
                },
            )
            .mend_by(
                format!("Fill to {} at rest", u.volume(most)),
                "",
                Change { path: "reservoir.fill".into(), value: format!("\"{litres} L\"") },
            )
        } else if below < 0.010 {
            Finding::new(Severity::Care, RULE.name, "Hardly room for what drains back", words)
                .mend("Draw the highest fill line a finger's width below the lowest hole.")
        } else {
            Finding::new(Severity::Good, RULE.name, "Everything can drain back", words)
        }
        .at(place)
        .measured(fill.value, spill.value, "m3"),
    ]
}
