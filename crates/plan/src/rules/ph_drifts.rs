use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "ph-drifts", judge };

/// Uptake of cations and of anions is each known to a tenth, and they may be off the opposite way. Common practice, no source.
const KNOWN_TO: f64 = 0.1;

fn judge(s: &Survey) -> Vec<Finding> {
    let Some(outlook) = &s.solution else { return Vec::new() };
    let Ok(sheet) = &outlook.sheet else { return Vec::new() };
    let (net, all) = s.rig.mixing.feeding.protons_left();
    // What is topped up brings its own alkalinity.
    let brings = sheet.source.alkalinity * (1.0 - s.rig.mixing.top_up.get().part());
    let push = net - brings;
    let doubt = KNOWN_TO * all + 0.1 * brings;
    let each_day = |meq_l: f64| meq_l.abs() * outlook.litres_a_day / sheet.reservoir_litres;
    let place = Place::key("solution.ph");
    let why = match (net.abs() > KNOWN_TO * all, brings > 0.3) {
        (true, true) => format!(
            "roots leave {net:+.1} meq of acid with each litre they drink, top-up water brings {brings:.1} meq/L of alkalinity"
        ),
        (true, false) => format!(
            "roots take {} than the other and leave {net:+.1} meq of acid with each litre",
            if net > 0.0 { "more cations" } else { "more anions" }
        ),
        (false, true) => format!("top-up water brings {brings:.1} meq/L of alkalinity"),
        (false, false) => "cations and anions are taken nearly alike".to_owned(),
    };
    let (title, way) = if push > doubt {
        ("pH will fall", "Base in small doses, or less ammonium; part of the acid can be left out of the top-up.")
    } else if push < -doubt {
        ("pH will rise", "Acid in small doses each day, acid in the top-up water, or a little more ammonium.")
    } else {
        ("pH may go either way", "Read it daily and correct by small doses.")
    };
    vec![
        Finding::new(
            Severity::Note,
            RULE.name,
            title,
            format!(
                "{} {:.2} ± {:.2} meq/L a day in the reservoir: {why}.",
                if push > 0.0 { "Acid by" } else { "Base by" },
                each_day(push),
                each_day(doubt)
            ),
        )
        .at(place)
        .measured(push, doubt, "meq/L of water drunk")
        .mend(way),
    ]
}
