use super::Rule;
use crate::light;
use crate::survey::Survey;
use tidewright_rig::bench::Roof;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "light-for-crop", judge };

/// Light of the day against what the crop likes, by its lamps.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each().filter_map(|v| one(s, v.index, &v.who())).collect()
}

fn one(s: &Survey, tray: usize, who: &str) -> Option<Finding> {
    let crop = &s.rig.growing.crop;
    // Under glass or sky, or with a logger's light, the lamps are not all of it.
    if s.rig.growing.place.get() != Roof::Lamps || !s.rig.growing.logged.is_empty() {
        return None;
    }
    let now = light::now(&s.rig, tray)?;
    let [low, high] = crop.habit.dli;
    let words = format!(
        "{who}The lamps give {:.0} µmol/(m² s) on the leaves, {:.1} mol/(m² d) in {:.0} h; for {} {low:.0} to {high:.0} are right.",
        now.mean,
        now.dli,
        s.rig.growing.lit.get().value / 3600.0,
        crop.name
    );
    let way = || match light::hanging(&s.rig, tray) {
        Some(light::Hanging { over_m: Some(h), .. }) => {
            format!("Hang them {} over the leaves for the middle of it, or change the hours.", s.units().length(h))
        }
        other => {
            let reach = other.map_or((0.0, 0.0), |h| h.reach);
            format!(
                "No height of these lamps gives the middle of it: they reach {:.0} to {:.0} µmol/(m² s). More or fewer lamps, or other hours.",
                reach.1, reach.0
            )
        }
    };
    let little = now.dli < low;
    let f = if now.dli < 0.6 * low || now.dli > 2.0 * high {
        Finding::new(Severity::Care, RULE.name, if little { "Too little light" } else { "Too much light" }, words)
            .mend(way())
    } else if little || now.dli > high {
        let title = if little { "Less light than it likes" } else { "More light than it likes" };
        Finding::new(Severity::Note, RULE.name, title, words).mend(way())
    } else {
        Finding::new(Severity::Good, RULE.name, "Light as the crop likes it", words)
    };
    Some(f.at(Place::key("lamp.height")).measured(now.dli, if little { low } else { high }, "mol/(m² d)"))
}
