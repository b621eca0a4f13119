use super::Rule;
use crate::survey::Survey;
use tidewright_physics::quantity::m;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "crop-outdrinks-reservoir", judge };

/// Days that a bench should run between two top-ups. Common practice, no source.
const DAYS: f64 = 2.0;

/// What stands over the pump's inlet at the lowest moment of the day, against what crop and tops take in a day.
fn judge(s: &Survey) -> Vec<Finding> {
    let Some(crop) = &s.crop else { return Vec::new() };
    if crop.days().next().is_none() {
        return Vec::new();
    }
    let u = s.units();
    let of = |days: &[Option<tidewright_sim::roots::RootDay>]| {
        days.iter().flatten().map(|d| d.drunk_m3 + d.evaporated_m3).sum::<f64>()
    };
    let (likely, most) = (of(&crop.likely), of(&crop.dry).max(of(&crop.likely)));
    let r = &s.rig.reservoir;
    let shape = &r.shape;
    let prime = s.rig.pumps.iter().map(|p| p.prime_depth.get().value).fold(0.0, f64::max);
    // The day's run has drunk its own day already.
    let lowest = s.day.lowest_reservoir_m;
    let spare = shape.volume(m(lowest)).value - shape.volume(m(prime)).value;
    let place = Place::key("reservoir.fill");
    if matches!(r.top_up, tidewright_rig::bench::TopUp::FloatValve { .. }) {
        let words = format!("The crop takes {} a day; the float valve brings it.", u.sip(likely));
        return vec![Finding::new(Severity::Good, RULE.name, "The float valve keeps up", words).at(place)];
    }
    let days = 1.0 + spare / most.max(1e-12);
    let until = match days {
        d if d < 1.0 => "the pump draws air on the first day".to_owned(),
        d if d < 2.0 => "that lasts a day until the pump draws air".to_owned(),
        d => format!("that lasts {:.0} days until the pump draws air", d.floor().min(999.0)),
    };
    let words =
        format!("The crop and the tops take {} a day, {} on a thirsty one; {until}.", u.sip(likely), u.sip(most));
    let f = if days < 1.0 {
        Finding::new(Severity::Care, RULE.name, "The reservoir is empty within a day", words)
            .mend("Fill higher, take a larger reservoir, or let a float valve top up from a small tank.")
    } else if days < DAYS + 1.0 {
        Finding::new(Severity::Note, RULE.name, "The reservoir must be topped up every day", words)
            .mend("Somebody must be there every day, or a larger reservoir.")
    } else {
        Finding::new(Severity::Good, RULE.name, "The reservoir lasts for days", words)
    };
    vec![f.at(place).measured(days, DAYS, "d")]
}
