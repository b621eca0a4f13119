//! The list of findings.

use crate::words;
use maud::{Markup, html};
use tidewright_rig::{Finding, Severity};

/// Good ones shown before the rest is folded away.
const GOOD_SHOWN: usize = 2;

/// All findings, the gravest first.
pub fn list(findings: &[Finding]) -> Markup {
    let grave: Vec<&Finding> = findings.iter().filter(|f| f.severity != Severity::Good).collect();
    let good: Vec<&Finding> = findings.iter().filter(|f| f.severity == Severity::Good).collect();
    let shown = if grave.len() >= 6 { 0 } else { GOOD_SHOWN.min(good.len()) };
    html! {
        p class="tally" { (tally(findings)) }
        @for f in grave.iter().chain(&good[..shown]) { (one(f)) }
        @if good.len() > shown {
            details class="more-good" {
                summary { (Severity::Good.sign()) " " (good.len() - shown) @if shown > 0 { " more hold" } @else { " hold" } }
                @for f in &good[shown..] { (one(f)) }
            }
        }
    }
}

/// "1 stop · 2 care · 3 note · 15 hold".
pub fn tally(findings: &[Finding]) -> String {
    let count = |s: Severity| findings.iter().filter(|f| f.severity == s).count();
    let mut parts: Vec<String> = [(Severity::Stop, "stop"), (Severity::Care, "care"), (Severity::Note, "note")]
        .into_iter()
        .filter(|(s, _)| count(*s) > 0)
        .map(|(s, w)| format!("{} {w}", count(s)))
        .collect();
    let good = count(Severity::Good);
    if good > 0 {
        parts.push(words::count(good, "holds", "hold"));
    }
    if parts.is_empty() { "nothing judged".into() } else { parts.join(" · ") }
}

/// Faults of the file, in words, with their line.
pub fn faults(faults: &[Finding]) -> Markup {
    html! {
        @if !faults.is_empty() {
            section class="faults" aria-labelledby="faults-title" {
                h2 id="faults-title" {
                    @if faults.iter().any(|f| f.severity == Severity::Stop) {
                        (words::count(faults.len(), "thing", "things")) " in the file to look at; the drawing shows the last bench that could be read"
                    } @else { (words::count(faults.len(), "remark", "remarks")) " on the file" }
                }
                @for f in faults { (one(f)) }
            }
        }
    }
}

/// One finding.
pub fn one(f: &Finding) -> Markup {
    let class = f.severity.word().to_lowercase();
    html! {
        article class={ "finding " (class) } data-name=(f.name) {
            p class="severity" { span class="sign" aria-hidden="true" { (f.severity.sign()) } " " (f.severity.word()) }
            h3 { (f.title) }
            p class="sentence" { (f.sentence) }
            @if let Some(m) = &f.mend {
                p class="do" {
                    span aria-hidden="true" { "→ " }
                    strong { (m.say) }
                    @if !m.remains.is_empty() { " " span class="remains" { (m.remains) } }
                }
            }
            p class="links" {
                @if let Some(c) = f.mend.as_ref().and_then(|m| m.change.as_ref()) {
                    button type="button" class="apply" data-path=(c.path) data-value=(c.value) aria-label={ "Apply: " (f.mend.as_ref().map_or("", |m| m.say.as_str())) } { "Apply" }
                }
                a class="why" href={ "/explain/" (f.name) } { "Why" span class="unseen" { ": " (f.title) } }
                @if let Some(p) = &f.place {
                    @if !p.path.is_empty() {
                        a class="where" href={ "#" (crate::keys::field_id(&p.path)) } data-path=(p.path) {
                            @if p.line > 0 { "line " (p.line) } @else { (p.path) }
                        }
                    } @else if p.line > 0 { span class="where" { "line " (p.line) ", column " (p.column) } }
                }
            }
        }
    }
}
