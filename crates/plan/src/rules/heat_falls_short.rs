use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "heat-falls-short", judge };

/// A heater or chiller holds what is wanted within this \[K\].
const SLACK: f64 = 0.7;

fn judge(s: &Survey) -> Vec<Finding> {
    let (Some(c), Some(hold)) = (&s.climate, &s.rig.warmth.hold) else { return Vec::new() };
    let u = s.units();
    let wanted = hold.get().value;
    let (low, high) = c.likely.temperature_span();
    let off = (wanted - low).max(high - wanted);
    let place = Place::key("heat.hold");
    if off <= SLACK {
        let words = format!(
            "The water is held at {} within {off:.1} K; heating takes {:.2} kWh a day, cooling {:.2}.",
            u.temperature(wanted),
            c.likely.held_j[0] / 3.6e6,
            c.likely.held_j[1] / 3.6e6
        );
        let f = Finding::new(Severity::Good, RULE.name, "The temperature is held", words);
        return vec![f.at(place).measured(off, SLACK, "K")];
    }
    let words = format!(
        "{} are wanted; the water runs from {} to {}. To hold it takes a heater of {:.0} W and a chiller that takes out {:.0} W in the worst hour, a third to spare.",
        u.temperature(wanted),
        u.temperature(low),
        u.temperature(high),
        c.needs.heater_w,
        c.needs.chiller_w
    );
    vec![
        Finding::new(Severity::Care, RULE.name, "The temperature is not held", words)
            .at(place)
            .measured(off, SLACK, "K")
            .mend("Insulate first; then a heater or chiller of that power, on the residual-current device, with a drip loop."),
    ]
}
