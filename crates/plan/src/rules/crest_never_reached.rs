use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "crest-never-reached", judge };

/// The pump must bring water to the crest, new and worn, within its run.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let crest = v.tray.crest()?;
            let u = s.units();
            let who = v.who();
            let place = Place::key(v.key("drain.crest"));
            let run_s = v.tray.schedule.run.get().value;
            let b = v.band(Figure::CrestWet);
            let worn = v.runs.worn.flood(v.index)?;
            let reached = u.length(v.runs.flood.highest_m[v.index]);
            let f = if b.likely.is_infinite() {
                Finding::new(
                    Severity::Stop,
                    RULE.name,
                    "The flood never reaches the riser's crest",
                    format!(
                        "{who}In {} the water comes to {reached}; the crest is at {}.",
                        minutes(run_s),
                        u.length(crest.value)
                    ),
                )
                .mend("Lower the crest, run longer, add water, or take a pump with more head at this lift.")
            } else if worn.crest_wet_s.is_infinite() {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "A worn pump never reaches the crest",
                    format!(
                        "{who}New, it takes {}; at {:.0} % of its print the water stops at {} of {}.",
                        minutes(b.likely),
                        100.0 * s.rig.pumps[v.tray.pump].worn.get(),
                        u.length(v.runs.worn.highest_m[v.index]),
                        u.length(crest.value)
                    ),
                )
                .mend("Clean the intake every few weeks, or take the next larger pump.")
            } else if b.never > 0.05 {
                Finding::new(
                    Severity::Note,
                    RULE.name,
                    "The crest is reached, but not surely",
                    format!(
                        "{who}Likely after {}; in {:.0} of a hundred cases never.",
                        minutes(b.likely),
                        100.0 * b.never
                    ),
                )
                .mend("Time one flood: the reading tells which case this bench is.")
            } else {
                Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The pump reaches the crest, new and worn",
                    format!(
                        "{who}Crest wet after {}; after {} with a worn pump; the timer gives {}.",
                        minutes(b.likely),
                        minutes(worn.crest_wet_s),
                        minutes(run_s)
                    ),
                )
            };
            Some(f.at(place).measured(v.runs.flood.highest_m[v.index], crest.value, "m"))
        })
        .collect()
}

fn minutes(t: f64) -> String {
    tidewright_rig::units::duration(t)
}
