//! Hazard statements in plain words, and what to wear.

use std::collections::BTreeSet;
use tidewright_rig::solution::Salt;

/// Class and plain words of an H statement. Source: UN GHS, rev. 9, annex 3, from memory; the safety data sheet goes before.
pub fn words(statement: &str) -> (&'static str, &'static str) {
    match statement {
        "H272" => ("oxidising", "feeds a fire: keep from anything that burns, heat and acids"),
        "H290" => ("corrosive to metals", "eats metals: plastic vessels only"),
        "H302" => ("acute toxicity 4", "harmful if swallowed"),
        "H314" => ("skin corrosion 1", "burns skin and eyes badly"),
        "H318" => ("eye damage 1", "damages eyes for good: goggles"),
        "H319" => ("eye irritation 2", "irritates eyes: goggles"),
        "H331" => ("acute toxicity 3", "its fumes are toxic: open air"),
        "H360FD" => (
            "toxic to reproduction 1B",
            "may harm fertility and the unborn child: gloves, no dust, not for pregnant hands",
        ),
        "H361d" => ("toxic to reproduction 2", "may harm the unborn child: gloves, no dust"),
        "H373" => ("organ toxicity 2", "harms organs when breathed in often: no dust"),
        "H410" => ("aquatic toxicity 1", "very poisonous to water life: never down the drain by the bag"),
        "H411" => ("aquatic toxicity 2", "poisonous to water life"),
        _ => ("see its label", "see its safety data sheet"),
    }
}

/// One line a chemical: its statements with class and plain words.
pub fn line(salt: &Salt) -> String {
    if salt.hazards.is_empty() {
        return "no hazard statement is usual; dust in eyes and mouth is still no good".into();
    }
    salt.hazards
        .iter()
        .map(|h| {
            let (class, plain) = words(h);
            format!("{h} ({class}): {plain}")
        })
        .collect::<Vec<_>>()
        .join("; ")
}

/// What holds for these chemicals together.
pub fn cautions(salts: &[&Salt]) -> Vec<String> {
    let all: BTreeSet<&str> = salts.iter().flat_map(|s| s.hazards.iter().map(String::as_str)).collect();
    let has = |hs: &[&str]| hs.iter().any(|h| all.contains(h));
    let mut out = vec![
        "Goggles and gloves for all of it; weigh where no food is made, with the window open and no draught."
            .to_owned(),
    ];
    if has(&["H314", "H290"]) {
        out.push("Acid (or lye) goes slowly into much water, never water into acid; plastic vessels; rinse splashes with water for a quarter of an hour and see a doctor.".into());
        out.push("Never acid and chlorine bleach in one bucket: chlorine gas.".into());
    }
    if has(&["H272"]) {
        out.push("Nitrates stand apart from anything that burns: oil, sugar, citric acid, sawdust, sulphur.".into());
    }
    if has(&["H360FD", "H361d", "H373"]) {
        out.push("No dust of boric acid, manganese or DTPA salts: open bags gently, wipe up wet.".into());
    }
    out.push("Closed, labelled, dry, out of reach of children and animals; no drink bottles; not in the room where food is kept.".into());
    out.push("Local rules and the safety data sheet of what you bought go before this sheet.".into());
    out
}
