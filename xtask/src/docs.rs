//! What the documents promise: files they name, commands they show, evidence that doc comments cite.

use crate::{files_below, shown};
use std::path::Path;

pub(crate) fn check(root: &Path, faults: &mut Vec<String>) {
    for name in ["README.md", "ARCHITECTURE.md", "CONTRIBUTING.md", "CHANGELOG.md", "docs/symbols.md"] {
        if !root.join(name).is_file() {
            faults.push(format!("{name} is missing"));
        }
    }
    let documents: Vec<_> = files_below(root, &[".md"]);
    for path in &documents {
        let Ok(text) = std::fs::read_to_string(path) else { continue };
        links(root, path, &text, faults);
    }
    table_of_files(root, faults);
    commands(root, faults);
    evidence(root, faults);
}

/// Every relative link leads to a file.
fn links(root: &Path, path: &Path, text: &str, faults: &mut Vec<String>) {
    for piece in text.split("](").skip(1) {
        let Some(target) = piece.split(')').next() else { continue };
        let target = target.split('#').next().unwrap_or("");
        if target.is_empty() || target.contains("://") || target.starts_with('/') || target.contains(' ') {
            continue;
        }
        let folder = path.parent().unwrap_or(root);
        if !folder.join(target).exists() {
            faults.push(format!("{} links to {target}, which is not there", shown(root, path)));
        }
    }
}

/// The table *domain × layer → file*: every cell in backticks that looks like a path must exist.
fn table_of_files(root: &Path, faults: &mut Vec<String>) {
    let Ok(text) = std::fs::read_to_string(root.join("ARCHITECTURE.md")) else { return };
    let mut cells = 0;
    for line in text.lines().filter(|l| l.starts_with('|')) {
        for piece in line.split('`').skip(1).step_by(2) {
            if piece.contains('/') {
                cells += 1;
                if !root.join(piece).exists() {
                    faults.push(format!("ARCHITECTURE.md names {piece}, which is not there"));
                }
            }
        }
    }
    if cells < 10 {
        faults.push("ARCHITECTURE.md has no table of domains and files".into());
    }
}

/// Every `tidewright WORD` that the README shows is a command.
fn commands(root: &Path, faults: &mut Vec<String>) {
    let Ok(main) = std::fs::read_to_string(root.join("crates/app/src/main.rs")) else { return };
    let documents = ["README.md", "CONTRIBUTING.md", "docs/bench-file.md", "docs/flood-model.md"];
    for name in documents {
        let Ok(text) = std::fs::read_to_string(root.join(name)) else { continue };
        for piece in text.split("`tidewright ").skip(1).chain(text.split("\ntidewright ").skip(1)) {
            let word: String = piece.chars().take_while(|c| c.is_ascii_lowercase()).collect();
            let mut variant = word.clone();
            if let Some(first) = variant.get_mut(..1) {
                first.make_ascii_uppercase();
            }
            if !word.is_empty() && !main.contains(&format!("    {variant}(commands::{word}::Args)")) {
                faults.push(format!("{name} shows \"tidewright {word}\", which is no command"));
            }
        }
    }
}

/// Every evidence file that a doc comment cites is there.
fn evidence(root: &Path, faults: &mut Vec<String>) {
    for path in files_below(&root.join("crates"), &[".rs"]) {
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        for line in text.lines().filter(|l| l.trim_start().starts_with("//")) {
            for piece in line.split("`evidence/").skip(1) {
                let file = format!("evidence/{}", piece.split('`').next().unwrap_or(""));
                if !file.contains('<') && !root.join(&file).exists() {
                    faults.push(format!("{} cites {file}, which is not there", shown(root, &path)));
                }
            }
        }
    }
}
