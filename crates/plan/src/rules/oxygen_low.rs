use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "oxygen-low", judge };

/// Look after it below this, and hardly any root grows below that \[mg/L\]. From memory; lettuce grew alike from 2.1 to 16.8.
const LOOK_AFTER: f64 = 5.0;
const HARDLY: f64 = 3.0;

/// Oxygen of the reservoir over the day, at the end with least: there nothing is counted that falling water may bring.
fn judge(s: &Survey) -> Vec<Finding> {
    let Some(c) = &s.climate else { return Vec::new() };
    // Roots in a bed of grains are not reckoned: then nothing is said.
    if c.failures.is_empty() {
        return Vec::new();
    }
    let (low, likely) = (c.low.oxygen_span().0, c.likely.oxygen_span().0);
    let held = c.likely.course.iter().map(|m| m.saturation_mg_l).fold(f64::INFINITY, f64::min);
    let blown = c.blown.is_some();
    let words = format!(
        "The reservoir holds {likely:.1} mg/L of oxygen at the least ({low:.1} at the low end); its water could hold {held:.1}."
    );
    let f = if low >= LOOK_AFTER {
        Finding::new(Severity::Good, RULE.name, "The reservoir has oxygen", words)
    } else if blown && low < HARDLY {
        Finding::new(Severity::Care, RULE.name, "The air does not reach", words)
            .mend("More air, a stone at the lowest point, cooler water; or measure: read oxygen in the morning before the light.")
    } else {
        let more = if blown {
            ""
        } else {
            " Nothing blows air here; half of what falling water may bring is in the likely number and none in the low one: on many benches it is enough."
        };
        Finding::new(Severity::Note, RULE.name, "Oxygen may run low in the reservoir", format!("{words}{more}"))
            .mend("Let the return fall freely, or hang an air stone into it; read oxygen once before the light goes on and you know.")
    };
    let place = Place::key(if blown { "air.open_flow" } else { "reservoir.lid" });
    vec![f.at(place).measured(low, LOOK_AFTER, "mg/L")]
}
