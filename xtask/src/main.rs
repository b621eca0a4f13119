//! `cargo xtask tidy`: holds the code against what the documents promise. Says everything it finds.

mod docs;
mod edges;
mod files;
mod pure;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn main() -> ExitCode {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().map(PathBuf::from).unwrap_or_default();
    match std::env::args().nth(1).as_deref() {
        Some("tidy") => tidy(&root),
        _ => {
            eprintln!("cargo xtask tidy   hold the code against what the documents promise");
            ExitCode::from(2)
        }
    }
}

fn tidy(root: &Path) -> ExitCode {
    let mut faults = Vec::new();
    edges::check(root, &mut faults);
    files::check(root, &mut faults);
    pure::check(root, &mut faults);
    docs::check(root, &mut faults);
    for f in &faults {
        eprintln!("tidy: {f}");
    }
    if faults.is_empty() {
        println!("tidy: edges, file lengths, pure crates and documents hold");
        return ExitCode::SUCCESS;
    }
    eprintln!("tidy: {} to mend", faults.len());
    ExitCode::from(1)
}

/// All files below a folder with one of these endings, build output left out.
pub(crate) fn files_below(root: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut todo = vec![root.to_path_buf()];
    while let Some(dir) = todo.pop() {
        let Ok(entries) = std::fs::read_dir(&dir) else { continue };
        for entry in entries.flatten() {
            let path = entry.path();
            let name = entry.file_name().to_string_lossy().into_owned();
            if path.is_dir() {
                if name != "target" && !name.starts_with('.') {
                    todo.push(path);
                }
            } else if endings.iter().any(|e| name.ends_with(e)) {
                out.push(path);
            }
        }
    }
    out.sort();
    out
}

/// A path as the documents write it.
pub(crate) fn shown(root: &Path, path: &Path) -> String {
    path.strip_prefix(root).unwrap_or(path).display().to_string()
}
