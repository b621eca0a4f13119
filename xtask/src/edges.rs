//! Which crate may use which: data flows one way.

use std::path::Path;

/// Crate and the crates that it may use. Anything else is an upward edge.
const EDGES: [(&str, &[&str]); 7] = [
    ("physics", &[]),
    ("rig", &["physics"]),
    ("sim", &["rig", "physics"]),
    ("plan", &["sim", "rig", "physics"]),
    ("report", &["plan", "sim", "rig", "physics"]),
    ("evidence", &["plan", "sim", "rig", "physics"]),
    ("app", &["evidence", "report", "plan", "sim", "rig", "physics"]),
];

pub(crate) fn check(root: &Path, faults: &mut Vec<String>) {
    let Ok(entries) = std::fs::read_dir(root.join("crates")) else {
        faults.push("there is no crates folder".into());
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let Some((_, allowed)) = EDGES.iter().find(|(n, _)| *n == name) else {
            faults.push(format!("crates/{name} has no place in the order of crates (xtask/src/edges.rs)"));
            continue;
        };
        let manifest = entry.path().join("Cargo.toml");
        let Some(table) = std::fs::read_to_string(&manifest).ok().and_then(|t| t.parse::<toml::Table>().ok()) else {
            faults.push(format!("crates/{name}/Cargo.toml does not read"));
            continue;
        };
        // Tests may look from further up; the program may not.
        for section in ["dependencies", "build-dependencies"] {
            let Some(toml::Value::Table(deps)) = table.get(section) else { continue };
            for dep in deps.keys().filter_map(|d| d.strip_prefix("tidewright-")) {
                if !allowed.contains(&dep) {
                    faults.push(format!("crates/{name} uses {dep}: an edge against the flow"));
                }
            }
        }
    }
}
