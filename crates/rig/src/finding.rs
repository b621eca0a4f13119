//! One judgement about a bench: a typing slip or an engineering one, the type is the same.

use serde::Serialize;
use std::ops::Range;

/// What happens to water, crop or person if nothing changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Do not run it like this.
    Stop,
    /// Will cost something: look after it.
    Care,
    /// Worth knowing.
    Note,
    /// Checked and holds.
    Good,
}

impl Severity {
    /// The word shown to people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "Stop",
            Self::Care => "Care",
            Self::Note => "Note",
            Self::Good => "Good",
        }
    }

    /// A sign beside the word, so that colour is never the only difference.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Stop => "■",
            Self::Care => "▲",
            Self::Note => "○",
            Self::Good => "✓",
        }
    }
}

/// Where in the bench file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// Dotted key, as in `tray[1].drain.crest`.
    pub path: String,
    /// Byte range in the file, where the value stands there.
    #[serde(skip)]
    pub span: Option<Range<usize>>,
    /// Line from 1; 0 where the value does not stand in the file.
    pub line: usize,
    /// Column from 1; 0 where the value does not stand in the file.
    pub column: usize,
}

impl Place {
    /// A place that is only a key.
    pub fn key(path: impl Into<String>) -> Self {
        Self { path: path.into(), span: None, line: 0, column: 0 }
    }

    /// A place in the text.
    pub fn at(path: impl Into<String>, span: Range<usize>, text: &str) -> Self {
        let start = span.start.min(text.len());
        let before = text.get(..start).unwrap_or("");
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
        Self { path: path.into(), span: Some(span), line, column }
    }
}

/// One value to write at one key.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// Dotted key.
    pub path: String,
    /// The TOML value to write, as typed in the file.
    pub value: String,
}

/// A way out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mend {
    /// What to do, in the imperative.
    pub say: String,
    /// What remains after it.
    pub remains: String,
    /// The change in the file that does it, where one does.
    pub change: Option<Change>,
}

/// The number behind a judgement and the limit it is held against.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measure {
    /// The number.
    pub number: f64,
    /// The limit.
    pub limit: f64,
    /// Unit of both.
    pub unit: &'static str,
}

/// One judgement.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// How bad.
    pub severity: Severity,
    /// Kebab-case name; its page explains it.
    pub name: &'static str,
    /// A few words to head it.
    pub title: String,
    /// One sentence with the number and the limit, in the user's units.
    pub sentence: String,
    /// Where in the file.
    pub place: Option<Place>,
    /// Number and limit.
    pub measure: Option<Measure>,
    /// What to change.
    pub mend: Option<Mend>,
}

impl Finding {
    /// A judgement in words; the rest is added with the methods below.
    pub fn new(severity: Severity, name: &'static str, title: impl Into<String>, sentence: impl Into<String>) -> Self {
        Self { severity, name, title: title.into(), sentence: sentence.into(), place: None, measure: None, mend: None }
    }

    /// Adds the place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// Adds number and limit.
    #[must_use]
    pub fn measured(mut self, number: f64, limit: f64, unit: &'static str) -> Self {
        self.measure = Some(Measure { number, limit, unit });
        self
    }

    /// Adds a way out in words.
    #[must_use]
    pub fn mend(mut self, say: impl Into<String>) -> Self {
        self.mend = Some(Mend { say: say.into(), remains: String::new(), change: None });
        self
    }

    /// Adds a way out that can be written into the file.
    #[must_use]
    pub fn mend_by(mut self, say: impl Into<String>, remains: impl Into<String>, change: Change) -> Self {
        self.mend = Some(Mend { say: say.into(), remains: remains.into(), change: Some(change) });
        self
    }
}
