use super::Rule;
use crate::light;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "uneven-light", judge };

/// Least over mean that leaves of one tray bear \[-\]. Common practice, no source.
const EVEN: f64 = 0.6;
/// Splash over the rim \[m\]. Common practice, no source.
const SPLASH_M: f64 = 0.05;
/// Nearer than this a lamp scorches leaves that grow into it \[m\]. Common practice, no source.
const NEAR_M: f64 = 0.12;

fn judge(s: &Survey) -> Vec<Finding> {
    s.each().filter_map(|v| one(s, v.index, &v.who())).collect()
}

fn one(s: &Survey, tray: usize, who: &str) -> Option<Finding> {
    let now = light::now(&s.rig, tray)?;
    let mean = now.mean.max(1e-9);
    let even = now.least / mean;
    let words = format!(
        "{who}The darkest spot has {:.0} % of the mean ({:.0} of {:.0} µmol/(m² s)), the brightest spot {:.0} %.",
        100.0 * even,
        now.least,
        now.mean,
        100.0 * now.most / mean
    );
    // Whatever fails, water can stand to the rim.
    let t = &s.rig.trays[tray];
    let lowest = light::lowest_m(&s.rig, tray)?;
    let wet = t.rim().value + SPLASH_M;
    if lowest < wet {
        let words = format!(
            "{who}The lamp hangs {} over the tray's floor; water can stand and splash to {}.",
            s.units().length(lowest),
            s.units().length(wet)
        );
        let f = Finding::new(Severity::Stop, RULE.name, "The lamp hangs where water can reach it", words)
            .mend("Hang it higher, on two points, its cord with a drip loop and a residual-current device before it; unplugged until then.");
        return Some(f.at(Place::key("lamp.height")).measured(lowest, wet, "m"));
    }
    let f = if now.over_m < NEAR_M {
        let words = format!(
            "{who}In this stage leaves stand {} over the tray's floor, and the lamp hangs at {}.",
            s.units().length(now.canopy_m),
            s.units().length(now.canopy_m + now.over_m)
        );
        Finding::new(Severity::Care, RULE.name, "The lamp hangs too near", words)
            .mend("Hang it higher: heat and light burn what grows into it.")
    } else if even < EVEN {
        Finding::new(Severity::Note, RULE.name, "Edges stand in less light", words)
            .mend("More lamps or longer ones, spread apart, or white walls around it; hung higher it is more even and weaker. Keep slow plants in the middle and turn the rest once a week.")
    } else {
        Finding::new(Severity::Good, RULE.name, "Light is even", words)
    };
    Some(f.at(Place::key("lamp.height")).measured(even, EVEN, "-"))
}
