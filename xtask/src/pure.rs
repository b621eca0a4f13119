//! The six pure crates: values in, values out. No file, clock, socket, thread or terminal.

use crate::{files_below, shown};
use std::path::Path;
use std::process::Command;

const PURE: [&str; 6] = ["physics", "rig", "sim", "plan", "report", "evidence"];
const FORBIDDEN: [&str; 9] = [
    "std::fs",
    "std::net",
    "std::time",
    "std::process",
    "std::thread",
    "std::env",
    "SystemTime",
    "println!(",
    "eprintln!(",
];
const TARGET: &str = "wasm32-unknown-unknown";

pub(crate) fn check(root: &Path, faults: &mut Vec<String>) {
    for name in PURE {
        for path in files_below(&root.join("crates").join(name).join("src"), &[".rs"]) {
            let Ok(text) = std::fs::read_to_string(&path) else { continue };
            // Tests may read the example files.
            let program = text.split("#[cfg(test)]").next().unwrap_or("");
            for (number, line) in program.lines().enumerate() {
                let code = line.split("//").next().unwrap_or("");
                if let Some(word) = FORBIDDEN.iter().find(|w| code.contains(**w)) {
                    faults.push(format!("{}:{}: {word} in a pure crate", shown(root, &path), number + 1));
                }
            }
        }
    }
    if target_installed() {
        for name in PURE {
            let package = format!("tidewright-{name}");
            let built = Command::new("cargo")
                .args(["check", "--quiet", "--package", &package, "--target", TARGET])
                .current_dir(root)
                .status();
            if !built.is_ok_and(|s| s.success()) {
                faults.push(format!("{package} does not compile for {TARGET}"));
            }
        }
    } else {
        println!("tidy: {TARGET} is not installed here, so compiling for it was not checked");
    }
}

fn target_installed() -> bool {
    Command::new("rustc")
        .args(["--print", "target-libdir", "--target", TARGET])
        .output()
        .is_ok_and(|o| o.status.success() && Path::new(String::from_utf8_lossy(&o.stdout).trim()).exists())
}
