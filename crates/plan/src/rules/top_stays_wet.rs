use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "top-stays-wet", judge };

/// Pores of the top that water fills all day, from which algae grow where light falls \[-\]. Common practice, no source.
const WET: f64 = 0.6;
/// Light that algae live on \[µmol/(m² s)\]. From memory.
const LIGHT: f64 = 5.0;

/// A top that stays wet in the light grows algae, whatever the flood's height: a wicking medium wets it from below.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let blocks = v.tray.blocks.as_ref()?;
            let (day, _, _) = v.blocks()?;
            let pores = blocks.medium.retention.theta_s;
            let least = day.course.iter().map(|m| m.top / pores).fold(1.0, f64::min);
            let g = &s.rig.growing;
            let light = 1e6 * g.photons.get().value * (1.0 - g.cover.get());
            let place = Place::key(v.key("blocks.covered"));
            let words = format!(
                "{}Water fills {:.0} % of the top's pores or more all day, and {light:.0} µmol/(m² s) fall on it between the leaves.",
                v.who(),
                100.0 * least
            );
            let f = if blocks.covered.get() {
                Finding::new(Severity::Good, RULE.name, "The tops are covered", format!("{}Lids or foil keep the light off.", v.who()))
            } else if least < WET {
                Finding::new(Severity::Good, RULE.name, "The tops dry off", format!("{}The top falls to {:.0} % of its pores: algae find it too dry.", v.who(), 100.0 * least))
            } else if light < LIGHT {
                Finding::new(Severity::Good, RULE.name, "Wet tops in the shade", words)
            } else {
                Finding::new(Severity::Note, RULE.name, "Wet tops in the light grow algae", words)
                    .mend("Cover the tops: a lid, foil or a collar with a hole for the stem. Then write covered = true under [blocks].")
            };
            Some(f.at(place).measured(least, WET, "-"))
        })
        .collect()
}
