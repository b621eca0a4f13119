use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "ec-out-of-range", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let (low, high) = s.rig.mixing.feeding.ec;
    let ec = 10.0 * sheet.ec_25[1];
    let crop = &s.rig.growing.crop.name;
    let place = Place::key("solution.strength");
    let words = format!("The solution comes to {ec:.2} mS/cm at 25 °C; {crop} is run at {low} to {high} mS/cm.");
    let own = ec - 10.0 * sheet.source.ec_25;
    // Strength that puts it inside, the water's own salts staying.
    let other = |to: f64| s.rig.mixing.strength.get() * (to - 10.0 * sheet.source.ec_25) / own.max(1e-6);
    let finding = if ec > 1.05 * high || ec < 0.95 * low {
        let to = if ec > high { high } else { low };
        let strength = other(to);
        let f = Finding::new(Severity::Care, RULE.name, if ec > high { "Too strong" } else { "Too weak" }, words);
        if sheet.exact.miss > 0.2 {
            f.mend("Mend the targets that are missed first.")
        } else if strength > 0.05 {
            f.mend(format!("Mix it at {:.0} % of the recipe.", 100.0 * strength))
        } else {
            f.mend("The water alone is too salty: take another.")
        }
    } else {
        Finding::new(Severity::Good, RULE.name, "Strength suits the crop", words)
    };
    vec![finding.at(place).measured(ec, if ec > high { high } else { low }, "mS/cm")]
}
