use super::Rule;
use crate::stand;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "stand-sags", judge };

/// A rail that sags keeps water in the middle of the tray.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each().filter_map(|v| one(s, v.index, &v.who())).collect()
}

fn one(s: &Survey, tray: usize, who: &str) -> Option<Finding> {
    let u = s.units();
    let x = stand::of(&s.rig, tray)?;
    let [new, old] = x.sag_m;
    let fall = if x.fall_m > 0.0 {
        format!(", and it falls {} to its drain over that length", u.length(x.fall_m))
    } else {
        String::new()
    };
    let mut words = format!(
        "{who}{} on the rails bow them by {} over {} ({} after years); a level tray bears {}{fall}.",
        u.weight(x.load.on_rails_kg()),
        u.length(new),
        u.length(x.span_m),
        u.length(old),
        u.length(x.sag_limit_m)
    );
    let (stress, strength) = x.stress_pa;
    if stress > strength {
        words.push_str(&format!(
            " They are bent with {:.1} MPa; {:.1} may stand for years.",
            1e-6 * stress,
            1e-6 * strength
        ));
    }
    // A span shorter than the rail wants a pair of legs at each support.
    let (spans, legs) = s.rig.stand.as_ref().map_or((1.0, 4.0), |st| {
        (((st.rail_length.get() / st.span.get()).value - 1e-6).ceil().max(1.0), st.legs.get())
    });
    let way = format!(
        "Support them every {} at the most, or take stiffer rails: timber on edge.",
        u.length(x.longest_span_m)
    );
    let f = if stress > strength || old > 3.0 * x.sag_limit_m {
        Finding::new(Severity::Stop, RULE.name, "The rails do not carry it", words).mend(way)
    } else if spans > 1.0 && legs < 2.0 * (spans + 1.0) {
        let words = format!(
            "{words} So short a span wants {:.0} supports, and there are legs for {:.0}.",
            spans + 1.0,
            (legs / 2.0).floor()
        );
        Finding::new(Severity::Care, RULE.name, "More supports than legs", words)
            .mend("Give as many legs as stand under the rails, or the span that is really there.")
    } else if old > x.sag_limit_m || (x.fall_m > 0.0 && old > x.fall_m) {
        Finding::new(Severity::Care, RULE.name, "The rails sag too far for a level tray", words).mend(way)
    } else {
        words.push_str(" This is about water that stands level, no leave to climb.");
        Finding::new(Severity::Good, RULE.name, "The rails hardly sag", words)
    };
    Some(f.at(Place::key("stand.span")).measured(old, x.sag_limit_m, "m"))
}
