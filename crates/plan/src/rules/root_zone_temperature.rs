use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "root-zone-temperature", judge };

/// Beyond these most crops suffer \[K\]. Source: Bar-Yosef (2008), as quoted in a review: avoid under 18 and over 28 °C at the
/// roots; 15 where the crop itself likes it cool, from memory.
const COLD: f64 = 273.15 + 15.0;
const HOT: f64 = 273.15 + 28.0;

/// Water temperature through the day against what the crop's roots like.
fn judge(s: &Survey) -> Vec<Finding> {
    let Some(c) = &s.climate else { return Vec::new() };
    let u = s.units();
    let (low, high) = c.likely.temperature_span();
    let [from, to] = s.rig.growing.crop.habit.root_degc.map(|t| t + 273.15);
    let mean = c.likely.mean_k();
    let words = format!(
        "The reservoir runs from {} to {} through the day; for {} {} to {} are right.",
        u.temperature(low),
        u.temperature(high),
        s.rig.growing.crop.name,
        u.temperature(from),
        u.temperature(to)
    );
    let f = if high > HOT {
        Finding::new(Severity::Care, RULE.name, "Roots stand too warm", words)
            .mend("Insulate it, shade it, light by night, keep pumps out of it; a chiller last.")
    } else if low < COLD {
        Finding::new(Severity::Care, RULE.name, "Roots stand too cold", words)
            .mend("Insulate it, lift it off a cold floor, or hang a heater into it.")
    } else if mean < from - 1.0 || mean > to + 1.0 {
        Finding::new(Severity::Note, RULE.name, "Not what these roots like best", words)
            .mend("It costs growth, not plants: insulate, heat or cool if it pays.")
    } else {
        Finding::new(Severity::Good, RULE.name, "Roots stand at the temperature they like", words)
    };
    let (number, limit) = match () {
        () if high > HOT => (high, HOT),
        () if low < COLD => (low, COLD),
        () if mean > to => (mean, to),
        () => (mean, from),
    };
    vec![f.at(Place::key("room.day")).measured(number, limit, "K")]
}
