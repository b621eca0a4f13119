use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::{Supply, TopUp};
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Scenario, run};

pub(super) const RULE: Rule = Rule { name: "float-valve-opens", judge };

/// A float valve above the lowest flooded level opens at each flood; all that it lets in comes on
/// top when the trays drain. From the mains it never ends.
fn judge(s: &Survey) -> Vec<Finding> {
    let TopUp::FloatValve { height, supply, .. } = &s.rig.reservoir.top_up else { return Vec::new() };
    let u = s.units();
    // With the valve shut off: what the floods alone do to the level.
    let mut shut = s.rig.clone();
    shut.reservoir.top_up = TopUp::ByHand;
    let brief = Options { keep: Keep::Events, ..Options::default() };
    let low = run(&shut, &Scenario { options: brief, ..Scenario::day(&shut) }).lowest_reservoir_m;
    let place = Place::key("reservoir.float_height");
    let room = (s.rig.reservoir.spill_volume() - s.rig.reservoir.fill.get()).value;
    let added = s.day.topped_up_m3;
    let opens = low < height.get().value;
    let f = match supply {
        _ if !opens => Finding::new(
            Severity::Good,
            RULE.name,
            "The float valve stays shut during floods",
            format!("It shuts at {}; the lowest flooded water is {}.", u.length(height.get().value), u.length(low)),
        ),
        Supply::Tank(t) if t.get().value <= room => Finding::new(
            Severity::Note,
            RULE.name,
            "The float valve opens at each flood",
            format!("Its tank of {} is no larger than the {} of spare room, so nothing can run over.", u.volume(t.get().value), u.volume(room)),
        )
        .mend("Set the float below the lowest flooded water."),
        _ => Finding::new(
            Severity::Stop,
            RULE.name,
            "Each flood opens the float valve",
            format!("The flood lowers the water to {}, the float shuts at {}: {} come in a day and stand on top of {} when the trays drain.", u.length(low), u.length(height.get().value), u.volume(added), u.volume(s.rig.reservoir.fill.get().value)),
        )
        .mend(format!("Set the float below {}, or fill from a tank no larger than {}.", u.length(low), u.volume(room.max(0.0)))),
    };
    vec![f.at(place).measured(low, height.get().value, "m")]
}
