use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "feed-bend", judge };

/// Soft hose kinks under five outside diameters; its wall is about a tenth of the bore on each
/// side. Common practice, no source.
const DIAMETERS: f64 = 5.0;
const OUTSIDE_OVER_BORE: f64 = 1.2;

fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.rig
        .pumps
        .iter()
        .enumerate()
        .filter_map(|(i, p)| {
            let branches = s.rig.trays_of(i).filter_map(|(_, t)| t.branch.as_ref().map(|b| &b.hose));
            let bends = [&p.feed].into_iter().chain(branches).filter_map(|h| {
                let least = DIAMETERS * OUTSIDE_OVER_BORE * h.bore.get().value;
                h.bend_radius.as_ref().map(|r| (r.get().value, least))
            });
            let (radius, least) = bends.min_by(|a, b| (a.0 / a.1).total_cmp(&(b.0 / b.1)))?;
            let words =
                format!("The tightest bend has a radius of {}; this hose wants {}.", u.length(radius), u.length(least));
            let f = if radius < least {
                Finding::new(Severity::Care, RULE.name, "The hose may kink", words)
                    .mend("Lay a wider bend, or put an elbow there.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Bends are wide enough", words)
            };
            Some(f.at(Place::key(s.rig.key_of_feed(i, "bend_radius"))).measured(radius, least, "m"))
        })
        .collect()
}
