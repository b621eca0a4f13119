use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "loose-media-guard", judge };

/// Pellets, perlite and roots clog fittings: loose media need a guard, every riser a strainer.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            v.tray.drain.riser.as_ref()?;
            let strainer = &v.tray.drain.strainer;
            let spills = v.spilled(&v.runs.stuck) > 1e-6;
            Some(match (&v.tray.bed, strainer.guard.get(), strainer.fitted.get()) {
                (Some(bed), false, _) => {
                    let path = v.key("drain.guard");
                    Finding::new(
                        if spills && !strainer.fitted.get() { Severity::Stop } else { Severity::Care },
                        RULE.name,
                        "Loose media without a guard",
                        format!("{}{} can clog the riser and the flood fitting.", v.who(), bed.medium.name),
                    )
                    .at(Place::key(path.clone()))
                    .mend_by(
                        "Put a slotted sleeve of 80 to 100 mm around the riser",
                        "",
                        Change { path, value: "true".into() },
                    )
                }
                (None, false, false) => {
                    let severity = if spills { Severity::Stop } else { Severity::Note };
                    Finding::new(
                        severity,
                        RULE.name,
                        "Nothing keeps roots out of the riser",
                        format!(
                            "{}From week four to six a root mat reaches the fittings{}.",
                            v.who(),
                            if spills { ", and a blocked riser spills" } else { "" }
                        ),
                    )
                    .at(Place::key(v.key("drain.strainer")))
                    .mend("Fit a slotted cap or a sleeve, and look under the mat every two weeks.")
                }
                _ => Finding::new(
                    Severity::Good,
                    RULE.name,
                    "The riser is guarded",
                    format!("{}Look at it every two weeks all the same.", v.who()),
                )
                .at(Place::key(v.key("drain.strainer"))),
            })
        })
        .collect()
}
