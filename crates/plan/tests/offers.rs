//! An offered change, written into the file and read again, keeps its promise: its finding goes and
//! nothing graver comes.

use std::path::{Path, PathBuf};
use tidewright_plan::{Survey, advice, count, judge};
use tidewright_rig::edit;
use tidewright_rig::finding::Change;
use tidewright_rig::parts::Library;
use tidewright_rig::{Finding, Severity, read};

fn findings(text: &str) -> Option<Vec<Finding>> {
    let rig = read(text, &Library::shipped()).rig?;
    Some(judge(&Survey::of(&advice::settle_crests(&rig).0, 48)))
}

fn examples() -> Vec<(String, String)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut out: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p: PathBuf| (name(&p), std::fs::read_to_string(&p).unwrap()))
        .collect();
    out.sort();
    out
}

fn name(p: &Path) -> String {
    p.file_stem().unwrap().to_string_lossy().into_owned()
}

/// Ways to spoil a bench, so that there is something to mend.
const SPOILT: [(&str, &str); 8] = [
    ("reservoir.fill", "\"35 L\""),
    ("reservoir.fill", "\"95 L\""),
    ("timer.minutes", "\"3 min\""),
    ("drain.crest", "\"140 mm\""),
    ("drain.crest", "\"10 mm\""),
    ("pump.max_head", "\"0.9 m\""),
    ("tray.drain.crest", "\"190 mm\""),
    ("blocks.height", "\"60 mm\""),
];

fn keeps_its_promise(who: &str, text: &str, before: &[Finding], f: &Finding, change: &Change) {
    let written = edit::set(text, &change.path, &edit::as_toml(&change.value))
        .unwrap_or_else(|e| panic!("{who}: {} = {}: {e}", change.path, change.value));
    let after = findings(&written).unwrap_or_else(|| panic!("{who}: {} = {} does not read", change.path, change.value));
    let same = |all: &[Finding]| all.iter().filter(|x| x.name == f.name && x.severity <= f.severity).count();
    assert!(same(&after) < same(before), "{who}: {} stays after {} = {}", f.name, change.path, change.value);
    assert!(
        count(&after, Severity::Stop) <= count(before, Severity::Stop),
        "{who}: {} = {} brings a stop",
        change.path,
        change.value
    );
}

#[test]
fn law_offers_written_to_the_file_do_what_they_say() {
    let mut tried = 0;
    for (who, text) in examples() {
        let mut texts = vec![text.clone()];
        // The same bench with its one tray as the only member of a list.
        if text.matches("\n[tray]\n").count() == 1 && !text.contains("[tray.") {
            texts.push(text.replace("\n[tray]\n", "\n[[tray]]\n"));
        }
        for (path, value) in SPOILT {
            texts.extend(edit::set(&text, path, value));
        }
        for text in texts {
            let Some(before) = findings(&text) else { continue };
            for f in &before {
                let Some(change) = f.mend.as_ref().and_then(|m| m.change.as_ref()) else { continue };
                keeps_its_promise(&who, &text, &before, f, change);
                tried += 1;
            }
        }
    }
    assert!(tried >= 20, "only {tried} offers were found to try");
}
