use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "feed-high-point", judge };

/// A hose that rises above its own end holds air; a pump that has drawn air may not push it out.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    let mut out = Vec::new();
    for (i, p) in s.rig.pumps.iter().enumerate() {
        let branches = s.rig.trays_of(i).filter_map(|(_, t)| t.branch.as_ref()?.hose.high_point.as_ref());
        let Some(high) = p.feed.high_point.iter().chain(branches).map(|h| h.get().value).max_by(f64::total_cmp) else {
            continue;
        };
        let (_, factor) = p.speed_factors(s.rig.site.mains_frequency.get());
        // What the pump really lifts, its derating allowed for (head goes with the root of the flow).
        let head = p.curve.borrowed().max_head().value * factor * p.as_sold.get().median().sqrt();
        let surface = s.rig.reservoir.elevation.get().value + s.day.lowest_reservoir_m;
        let end =
            s.rig.trays_of(i).map(|(_, t)| (t.elevation.get() + t.outlet_height()).value).fold(f64::MIN, f64::max);
        let place = Place::key(s.rig.key_of_feed(i, "high_point"));
        if high - surface >= head {
            out.push(
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "The hose climbs higher than the pump can push",
                    format!(
                        "Its highest point is {} above the water; the pump lifts {}.",
                        u.distance(high - surface),
                        u.distance(head)
                    ),
                )
                .at(place)
                .measured(high - surface, head, "m")
                .mend("Lay the hose so that it rises all the way to its end and no higher."),
            );
        } else if high > end + 0.03 {
            out.push(
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "The hose has a high point",
                    format!("It climbs {} above its end: air gathers there and can lock the pump after it has run dry.", u.length(high - end)),
                )
                .at(place)
                .measured(high, end, "m")
                .mend("Let it rise all the way, or drill a 3 mm vent hole in the highest place, inside the reservoir or over the tray."),
            );
        }
    }
    out
}
