use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::MeterScale;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "meter-scale", judge };

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(sheet) = s.solution.as_ref().and_then(|o| o.sheet.as_ref().ok()) else { return Vec::new() };
    let (factor, other) = match s.rig.mixing.meter.get() {
        MeterScale::Conductivity => return Vec::new(),
        MeterScale::Ppm500 => (500.0, 700.0),
        MeterScale::Ppm700 => (700.0, 500.0),
    };
    let ms = 10.0 * sheet.ec_25[1];
    let place = Place::key("solution.meter");
    vec![
        Finding::new(
            Severity::Note,
            RULE.name,
            "The meter shows ppm",
            format!(
                "{ms:.2} mS/cm reads {:.0} ppm on this meter's scale of {factor:.0}; on the other scale in use, {other:.0}, it would read {:.0}.",
                factor * ms,
                other * ms
            ),
        )
        .at(place)
        .measured(factor, 500.0, "ppm per mS/cm")
        .mend("Set the meter to mS/cm: conductivity is what it measures, ppm is a guess made of it."),
    ]
}
