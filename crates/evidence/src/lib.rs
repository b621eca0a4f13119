//! The checks against the outside: cases of `evidence/`, run against the public functions.
//!
//! A [`Sheet`] is one file there; the data ship in the binary, so that anyone can run them. A check
//! is a plain function that reads a case's inputs and calls the functions under test; [`registry`]
//! knows it by name. To add a domain: a file in `checks`, a line in [`registry::check`], the sheets
//! in `evidence/<domain>/`, a line each in `embedded.rs`. `evidence/README.md` gives the file format.

mod checks;
mod embedded;
mod given;
pub mod random;
pub mod registry;
mod run;
mod sheet;

pub mod twin;

pub use given::Given;
pub use run::{Outcome, run};
pub use sheet::{Case, Kind, LoadError, Sheet};

/// Every sheet that ships, in the order of their names; all faults at once.
pub fn all() -> Result<Vec<Sheet>, Vec<LoadError>> {
    let (mut sheets, mut faults) = (Vec::new(), Vec::new());
    for (name, text) in embedded::SHEETS {
        match Sheet::parse(name, text) {
            Ok(sheet) => sheets.push(sheet),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(sheets) } else { Err(faults) }
}
