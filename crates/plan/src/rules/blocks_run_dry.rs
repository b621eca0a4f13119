use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

use tidewright_rig::units::duration;
use tidewright_sim::roots::SHORT;

pub(super) const RULE: Rule = Rule { name: "blocks-run-dry", judge };

/// Longer than this at half of its demand a crop wilts each day \[s\]. Common practice, no source.
const WILTS_S: f64 = 4.0 * 3600.0;

/// Whether every flood comes before the roots are short of water: likely, and at the dry end.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let (day, dry, _) = v.blocks()?;
            let u = s.units();
            let place = Place::key(v.key("floods"));
            let least = |d: &tidewright_sim::roots::RootDay| d.course.iter().map(|m| m.supplied).fold(1.0, f64::min);
            let short_s: f64 = {
                let from = std::iter::once(0.0).chain(day.course.iter().map(|m| m.t_s));
                from.zip(&day.course).filter(|(_, m)| m.supplied < 0.5).map(|(f, m)| m.t_s - f).sum()
            };
            let gap = if day.longest_gap_s.is_finite() { duration(day.longest_gap_s) } else { "all day".to_owned() };
            let drinks = format!("a plant asks for {} a day", u.sip(day.demand_per_plant_m3));
            let way = "Ask `tidewright program` for floods that fit, or flood deeper, or take a medium that holds more.";
            let worst = least(day).min(least(dry));
            let f = if short_s > WILTS_S {
                let words = format!("{}Roots get less than half of their water for {} of the day; {drinks}, the longest pause is {gap}.", v.who(), duration(short_s));
                Finding::new(Severity::Stop, RULE.name, "The crop wilts every day", words).mend(way)
            } else if least(day) < SHORT {
                let words = format!("{}Roots get {:.0} % of their water at the worst time; {drinks}, the longest pause is {gap}.", v.who(), 100.0 * least(day).max(0.0));
                Finding::new(Severity::Care, RULE.name, "The blocks run dry before the next flood", words).mend(way)
            } else if least(dry) < SHORT {
                let words = format!(
                    "{}With a third more thirst and a medium wetted from dry, roots get {:.0} % of their water at the worst time; the longest pause is {gap}.",
                    v.who(),
                    100.0 * least(dry).max(0.0)
                );
                Finding::new(Severity::Note, RULE.name, "On a thirsty day the blocks may run dry", words).mend(way)
            } else {
                let lasts = if dry.lasts_s.is_finite() { duration(dry.lasts_s) } else { "two weeks and more".to_owned() };
                Finding::new(Severity::Good, RULE.name, "Every flood comes in time", format!("{}Roots never fall short at the dry end; a flood lasts {lasts} without its puddle, the longest pause is {gap}.", v.who()))
            };
            Some(f.at(place).measured(worst, SHORT, "-"))
        })
        .collect()
}
