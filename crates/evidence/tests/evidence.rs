//! The evidence itself, and the promise that its runner can fail.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use tidewright_evidence::{Outcome, Sheet, all, registry, run};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn outcomes() -> Vec<Outcome> {
    let sheets = all().unwrap_or_else(|faults| {
        panic!("{}", faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"));
    });
    sheets.iter().flat_map(run).collect()
}

#[test]
fn every_row_holds_or_says_why_not() {
    let all = outcomes();
    let surprising: Vec<String> = all.iter().filter(|o| o.surprising()).map(ToString::to_string).collect();
    assert!(surprising.is_empty(), "{} of {} rows:\n{}", surprising.len(), all.len(), surprising.join("\n"));
}

const SAND: &str = r#"
title = "Sand"
source = "nowhere"
kind = "exact"
check = "retention"
tolerance_why = "a test"
[[case]]
id = "sand"
given = { theta_r = 0.045, theta_s = 0.43, alpha_per_m = 14.5, n = 2.68, suction_mm = 100.0 }
expect = { water_content = 0.214344 }
tolerance = 1e-5
"#;

fn one(text: &str) -> Outcome {
    let sheet = Sheet::parse("test/sand", text).expect("a sheet");
    run(&sheet).pop().expect("an outcome")
}

#[test]
fn a_wrong_row_fails() {
    assert!(!one(SAND).surprising());

    let wrong = one(&SAND.replace("0.214344", "0.214364"));
    assert!(!wrong.passed && wrong.surprising() && wrong.fault.is_none());

    let announced = SAND.replace("0.214344", "0.3") + "expected_failure = \"a test\"\n";
    assert!(!one(&announced).surprising());

    let stale = SAND.to_owned() + "expected_failure = \"no longer true\"\n";
    assert!(one(&stale).surprising());

    let not_a_number = one(&SAND.replace("alpha_per_m = 14.5", "alpha_per_m = nan"));
    assert!(not_a_number.got.is_nan() && !not_a_number.passed && not_a_number.surprising());
}

#[test]
fn a_row_that_cannot_run_says_what_is_wrong() {
    for (from, to, hint) in [
        ("suction_mm = 100.0", "suction_mm = 100.0, colour = 3", "knows no given `colour`"),
        ("n = 2.68, ", "", "`n` is missing"),
        ("suction_mm = 100.0", "height_mm = 100.0", "`suction` is missing"),
        ("suction_mm = 100.0", "suction_mm = 100.0, suction_cm = 10.0", "two units"),
        ("n = 2.68", "n = \"steep\"", "not a number"),
        ("water_content = 0.2", "wetness = 0.2", "gives no `wetness`"),
    ] {
        let outcome = one(&SAND.replace(from, to));
        let fault = outcome.fault.clone().unwrap_or_default();
        assert!(outcome.surprising() && fault.contains(hint), "{to}: {fault}");
    }
    for (from, to, hint) in [
        ("id = \"sand\"", "id = \"Sand 1\"", "kebab-case"),
        ("check = \"retention\"", "check = \"retain\"", "no check is called `retain`"),
        ("tolerance = 1e-5", "", "no tolerance"),
        ("tolerance = 1e-5", "tolerance = 1e-5\nweather = 1", "weather"),
        ("kind = \"exact\"", "kind = \"hearsay\"", "hearsay"),
        ("source = \"nowhere\"", "source = \" \"", "`source` is empty"),
        ("0.214344", "0.0", "tolerance_abs"),
        ("tolerance = 1e-5", "tolerance_abs = { wetness = 1.0 }", "not expected"),
    ] {
        let fault = Sheet::parse("test/sand", &SAND.replace(from, to)).expect_err(to);
        assert!(fault.message.contains(hint), "{to}: {fault}");
    }
    let row = SAND.split_once("[[case]]").map_or("", |s| s.1);
    let twice = format!("{SAND}[[case]]{row}");
    assert!(Sheet::parse("test/sand", &twice).expect_err("twice").message.contains("stands twice"));
}

#[test]
fn ids_are_unique_and_every_check_is_used_once_by_name() {
    let sheets = all().expect("sheets");
    for sheet in &sheets {
        let ids: BTreeSet<&str> = sheet.cases.iter().map(|c| c.id.as_str()).collect();
        assert_eq!(ids.len(), sheet.cases.len(), "{}", sheet.name);
    }
    let names: Vec<&str> = registry::names().collect();
    let distinct: BTreeSet<&str> = names.iter().copied().collect();
    assert_eq!(distinct.len(), names.len(), "two checks share a name");
    let used: BTreeSet<&str> = sheets.iter().flat_map(|s| &s.cases).map(|c| c.check.as_str()).collect();
    let idle: Vec<&&str> = distinct.difference(&used).collect();
    assert!(idle.is_empty(), "checks without a case: {idle:?}");
}

fn files(dir: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(dir).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, ending, found);
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
}

#[test]
fn every_file_of_the_folder_ships() {
    let folder = root().join("evidence");
    let mut found = Vec::new();
    files(&folder, "toml", &mut found);
    let on_disk: BTreeSet<String> = found
        .iter()
        .map(|p| p.strip_prefix(&folder).expect("inside").with_extension("").to_string_lossy().replace('\\', "/"))
        .collect();
    let shipped: BTreeSet<String> = all().expect("sheets").into_iter().map(|s| s.name).collect();
    assert_eq!(on_disk, shipped, "list every file in src/embedded.rs");
}

#[test]
fn every_cited_file_exists() {
    let mut sources = Vec::new();
    files(&root().join("crates/physics/src"), "rs", &mut sources);
    let (mut cited, mut missing) = (0, Vec::new());
    for path in sources {
        let text = std::fs::read_to_string(&path).expect("a source file");
        // The path alone marks a citation, so that a list running over two lines counts in full.
        for mark in text.split('`').filter(|s| s.starts_with("evidence/") && s.ends_with(".toml")) {
            cited += 1;
            if !root().join(mark).is_file() {
                missing.push(format!("{}: {mark}", path.display()));
            }
        }
    }
    assert!(cited > 20, "only {cited} citations found");
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}
