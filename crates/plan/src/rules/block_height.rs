use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "block-height", judge };

/// Pores that water fills in the top of a block at rest: below this it is too tall for its medium \[-\].
const DRY_TOP: f64 = 0.15;
/// Mean air of a block at rest below which it is too short for its medium, on either curve \[-\]. De Boodt & Verdonck 1972 want
/// 20 to 30 % at 10 cm of suction (from memory); a twentieth is where roots were seen to suffer, common practice.
const AIRLESS: f64 = 0.05;

/// How tall blocks are for what they are made of, at rest on a drained floor: the drying curve says how little air they
/// have, the wetting one how little water.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref()?;
            let u = s.units();
            let r = b.medium.retention;
            let wetting = r.wetting(b.medium.wetting_alpha);
            let height = b.total_height();
            let top = wetting.water_content(height) / wetting.theta_s;
            let air = |r: &tidewright_physics::media::Retention| r.theta_s - r.container_capacity(height);
            let (least, most) = (air(&r), air(&wetting));
            let place = Place::key(v.key("blocks.height"));
            let named = format!("{}{} of {}", v.who(), u.length(height.value), b.medium.name);
            let f = if most < AIRLESS {
                Finding::new(Severity::Note, RULE.name, "The blocks are low for their medium", format!("{named} keep {:.0} to {:.0} % air when drained.", 100.0 * least, 100.0 * most))
                    .mend("Set them on a slab or a second block, or take a coarser medium: height alone drains.")
            } else if top < DRY_TOP {
                Finding::new(Severity::Note, RULE.name, "The blocks are tall for their medium", format!("{named} lift water to the top so little that it fills {:.0} % of the pores there.", 100.0 * top))
                    .mend("The flood itself must reach the roots: see how high it stands. Lower blocks, or a finer medium, keep their tops moist.")
            } else {
                Finding::new(Severity::Good, RULE.name, "The blocks' height suits their medium", format!("{named}: {:.0} to {:.0} % air when drained.", 100.0 * least, 100.0 * most))
            };
            Some(f.at(place).measured(most, AIRLESS, "-"))
        })
        .collect()
}
