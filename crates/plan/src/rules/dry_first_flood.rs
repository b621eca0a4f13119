use super::Rule;
use crate::survey::Survey;
use tidewright_rig::bench::Moisture;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;

pub(super) const RULE: Rule = Rule { name: "dry-first-flood", judge };

/// Dry media drink before the tray fills: soak them first. It does not come back the next day.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .filter_map(|v| {
            let b = v.tray.blocks.as_ref().filter(|b| b.start.get() == Moisture::Dry)?;
            let dry = v.runs.dry.as_ref()?;
            let drunk = (dry.ledger.end.media_m3[v.index] - dry.ledger.start.media_m3[v.index]).max(0.0);
            let short = dry.any(EventKind::PrimeLost) || dry.flood(v.index).is_none_or(|f| f.crest_wet_s.is_infinite());
            let words = if short {
                format!(
                    "{}{} {} blocks drink {} and the first flood does not reach the crest.",
                    v.who(),
                    b.count.get(),
                    b.medium.name,
                    u.volume(drunk)
                )
            } else {
                format!(
                    "{}{} {} blocks drink {} in the first flood.",
                    v.who(),
                    b.count.get(),
                    b.medium.name,
                    u.volume(drunk)
                )
            };
            let path = v.key("blocks.start");
            Some(
                Finding::new(Severity::Note, RULE.name, "Soak the blocks first", words)
                    .at(Place::key(path.clone()))
                    .measured(drunk, 0.0, "m3")
                    .mend_by(
                        "Soak them in a bucket before planting, then write start = \"moist\"",
                        "and top up afterwards",
                        Change { path, value: "\"moist\"".into() },
                    ),
            )
        })
        .collect()
}
