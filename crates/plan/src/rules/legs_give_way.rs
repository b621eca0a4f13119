use super::Rule;
use crate::stand::{self, LEG_FACTOR};
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "legs-give-way", judge };

/// A leg that may buckle or sway.
fn judge(s: &Survey) -> Vec<Finding> {
    s.each().filter_map(|v| one(s, v.index, &v.who())).collect()
}

fn one(s: &Survey, tray: usize, who: &str) -> Option<Finding> {
    const G: f64 = tidewright_physics::GRAVITY_M_S2;
    let u = s.units();
    let x = stand::of(&s.rig, tray)?;
    let factor = x.buckles_n / x.on_leg_n.max(1e-9);
    let sway = x
        .sway_m
        .map_or_else(String::new, |m| format!(" Pushed by a tenth of the weight its top sways {}.", u.length(m)));
    let words = format!(
        "{who}{} stand on each leg; after years it buckles under {} times as much.{sway}",
        u.weight(x.on_leg_n / G),
        if factor > 20.0 { "over 20".to_owned() } else { format!("{factor:.1}") }
    );
    let leg = s.rig.stand.as_ref().map_or(1.0, |st| stand::leg_length_m(st, &s.rig.trays[tray]));
    let f = if factor < 1.5 {
        Finding::new(Severity::Stop, RULE.name, "The legs would buckle", words)
            .mend("Brace it with diagonals on two sides, shorten the legs, or take thicker ones.")
    } else if factor < LEG_FACTOR || x.sway_m.is_some_and(|m| m > leg / 50.0) {
        Finding::new(Severity::Care, RULE.name, "The legs are slender", words)
            .mend("Brace it: diagonals or a sheet on two sides that stand square to each other.")
    } else if s.rig.stand.as_ref().is_some_and(|st| !st.braced.get()) {
        Finding::new(Severity::Note, RULE.name, "Nothing braces the frame", words)
            .mend("Its legs are stiff enough, its joints are not reckoned and fail first: diagonals or a sheet on two sides. Then write braced = true.")
    } else {
        let words = format!("{words} This is arithmetic for a braced or stiff frame, no leave to climb.");
        Finding::new(Severity::Good, RULE.name, "The legs carry the tray by this arithmetic", words)
    };
    Some(f.at(Place::key("stand.braced")).measured(factor, LEG_FACTOR, "-"))
}
