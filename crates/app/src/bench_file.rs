//! A bench file and the parts beside it.

use crate::store;
use crate::terminal::{Outcome, Trouble, show_faults};
use std::path::{Path, PathBuf};
use tidewright_plan::advice;
use tidewright_rig::parts::Library;
use tidewright_rig::{Finding, Rig, Severity, read_bytes};

/// The demo benches, built in.
pub(crate) const DEMOS: [(&str, &str); 2] = [
    ("quayside-kitchen.toml", include_str!("../../../examples/quayside-kitchen.toml")),
    ("nursery-bench.toml", include_str!("../../../examples/nursery-bench.toml")),
];

/// Where a bench comes from; shared by all commands.
#[derive(clap::Args, Clone)]
pub(crate) struct Source {
    /// The bench file; without one, the demo bench.
    pub(crate) file: Option<PathBuf>,
    /// A file with parts of your own; `parts.toml` beside the bench file is read anyway.
    #[arg(long, value_name = "FILE")]
    pub(crate) parts: Vec<PathBuf>,
}

/// A bench as read.
pub(crate) struct Bench {
    /// With every crest that the file leaves to advice at its advised height.
    pub(crate) rig: Rig,
    /// Remarks of the reading.
    pub(crate) remarks: Vec<Finding>,
}

impl Source {
    /// Name for messages.
    pub(crate) fn name(&self) -> String {
        self.file.as_ref().map_or_else(|| DEMOS[0].0.to_owned(), |f| f.display().to_string())
    }

    /// The bytes of the file, or of the demo.
    pub(crate) fn bytes(&self) -> Result<Vec<u8>, Trouble> {
        self.file.as_ref().map_or_else(|| Ok(DEMOS[0].1.as_bytes().to_vec()), |f| store::load(f))
    }

    /// Shipped parts and the user's own.
    pub(crate) fn library(&self) -> Result<Library, Trouble> {
        let mut library = Library::shipped();
        let beside = self.file.as_ref().map(|f| f.with_file_name("parts.toml")).filter(|p| p.is_file());
        for path in beside.iter().chain(&self.parts) {
            add_parts(&mut library, path)?;
        }
        if let Some(file) = &self.file {
            add_room(&mut library, file)?;
            add_lamps(&mut library, file)?;
        }
        Ok(library)
    }

    /// Reads the bench and hands it on; its faults go to stderr.
    ///
    /// # Errors
    /// A trouble where a fault stands in the way.
    pub(crate) fn with(&self, go: impl FnOnce(Bench) -> Outcome) -> Outcome {
        let bytes = self.bytes()?;
        let reading = read_bytes(&bytes, &self.library()?);
        show_faults(&self.name(), String::from_utf8_lossy(&bytes).trim_start_matches('\u{feff}'), &reading.findings);
        match reading.rig {
            Some(rig) => go(Bench { rig: advice::settle_crests(&rig).0, remarks: reading.findings }),
            None => {
                let stops = reading.findings.iter().filter(|f| f.severity == Severity::Stop).count();
                Err(Trouble(format!("{} does not read: {stops} to mend", self.name())))
            }
        }
    }
}

/// A logger's readings of a year by the minute, and a lamp's photometric file \[bytes\].
const LARGEST_LOG: usize = 32 * 1024 * 1024;
const LARGEST_WEB: usize = 4 * 1024 * 1024;

/// A logger's readings that the bench file asks for; where they are not there the reading says so.
fn add_room(library: &mut Library, bench: &Path) -> Result<(), Trouble> {
    let Some(name) = std::fs::read_to_string(bench).ok().and_then(|t| tidewright_rig::room::asked_for(&t)) else {
        return Ok(());
    };
    let path = bench.with_file_name(&name);
    if Path::new(&name).file_name().is_none_or(|n| n != name.as_str()) || !path.is_file() {
        return Ok(());
    }
    let text = String::from_utf8(store::load_at_most(&path, LARGEST_LOG)?).map_err(|_| store::no_text(&path))?;
    let (steps, faults) = tidewright_rig::room::read(&name, &text);
    show_faults(&name, &text, &faults);
    if faults.is_empty() {
        library.add_room(&name, steps);
    }
    Ok(())
}

/// Photometric files of lamps that the bench file asks for; where one is not there the reading says so.
fn add_lamps(library: &mut Library, bench: &Path) -> Result<(), Trouble> {
    let names = std::fs::read_to_string(bench).map(|t| tidewright_rig::photometry::asked_for(&t)).unwrap_or_default();
    for name in names {
        let path = bench.with_file_name(&name);
        if Path::new(&name).file_name().is_none_or(|n| n != name.as_str()) || !path.is_file() {
            continue;
        }
        // Old files are in the code pages of their day: only their keywords can suffer.
        let text = String::from_utf8_lossy(&store::load_at_most(&path, LARGEST_WEB)?).into_owned();
        match tidewright_rig::photometry::read(&name, &text) {
            Ok(p) => library.add_photometry(&name, p),
            Err(f) => {
                show_faults(&name, &text, &[*f]);
                library.add_unreadable_photometry(&name);
            }
        }
    }
    Ok(())
}

fn add_parts(library: &mut Library, path: &Path) -> Result<(), Trouble> {
    let bytes = store::load(path)?;
    let text = String::from_utf8(bytes).map_err(|_| store::no_text(path))?;
    library.add(&path.display().to_string(), &text).map_err(|f| Trouble(f.sentence))
}
