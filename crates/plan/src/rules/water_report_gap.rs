use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "water-report-gap", judge };

/// A report whose ions do not balance to this share has a fault. Source: Standard Methods 1030 E allows 5 % from 3 to 10 meq/L
/// (from memory); a tenth leaves room for what is not printed.
const GAP: f64 = 0.1;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let (cations, anions) = sheet.source.sums;
    let place = Place::key("solution.water");
    let gap = (cations - anions) / (0.5 * (cations + anions)).max(1e-9);
    if cations + anions < 0.2 || !sheet.source.alkalinity_printed {
        return Vec::new();
    }
    let words = format!(
        "Cations come to {cations:.2} meq/L, anions with alkalinity to {anions:.2} meq/L: a gap of {:.0} %.",
        100.0 * gap.abs()
    );
    let finding = if gap.abs() > GAP {
        Finding::new(Severity::Care, RULE.name, "The water report does not balance", words).mend(if gap > 0.0 {
            "An anion is missing or too low: look at alkalinity, sulphate, chloride, and whether nitrate is printed as N."
        } else {
            "A cation is missing or too low: look at sodium, calcium, and whether hardness is printed in another unit."
        })
    } else {
        Finding::new(Severity::Good, RULE.name, "The water report balances", words)
    };
    vec![finding.at(place).measured(gap.abs(), GAP, "of the mean")]
}
