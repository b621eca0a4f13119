//! Runs the rows of a sheet.

use crate::given::Given;
use crate::registry::{self, Check};
use crate::sheet::{Case, Kind, Sheet};
use serde::Serialize;
use std::fmt;

/// What came of one quantity of one case.
#[derive(Clone, Debug, Serialize)]
pub struct Outcome {
    /// Name of the sheet, `domain/name`.
    pub sheet: String,
    /// Name of the case in it.
    pub id: String,
    /// What stands behind the expected value.
    pub kind: Kind,
    /// Which quantity; the name carries its unit.
    pub quantity: String,
    /// Where the expected value comes from.
    pub source: String,
    /// The value from outside.
    pub expected: f64,
    /// The value of the function under test; not a number where the check did not run.
    pub got: f64,
    /// Allowed difference.
    pub tolerance: f64,
    /// The difference found, relative to the expected value or in the quantity's own unit.
    pub error: f64,
    /// Whether `tolerance` and `error` are absolute.
    pub absolute: bool,
    /// Why that difference is allowed.
    pub tolerance_why: String,
    /// Within the tolerance.
    pub passed: bool,
    /// Why this row fails and stays, where it is known to.
    pub expected_failure: Option<String>,
    /// What kept the check from running: a fault of the row, never of the function under test.
    pub fault: Option<String>,
}

impl Outcome {
    /// Whether someone must look: a row that fails unannounced, or no longer fails as announced,
    /// or that could not run.
    pub fn surprising(&self) -> bool {
        self.fault.is_some() || self.passed == self.expected_failure.is_some()
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {} ({}) {}: ", self.sheet, self.id, self.kind, self.quantity)?;
        if let Some(fault) = &self.fault {
            return write!(f, "did not run: {fault}");
        }
        let how = if self.absolute { "absolute" } else { "relative" };
        let verdict = if self.passed { "holds" } else { "fails" };
        let Self { expected, got, error, tolerance, .. } = self;
        write!(f, "{verdict}, expected {expected}, got {got}, {how} error {error:.3e}, allowed {tolerance:e}")
    }
}

/// Runs every case of a sheet; one outcome for each expected quantity.
pub fn run(sheet: &Sheet) -> Vec<Outcome> {
    sheet.cases.iter().flat_map(|case| run_case(&sheet.name, case)).collect()
}

fn run_case(sheet: &str, case: &Case) -> Vec<Outcome> {
    let results = match registry::check(&case.check) {
        None => Err(format!("no check is called `{}`", case.check)),
        Some(check) => call(check, case),
    };
    case.expect.iter().map(|(quantity, &expected)| judge(sheet, case, quantity, expected, &results)).collect()
}

fn call(check: Check, case: &Case) -> Result<Vec<(&'static str, f64)>, String> {
    let given = Given::new(&case.given);
    let results = check(&given)?;
    match given.unread().as_slice() {
        [] => Ok(results),
        keys => Err(format!("check `{}` knows no given `{}`", case.check, keys.join("`, `"))),
    }
}

fn judge(
    sheet: &str,
    case: &Case,
    quantity: &str,
    expected: f64,
    results: &Result<Vec<(&'static str, f64)>, String>,
) -> Outcome {
    let found = results.as_ref().map_err(Clone::clone).and_then(|all| {
        all.iter().find(|(name, _)| *name == quantity).map(|(_, x)| *x).ok_or_else(|| {
            let names: Vec<&str> = all.iter().map(|r| r.0).collect();
            format!("check `{}` gives no `{quantity}`; it gives {}", case.check, names.join(", "))
        })
    });
    let (got, fault) = match found {
        Ok(x) => (x, None),
        Err(message) => (f64::NAN, Some(message)),
    };
    let (tolerance, absolute) = case.tolerance_of(quantity).unwrap_or((0.0, true));
    let difference = (got - expected).abs();
    let error = if absolute { difference } else { difference / expected.abs() };
    Outcome {
        sheet: sheet.to_owned(),
        id: case.id.clone(),
        kind: case.kind,
        quantity: quantity.to_owned(),
        source: case.source.clone(),
        expected,
        got,
        tolerance,
        error,
        absolute,
        tolerance_why: case.tolerance_why.clone(),
        // A value that is not a number compares false, and so fails.
        passed: error <= tolerance,
        expected_failure: case.expected_failure.clone(),
        fault,
    }
}
