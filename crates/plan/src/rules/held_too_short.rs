use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::units::duration;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "held-too-short", judge };

/// The flood should stand at the crest for two of the media's soak times, at the band's slow end.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each()
        .filter_map(|v| {
            v.tray.crest()?;
            let blocks = v.tray.blocks.as_ref()?;
            let b = v.band(Figure::CrestWet);
            if !b.likely.is_finite() {
                return None;
            }
            let run = v.tray.schedule.run.get().value;
            // A film lets water in at the base only and triples the time.
            let wish = 2.0 * blocks.medium.soak_s * if blocks.wrapped.get() { 3.0 } else { 1.0 };
            let held = run - b.high;
            let words = format!(
                "{}The water stands at the crest for {} of the {} at the slow end; {} soaks such blocks.",
                v.who(),
                duration(held.max(0.0)),
                duration(run),
                duration(wish)
            );
            let place = Place::key(v.key("minutes"));
            let f = if b.high.is_infinite() || held < 0.0 {
                let step = s.rig.timer.step.get().value;
                let minutes = ((b.likely.max(b.low) * 1.3 + wish) / step).ceil() * step / 60.0;
                let path = if v.has_own("minutes") { v.key("minutes") } else { "timer.minutes".to_owned() };
                Finding::new(Severity::Care, RULE.name, "The pump stops before the crest is wet", words).mend_by(
                    format!("Let it run {minutes:.0} min"),
                    "",
                    Change { path, value: format!("\"{minutes:.0} min\"") },
                )
            } else if held < wish {
                // A medium that wets in seconds has drunk its fill on the way up.
                Finding::new(Severity::Note, RULE.name, "A short hold", words)
                    .mend("Run longer where the blocks come out dry at the top.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Time enough to soak", words)
            };
            Some(f.at(place).measured(held, wish, "s"))
        })
        .collect()
}
