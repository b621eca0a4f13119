use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::climate::blown;

pub(super) const RULE: Rule = Rule { name: "no-air-through-stone", judge };

/// A stone whose pores want more than the pump makes gives nothing.
fn judge(s: &Survey) -> Vec<Finding> {
    let Some(b) = blown(&s.rig) else { return Vec::new() };
    let kpa = |pa: f64| format!("{:.1} kPa", 1e-3 * pa);
    let dead: Vec<&str> =
        b.stones.iter().filter(|x| x.open && x.depth_m > 0.0 && x.flow_m3_s < 1e-7).map(|x| x.name.as_str()).collect();
    let dry: Vec<&str> = b.stones.iter().filter(|x| x.open && x.depth_m <= 0.0).map(|x| x.name.as_str()).collect();
    let open = b.stones.iter().filter(|x| x.open).count();
    let place = Place::key("air.stone");
    if open == 0 {
        let words = "Every port of the manifold is closed.";
        let f = Finding::new(Severity::Care, RULE.name, "No port is open", words).at(place);
        return vec![f.mend("Open the port of one stone at least.")];
    }
    if !dry.is_empty() {
        let words = format!("{} hangs over the water at rest: its air goes past it.", dry.join(" and "));
        let f = Finding::new(Severity::Care, RULE.name, "A stone out of the water", words).at(place);
        return vec![f.mend("Lower it to the floor of the reservoir, away from the pump's inlet.")];
    }
    if dead.is_empty() {
        let words = format!(
            "{:.1} L/min of air pass the stones at {}; the pump makes {} at the most.",
            6e4 * b.flow_m3_s(),
            kpa(b.pressure_pa),
            kpa(b.most_pa)
        );
        let f = Finding::new(Severity::Good, RULE.name, "Air comes through the stones", words).at(place);
        return vec![f.measured(b.pressure_pa, b.most_pa, "Pa")];
    }
    let words = format!(
        "No air comes out of {}: water, valve and pores ask for more than the {} at which the pump and the other stones meet.",
        dead.join(" and "),
        kpa(b.pressure_pa)
    );
    let severity = if dead.len() == open { Severity::Care } else { Severity::Note };
    vec![
        Finding::new(severity, RULE.name, "A stone that gives no air", words)
            .at(place)
            .measured(b.pressure_pa, b.most_pa, "Pa")
            .mend("Take a coarser stone, hang it higher, throttle the other ports, or take a pump of more pressure."),
    ]
}
