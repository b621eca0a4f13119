//! A sheet of cases: its file format, and what makes a file acceptable.

use crate::registry;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// What stands behind the expected value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Printed in a standard, handbook, paper or dataset.
    Pub,
    /// A closed form.
    Exact,
    /// A conservation law, limit, symmetry or monotony.
    Law,
    /// An independent program or method, kept runnable.
    Twin,
    /// A real bench's record.
    Live,
    /// Common practice, no source.
    Trade,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Kind::Pub => "pub",
            Kind::Exact => "exact",
            Kind::Law => "law",
            Kind::Twin => "twin",
            Kind::Live => "live",
            Kind::Trade => "trade",
        })
    }
}

/// Why a file was not accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadError {
    /// Name of the sheet, `domain/name`.
    pub sheet: String,
    /// What is wrong with it.
    pub message: String,
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "evidence/{}.toml: {}", self.sheet, self.message)
    }
}

impl std::error::Error for LoadError {}

/// One file of evidence.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// `domain/name`, the path under `evidence/` without its ending.
    pub name: String,
    /// What is checked.
    pub title: String,
    /// Anything a reader of the whole sheet should know.
    pub note: Option<String>,
    /// The rows.
    pub cases: Vec<Case>,
}

/// One row, with what it does not say itself taken from the head of its sheet.
#[derive(Clone, Debug)]
pub struct Case {
    /// Name, unique in the sheet.
    pub id: String,
    /// What stands behind the expected values.
    pub kind: Kind,
    /// Name of the check function.
    pub check: String,
    /// Where the expected values come from, to the table or equation.
    pub source: String,
    /// Anything a reader should know.
    pub note: Option<String>,
    /// Inputs; names carry units.
    pub given: toml::Table,
    /// Quantities (names carry units) and the values expected of them.
    pub expect: BTreeMap<String, f64>,
    /// Allowed difference, relative to the expected value.
    pub tolerance: Option<f64>,
    /// Allowed difference in the quantity's own unit; goes before the relative one.
    pub tolerance_abs: BTreeMap<String, f64>,
    /// Why that difference is allowed.
    pub tolerance_why: String,
    /// Why this row fails and stays.
    pub expected_failure: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSheet {
    title: String,
    source: String,
    kind: Kind,
    check: String,
    tolerance_why: String,
    note: Option<String>,
    case: Vec<RawCase>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCase {
    id: String,
    kind: Option<Kind>,
    check: Option<String>,
    source: Option<String>,
    note: Option<String>,
    given: toml::Table,
    expect: BTreeMap<String, f64>,
    tolerance: Option<f64>,
    #[serde(default)]
    tolerance_abs: BTreeMap<String, f64>,
    tolerance_why: Option<String>,
    expected_failure: Option<String>,
}

impl Sheet {
    /// Reads and validates one file.
    pub fn parse(name: &str, text: &str) -> Result<Self, LoadError> {
        let fault = |message: String| LoadError { sheet: name.to_owned(), message };
        let raw: RawSheet = toml::from_str(text).map_err(|e| fault(e.to_string()))?;
        for (key, value) in [("title", &raw.title), ("source", &raw.source), ("tolerance_why", &raw.tolerance_why)] {
            if value.trim().is_empty() {
                return Err(fault(format!("`{key}` is empty")));
            }
        }
        if raw.case.is_empty() {
            return Err(fault("no case".to_owned()));
        }
        let mut ids = BTreeSet::new();
        let mut cases = Vec::with_capacity(raw.case.len());
        for row in raw.case {
            let case = Case {
                kind: row.kind.unwrap_or(raw.kind),
                check: row.check.unwrap_or_else(|| raw.check.clone()),
                source: row.source.unwrap_or_else(|| raw.source.clone()),
                note: row.note,
                given: row.given,
                expect: row.expect,
                tolerance: row.tolerance,
                tolerance_abs: row.tolerance_abs,
                tolerance_why: row.tolerance_why.unwrap_or_else(|| raw.tolerance_why.clone()),
                expected_failure: row.expected_failure,
                id: row.id,
            };
            case.validate().map_err(|m| fault(format!("case `{}`: {m}", case.id)))?;
            if !ids.insert(case.id.clone()) {
                return Err(fault(format!("case `{}` stands twice", case.id)));
            }
            cases.push(case);
        }
        Ok(Self { name: name.to_owned(), title: raw.title, note: raw.note, cases })
    }

    /// The domain, first part of the name.
    pub fn domain(&self) -> &str {
        self.name.split('/').next().unwrap_or_default()
    }
}

impl Case {
    /// The allowed difference of a quantity, and whether it is absolute.
    pub fn tolerance_of(&self, quantity: &str) -> Option<(f64, bool)> {
        match self.tolerance_abs.get(quantity) {
            Some(&absolute) => Some((absolute, true)),
            None => self.tolerance.map(|relative| (relative, false)),
        }
    }

    fn validate(&self) -> Result<(), String> {
        if !is_kebab(&self.id) {
            return Err("the id is not kebab-case".to_owned());
        }
        if registry::check(&self.check).is_none() {
            return Err(format!("no check is called `{}`", self.check));
        }
        if self.expect.is_empty() {
            return Err("nothing is expected".to_owned());
        }
        if let Some(stray) = self.tolerance_abs.keys().find(|k| !self.expect.contains_key(*k)) {
            return Err(format!("a tolerance for `{stray}`, which is not expected"));
        }
        if self.expected_failure.is_some() && self.expect.len() > 1 {
            return Err("a row that stays failing expects one quantity only, so that it is clear which".to_owned());
        }
        for (quantity, expected) in &self.expect {
            match self.tolerance_of(quantity) {
                None => return Err(format!("no tolerance for `{quantity}`")),
                Some((t, _)) if !(t.is_finite() && t >= 0.0) => return Err(format!("tolerance {t} for `{quantity}`")),
                Some((_, false)) if *expected == 0.0 => {
                    return Err(format!("`{quantity}` is expected nil: give it a tolerance_abs"));
                }
                Some(_) => {}
            }
        }
        Ok(())
    }
}

fn is_kebab(id: &str) -> bool {
    !id.is_empty()
        && id.split('-').all(|p| !p.is_empty() && p.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()))
}
