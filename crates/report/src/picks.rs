//! Fields of a page, out of the bench's value sheet.

use maud::{Markup, html};
use tidewright_rig::read::SheetLine;
use tidewright_rig::{Finding, Rig, Severity};

/// Fields of all values below some sections, in the order of the file.
pub fn fields(rig: &Rig, sections: &[&str]) -> Markup {
    let lines = rig.sheet.iter().filter(|l| sections.iter().any(|s| below(&l.path, s)));
    html! {
        div class="picks" {
            @for l in lines {
                label class="pick" title=(l.birth.story()) {
                    span { (label(l)) " " small { (l.birth.word()) } }
                    @if l.choices.is_empty() {
                        input data-path=(l.path) value=(l.text) autocomplete="off";
                    } @else {
                        select data-path=(l.path) { @for c in &l.choices { option value=(c) selected[*c == l.text.trim_matches('"')] { (c) } } }
                    }
                }
            }
        }
    }
}

/// A section as a person says it: `lamp[0]` is lamp 1, `air.stone` the air stone.
fn said(section: &str) -> String {
    let name = |s: &str| match s.strip_suffix(']').and_then(|s| s.split_once('[')) {
        Some((name, n)) => n.parse::<usize>().map_or_else(|_| name.to_owned(), |n| format!("{name} {}", n + 1)),
        None => s.to_owned(),
    };
    section.split('.').map(name).collect::<Vec<_>>().join(" ")
}

/// A label that says whose part it is.
fn label(l: &SheetLine) -> String {
    match l.path.strip_suffix(".part") {
        Some(of) => format!("{} from the parts list", said(of)),
        None => l.label.to_owned(),
    }
}

/// Whether a key stands in a section, or is it.
fn below(path: &str, section: &str) -> bool {
    path == section || path.strip_prefix(section).is_some_and(|rest| rest.starts_with('.') || rest.starts_with('['))
}

/// A button that adds a section by its first value.
pub fn add(path: &str, value: &str, words: &str) -> Markup {
    html! { p { button type="button" data-add=(path) data-value=(value) { (words) } } }
}

/// Whether the file says anything of a section.
pub fn stated(rig: &Rig, section: &str) -> bool {
    rig.sheet.iter().any(|l| below(&l.path, section) && l.birth.word() != "assumed")
}

/// Findings as a section of a page.
pub fn found(all: &[Finding]) -> Markup {
    let good = all.iter().filter(|f| f.severity == Severity::Good).count();
    html! {
        section class="found" {
            h2 { "Findings" }
            @for f in all.iter().filter(|f| f.severity != Severity::Good) {
                p class={ "finding " (f.severity.word().to_lowercase()) } {
                    strong { (f.severity.sign()) " " (f.severity.word()) ": " (f.title) } " " (f.sentence)
                    @if let Some(m) = &f.mend { " → " (m.say) }
                    " " a class="why" href={ "/explain/" (f.name) } { "why" }
                }
            }
            @if good > 0 { p class="good-count" { "✓ " (good) " other checks hold" } }
        }
    }
}

/// Faults of the last edit, and the button that saves.
pub fn kept(faults: &[Finding], saved: bool) -> Markup {
    html! {
        @for f in faults { p class="warned" { "■ " (f.sentence) @if let Some(m) = &f.mend { " " (m.say) } } }
        p { button type="button" data-save="" disabled[saved] { "Save the bench file" } }
    }
}
