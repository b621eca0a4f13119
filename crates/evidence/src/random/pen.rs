//! Draws numbers and writes keys, in the units that the file happens to use.

use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};

/// Units of one file.
#[derive(Clone, Copy, PartialEq)]
enum Units {
    Metric,
    Customary,
    Mixed,
}

pub(super) struct Pen {
    rng: StdRng,
    out: String,
    units: Units,
    /// Whether extreme values may be drawn.
    wild: bool,
}

fn plain(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

impl Pen {
    pub(super) fn new(seed: u64, wild: bool) -> Self {
        let mut rng = StdRng::seed_from_u64(seed);
        let units = match rng.random_range(0..10) {
            0..5 => Units::Metric,
            5..8 => Units::Customary,
            _ => Units::Mixed,
        };
        Self { rng, out: String::new(), units, wild }
    }

    pub(super) fn finish(self) -> String {
        self.out
    }

    pub(super) fn chance(&mut self, share: f64) -> bool {
        self.rng.random_bool(share)
    }

    pub(super) fn below(&mut self, n: usize) -> usize {
        self.rng.random_range(0..n)
    }

    pub(super) fn one_of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.rng.random_range(0..all.len())]
    }

    /// Whether extreme values may be drawn.
    pub(super) fn wild(&self) -> bool {
        self.wild
    }

    fn is_extreme(&mut self) -> bool {
        self.wild && self.chance(0.3)
    }

    /// Evenly between the first two, or between the last two where an extreme value falls.
    pub(super) fn span(&mut self, from: f64, to: f64, least: f64, most: f64) -> f64 {
        let extreme = self.is_extreme();
        let (a, b) = if extreme { (least, most) } else { (from.max(least), to.min(most)) };
        let u: f64 = self.rng.random();
        if extreme && u < 0.1 {
            return if u < 0.05 { a } else { b };
        }
        a + (b - a).max(0.0) * u
    }

    /// As [`Self::span`], evenly in the logarithm; all above nil.
    pub(super) fn log(&mut self, from: f64, to: f64, least: f64, most: f64) -> f64 {
        self.span(from.ln(), to.ln(), least.ln(), most.ln()).exp()
    }

    /// Whether the next value is written in US units.
    pub(super) fn customary(&mut self) -> bool {
        match self.units {
            Units::Metric => false,
            Units::Customary => true,
            Units::Mixed => self.chance(0.5),
        }
    }

    pub(super) fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    pub(super) fn section(&mut self, text: &str) {
        self.out.push('\n');
        self.line(text);
    }

    pub(super) fn word(&mut self, key: &str, value: &str) {
        self.line(&format!("{key} = \"{value}\""));
    }

    pub(super) fn number(&mut self, key: &str, value: f64) {
        let text = plain(value, 4);
        self.line(&format!("{key} = {}", if text.contains('.') { text } else { text + ".0" }));
    }

    pub(super) fn flag(&mut self, key: &str) {
        let yes = self.chance(0.5);
        self.line(&format!("{key} = {yes}"));
    }

    pub(super) fn medium(&mut self) {
        const MEDIA: [&str; 9] =
            ["stone-wool", "stone-wool-open", "coir", "perlite", "peat", "clay-pellets", "fibre", "sand", "gravel"];
        let medium = *self.one_of(&MEDIA);
        self.word("medium", medium);
    }

    pub(super) fn length_text(&mut self, m: f64) -> String {
        let inches = m / 0.0254;
        match (self.customary(), self.below(6)) {
            (true, 0) => format!("{} ft", plain(inches / 12.0, 7)),
            (true, _) => format!("{} in", plain(inches, 5)),
            (false, 0) => format!("{} m", plain(m, 7)),
            (false, 1) => format!("{} cm", plain(m * 1e2, 5)),
            (false, _) => format!("{} mm", plain(m * 1e3, 4)),
        }
    }

    pub(super) fn length(&mut self, key: &str, m: f64) {
        let text = self.length_text(m);
        self.word(key, &text);
    }

    pub(super) fn volume_text(&mut self, m3: f64) -> String {
        match (self.customary(), self.below(5)) {
            (true, 0) => format!("{} US qt", plain(m3 / 9.463_529_46e-4, 6)),
            (true, _) => format!("{} US gal", plain(m3 / 3.785_411_784e-3, 6)),
            (false, 0) => format!("{} mL", plain(m3 * 1e6, 3)),
            (false, _) => format!("{} L", plain(m3 * 1e3, 6)),
        }
    }

    pub(super) fn volume(&mut self, key: &str, m3: f64) {
        let text = self.volume_text(m3);
        self.word(key, &text);
    }

    pub(super) fn flow_text(&mut self, l_h: f64) -> String {
        match (self.customary(), self.below(4)) {
            (true, 0) => format!("{} US gal/min", plain(l_h / 3.785_411_784 / 60.0, 7)),
            (true, _) => format!("{} US gal/h", plain(l_h / 3.785_411_784, 5)),
            (false, 0) => format!("{} L/min", plain(l_h / 60.0, 6)),
            (false, _) => format!("{} L/h", plain(l_h, 4)),
        }
    }

    pub(super) fn flow(&mut self, key: &str, l_h: f64) {
        let text = self.flow_text(l_h);
        self.word(key, &text);
    }

    pub(super) fn time(&mut self, key: &str, s: f64) {
        let text = match self.below(3) {
            0 => format!("{} s", plain(s, 2)),
            1 => format!("{} min", plain(s / 60.0, 5)),
            _ => format!("{} min", plain((s / 60.0).ceil(), 0)),
        };
        self.word(key, &text);
    }
}
