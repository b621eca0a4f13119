use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

use tidewright_rig::units::duration;

pub(super) const RULE: Rule = Rule { name: "oxygen-while-flooded", judge };

/// Water from which a short flood, too, takes the roots' breath \[K\]. Common practice: 26 °C.
const WARM_K: f64 = 273.15 + 26.0;

/// Roots under water live on what it brings: how long, against the longest time that a flood stands.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let (day, _, stuffy) = v.blocks()?;
            let blocks = v.tray.blocks.as_ref()?;
            let middle = blocks.base.get().value + 0.5 * blocks.total_height().value;
            // Half of the block under water, from its first moment to its last.
            let stands = |f: &&tidewright_sim::FloodRecord| f.tray == v.index && f.highest_m > middle;
            let flood = s.day.floods.iter().filter(stands).map(|f| (f.stop_s - f.start_s) + f.crest_dry_s.min(3600.0)).fold(0.0, f64::max);
            let breath = stuffy.stuffy_flooded_s.min(day.stuffy_flooded_s);
            let place = Place::key(v.key("minutes"));
            let lasts = if breath.is_finite() { duration(breath) } else { "two days".to_owned() };
            let words = format!("{}Under water half of the roots run short of oxygen after {lasts}; a flood stands for {}.", v.who(), duration(flood));
            let warm = s.rig.site.water_temperature.get().value >= WARM_K;
            let f = if flood < breath || flood == 0.0 {
                Finding::new(Severity::Good, RULE.name, "The flood is shorter than the roots' breath", words)
            } else if flood > 3600.0 && (warm || flood > 4.0 * breath) {
                Finding::new(Severity::Care, RULE.name, "Roots stand too long under water", words)
                    .mend("Shorten the flood, free the drain, or cool the water under 24 °C; an air stone in the reservoir helps little once water stands.")
            } else {
                Finding::new(Severity::Note, RULE.name, "Roots hold their breath during a flood", words)
                    .mend("A flood of 15 min does no harm; keep floods as short as the blocks allow, and the water cool.")
            };
            Some(f.at(place).measured(flood, breath, "s"))
        })
        .collect()
}
