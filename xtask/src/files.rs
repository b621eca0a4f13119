//! Files stay short enough to read from top to bottom.

use crate::{files_below, shown};
use std::path::Path;

/// Past this a file needs a stated reason.
const MOST_LINES: usize = 700;
/// Words that open a stated reason, in the file's first lines.
const REASON: &str = "Long because";

pub(crate) fn check(root: &Path, faults: &mut Vec<String>) {
    for path in files_below(root, &[".rs", ".js", ".css", ".py"]) {
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        let lines = text.lines().count();
        if lines > MOST_LINES && !text.lines().take(12).any(|l| l.contains(REASON)) {
            faults.push(format!(
                "{} has {lines} lines (limit {MOST_LINES}); split it or say \"{REASON} …\"",
                shown(root, &path)
            ));
        }
    }
    for path in files_below(&root.join("crates"), &[".rs"]) {
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        for word in ["todo!(", "unimplemented!(", "dbg!("] {
            if text.contains(word) {
                faults.push(format!("{} still holds {word}…)", shown(root, &path)));
            }
        }
    }
}
