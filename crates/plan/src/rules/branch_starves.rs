use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::Valve;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "branch-starves", judge };

/// Trays on one manifold should reach their crests within a factor of two of each other.
const SPREAD: f64 = 2.0;

fn judge(s: &Survey) -> Vec<Finding> {
    let mut out = Vec::new();
    for p in 0..s.rig.pumps.len() {
        let together: Vec<_> = s
            .each()
            .filter(|v| v.tray.pump == p)
            .filter(|v| v.tray.branch.as_ref().is_none_or(|b| matches!(b.valve, Valve::AlwaysOpen)))
            .collect();
        if together.len() < 2 {
            continue;
        }
        let time = |v: &crate::survey::View<'_>| v.band(Figure::CrestWet).likely;
        let Some(first) = together.iter().min_by(|a, b| time(a).total_cmp(&time(b))) else { continue };
        let Some(last) = together.iter().max_by(|a, b| time(a).total_cmp(&time(b))) else { continue };
        let place = Place::key(last.key("branch"));
        let (a, b) = (time(first), time(last));
        let clock = tidewright_rig::units::duration;
        out.push(if b.is_infinite() {
            Finding::new(
                Severity::Stop,
                RULE.name,
                "A tray gets too little",
                if a.is_infinite() {
                    format!("Neither {} nor {} is ever flooded to its crest.", first.tray.name, last.tray.name)
                } else {
                    format!("{} is flooded after {}; {} never is.", first.tray.name, clock(a), last.tray.name)
                },
            )
            .at(place)
            .mend("Throttle the nearest and lowest branches, widen the others, or give each tray its own turn.")
        } else if b > SPREAD * a {
            Finding::new(
                Severity::Note,
                RULE.name,
                "Trays on one manifold flood unevenly",
                format!("{} is flooded after {}, {} after {}.", first.tray.name, clock(a), last.tray.name, clock(b)),
            )
            .at(place)
            .measured(b / a, SPREAD, "-")
            .mend("Throttle the quick branch, or let the slow one set the minutes.")
        } else {
            Finding::new(
                Severity::Good,
                RULE.name,
                "The manifold feeds its trays alike",
                format!("Crests are wet after {} to {}.", clock(a), clock(b)),
            )
            .at(place)
            .measured(b / a, SPREAD, "-")
        });
    }
    out
}
