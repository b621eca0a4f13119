use super::Rule;
use crate::solution::counted;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::solution::amount::Counts;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "ammonium-share", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let limit = s.rig.mixing.feeding.ammonium;
    let nh4 = counted(&sheet.solved.totals, Counts::Component("NH4"));
    let all = counted(&sheet.solved.totals, Counts::Nitrogen);
    // What the recipe itself asks for counts as much as what the shelf could do.
    let recipe = s.rig.mixing.recipe.borrowed();
    let asked = |c: Counts| recipe.targets.iter().find(|t| t.counts == c).map(|t| t.middle());
    let wanted = match (asked(Counts::Component("NH4")), asked(Counts::Component("NO3"))) {
        (Some(a), Some(n)) if a + n > 0.0 => a / (a + n),
        _ => 0.0,
    };
    let share = (nh4 / all.max(1e-9)).max(wanted);
    let crop = &s.rig.growing.crop.name;
    let words =
        format!("{:.0} % of the nitrogen is ammonium; {crop} is given at most {:.0} %.", 100.0 * share, 100.0 * limit);
    let finding = if share > limit + 1e-6 {
        Finding::new(Severity::Care, RULE.name, "Too much ammonium", words)
            .mend("Take nitrate in place of ammonium salts: it scorches roots in warm water and pulls the pH down.")
    } else {
        Finding::new(Severity::Good, RULE.name, "Ammonium is within its share", words)
    };
    vec![finding.at(Place::key("solution.recipe")).measured(share, limit, "of nitrogen")]
}
