use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "reading-contradicts", judge };

/// Readings that no run of the sample meets: something on the bench is not as the file says.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter(|v| s.rig.readings.iter().any(|r| r.tray == v.index))
        .map(|v| {
            let b = &v.runs.bands;
            let place = Place::key("reading");
            if b.contradicted() {
                Finding::new(
                    Severity::Care,
                    RULE.name,
                    "The readings contradict the file",
                    format!("{}Of {} runs hardly one comes near what was measured, so the readings are not used.", v.who(), b.runs),
                )
                .mend("Look for what differs: a size, a kink, a half-shut valve, air in the pump, or a slip on the watch.")
            } else {
                Finding::new(Severity::Good, RULE.name, "The readings fit the bench", format!("{}They narrow every band: {:.0} of {} runs still speak.", v.who(), b.effective_runs, b.runs))
            }
            .at(place)
            .measured(b.effective_runs, 3.0, "-")
        })
        .collect()
}
