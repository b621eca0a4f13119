//! One page for every finding: what it means, why it matters, how it is judged, how to mend it, an example.

/// A page of plain words about one finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    /// The finding's kebab-case name.
    pub name: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// The whole page, in Markdown.
    pub text: &'static str,
}

/// The first line of a page without its `# `.
const fn title_of(text: &'static str) -> &'static str {
    let bytes = text.as_bytes();
    assert!(bytes.len() > 2 && bytes[0] == b'#' && bytes[1] == b' ', "a page begins with its heading");
    let mut end = 2;
    while end < bytes.len() && bytes[end] != b'\n' {
        end += 1;
    }
    text.split_at(end).0.split_at(2).1
}

macro_rules! pages {
    ($($name:literal),* $(,)?) => {
        const ALL: &[Page] = &[$({
            const TEXT: &str = include_str!(concat!("../pages/", $name, ".md"));
            Page { name: $name, title: title_of(TEXT), text: TEXT }
        }),*];
    };
}

// In the order of the alphabet: `page` looks a name up by halves.
pages![
    "after-power-cut",
    "air-on-battery",
    "air-pump-below-water",
    "alkalinity-eats-acid",
    "ammonium-share",
    "bare-gallon",
    "base-waterlogged",
    "below-the-scale",
    "block-height",
    "blocks-hardly-wetted",
    "blocks-on-fittings",
    "blocks-run-dry",
    "branch-starves",
    "canopy-closes",
    "check-valve",
    "circuit-load",
    "concentrate-clogs",
    "conflicting-values",
    "cords-and-water",
    "crest-never-reached",
    "crop-outdrinks-reservoir",
    "crowded-tray",
    "drain-back-room",
    "drain-capacity",
    "dry-first-flood",
    "ec-out-of-range",
    "feed-bend",
    "feed-high-point",
    "feed-short",
    "feed-velocity",
    "float-valve-opens",
    "flood-refills",
    "floods-collide",
    "floor-load",
    "gulping",
    "heat-falls-short",
    "held-too-short",
    "hole-in-the-way",
    "hole-near-wall",
    "iron-lost",
    "lamp-file",
    "ledger-closes",
    "legs-give-way",
    "lid-room",
    "lift-near-max-head",
    "lifts-to-the-top",
    "light-for-crop",
    "loose-media-guard",
    "media-float",
    "meter-scale",
    "missing-unit",
    "missing-value",
    "night-flood",
    "no-air-through-stone",
    "not-drained-in-time",
    "open-flow",
    "operating-range",
    "out-of-range",
    "over-the-rim-feed",
    "oxidiser-beside-fuel",
    "oxygen-low",
    "oxygen-when-air-stops",
    "oxygen-while-flooded",
    "parts-file",
    "ph-drifts",
    "phosphate-in-hard-water",
    "precipitation-likely",
    "prime-lost",
    "puddle",
    "reading-contradicts",
    "reservoir-above-outlet",
    "return-backs-up",
    "return-sags",
    "rim-freeboard",
    "room-below-tray",
    "room-file",
    "root-zone-temperature",
    "salt-builds-up",
    "slow-drain",
    "stand-sags",
    "stand-tips",
    "stuck-timer",
    "submergence",
    "target-not-met",
    "tilt",
    "timer-contacts",
    "timer-step",
    "timer-too-coarse",
    "toml-syntax",
    "top-stays-wet",
    "tops-get-wet",
    "uneven-light",
    "unknown-choice",
    "unknown-key",
    "unknown-part",
    "unreadable-text",
    "unsaved-draft",
    "warm-water",
    "water-report-gap",
    "wet-metal",
    "wrong-tank",
    "wrong-type",
    "wrong-unit",
];

/// All pages, sorted by name.
pub fn all() -> &'static [Page] {
    ALL
}

/// The page of a finding.
pub fn page(name: &str) -> Option<&'static Page> {
    ALL.binary_search_by(|p| p.name.cmp(name)).ok().map(|i| &ALL[i])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules;
    use std::path::Path;

    const SECTIONS: [&str; 5] =
        ["## What it means", "## Why it matters", "## How it is judged", "## How to mend it", "## Example"];

    #[test]
    fn sorted_and_found_by_name() {
        assert!(ALL.windows(2).all(|w| w[0].name < w[1].name));
        assert!(ALL.iter().all(|p| page(p.name) == Some(p)));
        assert_eq!(page("no-such-page"), None);
    }

    #[test]
    fn every_rule_has_a_page() {
        for r in rules::ALL {
            assert!(page(r.name).is_some(), "{} has no page", r.name);
        }
    }

    #[test]
    fn every_page_has_its_heading_and_its_five_sections_in_order() {
        for p in all() {
            assert!(p.text.starts_with(&format!("# {}\n", p.title)) && !p.title.is_empty(), "{}", p.name);
            let headings: Vec<&str> = p.text.lines().filter(|l| l.starts_with("## ")).collect();
            assert_eq!(headings, SECTIONS, "{}", p.name);
            let fenced: usize = p.text.split("```").skip(1).step_by(2).map(|t| t.lines().count()).sum();
            let lines = p.text.lines().count() - fenced;
            assert!((12..=35).contains(&lines), "{} has {lines} lines", p.name);
        }
    }

    #[test]
    fn every_page_in_the_folder_is_in_the_table() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("pages");
        let mut there: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .filter_map(|n| n.strip_suffix(".md").map(str::to_owned))
            .collect();
        there.sort();
        assert_eq!(there, all().iter().map(|p| p.name.to_owned()).collect::<Vec<_>>());
    }
}
