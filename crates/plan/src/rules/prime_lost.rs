use super::Rule;
use crate::advice;
use crate::survey::Survey;
use tidewright_physics::quantity::m;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "prime-lost", judge };

/// The reservoir may never fall to the depth at which a pump draws air.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let lost_today = s.day.any(EventKind::PrimeLost);
    let lost = lost_today || s.trays.iter().any(|t| t.flood.any(EventKind::PrimeLost));
    let low = s
        .trays
        .iter()
        .map(|t| t.bands.get(Figure::LowestReservoir).low)
        .chain([s.day.lowest_reservoir_m])
        .fold(f64::MAX, f64::min);
    let prime = s.rig.pumps.iter().map(|p| p.prime_depth.get().value).fold(0.0, f64::max);
    let place = Place::key("reservoir.fill");
    let floor = s.trays.iter().map(|t| t.flood.on_the_floor_m3()).fold(s.day.on_the_floor_m3(), f64::max);
    if lost && floor > 1e-3 {
        return vec![
            Finding::new(
                Severity::Stop,
                RULE.name,
                "The pump draws air",
                format!("{} run onto the floor, and what is left does not cover the pump.", u.volume(floor)),
            )
            .at(place)
            .measured(low, prime, "m")
            .mend("Mend the overflow first: the water is there, but not in the reservoir."),
        ];
    }
    if lost {
        let lines = advice::fill_lines(s);
        let say = format!("Fill to {} or more at rest", u.volume(lines.lowest_m3));
        let f = Finding::new(
            Severity::Stop,
            RULE.name,
            "The pump draws air",
            format!(
                "With {} at rest the water falls to {}, where the pump loses its prime; it may not come back by itself.",
                u.volume(s.rig.reservoir.fill.get().value),
                u.length(prime)
            ),
        )
        .at(place)
        .measured(low, prime, "m");
        let room = s.rig.reservoir.spill_volume().value;
        return vec![if lines.lowest_m3 < room {
            let litres = (lines.lowest_m3 * 1e3).ceil();
            f.mend_by(say, "", Change { path: "reservoir.fill".into(), value: format!("\"{litres} L\"") })
        } else {
            f.mend(
                "The reservoir is too small for this flood: take a larger one, a lower crest, or fewer trays at once.",
            )
        }];
    }
    let left = low - prime;
    let words = format!("Lowest water {}, {} above where the pump draws air.", u.length(low), u.length(left));
    vec![
        if left < 1e-4 {
            Finding::new(
                Severity::Care,
                RULE.name,
                "The pump may draw air",
                format!(
                    "At the band's low end the water falls to {}; the pump draws air at {}.",
                    u.length(low),
                    u.length(prime)
                ),
            )
            .mend(format!("Fill to {} or more at rest.", u.volume(advice::fill_lines(s).lowest_m3)))
        } else {
            Finding::new(Severity::Good, RULE.name, "The pump keeps its prime", words)
        }
        .at(place)
        .measured(m(low).value, prime, "m"),
    ]
}
