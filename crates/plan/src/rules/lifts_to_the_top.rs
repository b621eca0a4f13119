use super::Rule;
use crate::survey::Survey;
use tidewright_physics::media::{Hydraulic, steady_rise_m_s};
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

use tidewright_rig::bench::Stage;

pub(super) const RULE: Rule = Rule { name: "lifts-to-the-top", judge };

/// Where the flood stays below the roots that drink, the medium itself must lift their water: steady rise from the flood's
/// level to the middle of the dry part, on the wetting curve, against what the crop asks for.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref()?;
            let (day, _, _) = v.blocks()?;
            let u = s.units();
            let height = b.total_height().value;
            let level = (v.runs.flood.highest_m[v.index] - b.base.get().value).clamp(0.0, height);
            let above = height - level;
            if above < 0.005 {
                return None;
            }
            let part = if s.rig.growing.stage.get() == Stage::Rooting { above } else { 0.5 * above };
            let medium = Hydraulic {
                retention: b.medium.retention.wetting(b.medium.wetting_alpha),
                ks_m_s: b.medium.ks_m_s,
                connection: 0.5,
            };
            let rise = steady_rise_m_s(&medium, part);
            // The share of the crop's water that is drunk above the flood.
            let asked = day.lit_m3_s / b.plan_area().value * above / height;
            let place = Place::key(v.key("blocks.medium"));
            let words = format!(
                "{}The flood ends {} below the top; the medium lifts {} an hour over {}, and the crop asks for {} there.",
                v.who(),
                u.length(above),
                u.length(3600.0 * rise),
                u.length(part),
                u.length(3600.0 * asked)
            );
            let f = if rise >= asked {
                Finding::new(Severity::Good, RULE.name, "The medium lifts what the crop drinks", words)
            } else {
                Finding::new(Severity::Note, RULE.name, "The medium hardly lifts water above the flood", words)
                    .mend("Roots above the flood live on what hangs there: raise the crest until water stands in the upper third, or take a finer medium.")
            };
            Some(f.at(place).measured(rise, asked, "m/s"))
        })
        .collect()
}
