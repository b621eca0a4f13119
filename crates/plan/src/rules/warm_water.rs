use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "warm-water", judge };

/// Above 26 °C water holds little oxygen and roots use more. Common practice, no source.
const WARM: f64 = 273.15 + 26.0;

fn judge(s: &Survey) -> Vec<Finding> {
    let t = s.rig.site.water_temperature.get().value;
    let u = s.units();
    let place = Place::key("site.water_temperature");
    let words = format!("The water is {}; up to {} is usual.", u.temperature(t), u.temperature(WARM));
    vec![
        if t > WARM {
            Finding::new(Severity::Care, RULE.name, "Warm water", words)
                .mend("Shade the reservoir, insulate it, or cool it.")
        } else {
            Finding::new(Severity::Good, RULE.name, "Water is cool enough", words)
        }
        .at(place)
        .measured(t, WARM, "K"),
    ]
}
