//! Plain text for the terminal: at most a hundred columns.

use crate::figures;
use crate::words;
use std::fmt::Write as _;
use tidewright_plan::Survey;
use tidewright_plan::spills::Spill;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::Run;

/// Widest line.
pub const COLUMNS: usize = 100;

/// Breaks a text at spaces to the width, each line begun with `indent` spaces.
pub fn wrap(text: &str, indent: usize, width: usize) -> String {
    let pad = " ".repeat(indent);
    let mut out = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut word = word.to_owned();
        let room = width.saturating_sub(indent).max(8);
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room {
            let _ = writeln!(out, "{pad}{line}");
            line.clear();
        }
        // A word longer than a line is cut: nothing may run past the edge.
        while word.chars().count() > room {
            let head: String = word.chars().take(room).collect();
            word = word.chars().skip(room).collect();
            let _ = writeln!(out, "{pad}{head}");
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    if !line.is_empty() {
        let _ = writeln!(out, "{pad}{line}");
    }
    out
}

/// Findings: sign and word, title, sentence, and the way out. Good ones as one line each when `all`,
/// else only counted.
pub fn findings(list: &[Finding], all: bool) -> String {
    let mut out = String::new();
    for f in list.iter().filter(|f| f.severity != Severity::Good) {
        out.push_str(&finding(f));
    }
    let good: Vec<&Finding> = list.iter().filter(|f| f.severity == Severity::Good).collect();
    if all {
        for f in &good {
            out.push_str(&finding(f));
        }
    } else if !good.is_empty() {
        let _ = writeln!(
            out,
            "{} {}",
            Severity::Good.sign(),
            words::count(good.len(), "other check holds", "other checks hold")
        );
    }
    out
}

/// One finding.
pub fn finding(f: &Finding) -> String {
    let place = f.place.as_ref().filter(|p| p.line > 0).map(|p| format!(" (line {})", p.line)).unwrap_or_default();
    let head = wrap(
        &format!("{} {} {}{place} [{}]", f.severity.sign(), f.severity.word(), plain(&f.title), f.name),
        0,
        COLUMNS,
    );
    let mut out = head;
    out.push_str(&wrap(&plain(&f.sentence), 8, COLUMNS));
    if let Some(m) = &f.mend {
        let remains = if m.remains.is_empty() { String::new() } else { format!(" ({})", m.remains) };
        out.push_str(&wrap(&plain(&format!("→ {}{remains}", m.say)), 8, COLUMNS));
    }
    out
}

/// Control characters of a hostile name must not reach a terminal.
pub(crate) fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn padded(text: &str, width: usize, right: bool) -> String {
    let n = text.chars().count();
    let pad = " ".repeat(width.saturating_sub(n));
    if right { format!("{pad}{text}") } else { format!("{text}{pad}") }
}

/// The figures of every tray: likely, and from the 5th to the 95th of a hundred.
pub fn figure_table(survey: &Survey) -> String {
    let mut out = String::new();
    for (i, t) in survey.rig.trays.iter().enumerate() {
        if survey.rig.trays.len() > 1 {
            out.push_str(&wrap(&plain(&t.name), 0, COLUMNS));
        }
        let _ =
            writeln!(out, "{}{}{}", padded("", 26, false), padded("likely", 16, true), padded("5 – 95 %", 26, true));
        for r in figures::rows(survey, i) {
            let _ = writeln!(
                out,
                "{}{}{}",
                padded(r.name, 26, false),
                padded(&r.likely, 16, true),
                padded(&r.span, 26, true)
            );
        }
    }
    out
}

/// Litres on the floor by single fault.
pub fn spill_table(survey: &Survey, spills: &[Spill]) -> String {
    let u = survey.units();
    spills.iter().fold(String::new(), |mut out, s| {
        let amount = if s.on_the_floor_m3 < 5e-5 { "nothing".into() } else { u.volume(s.on_the_floor_m3) };
        let _ = writeln!(out, "{}{}", padded(s.fault, 46, false), padded(&amount, 11, true));
        out.push_str(&wrap(&s.remark, 4, COLUMNS));
        out
    })
}

/// A run's course as CSV: one row a moment, SI units in the names.
pub fn run_csv(run: &Run) -> String {
    let trays = run.course.first().map_or(0, |m| m.trays.len());
    let mut out = String::from("t_s,reservoir_m,floor_m3");
    for i in 1..=trays {
        let _ = write!(out, ",tray{i}_depth_m,tray{i}_feed_m3_s,tray{i}_riser_m3_s,tray{i}_media");
    }
    out.push('\n');
    for m in &run.course {
        let _ = write!(out, "{:.3},{:.6},{:.9}", m.t_s, m.reservoir_m, m.floor_m3);
        for t in &m.trays {
            let _ = write!(out, ",{:.6},{:.9},{:.9},{:.5}", t.depth_m, t.feed_m3_s, t.riser_m3_s, t.media);
        }
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_too_wide() {
        let long = "x".repeat(300);
        let f = Finding::new(Severity::Care, "n", format!("A {long}"), "word ".repeat(80)).mend(long.as_str());
        let text = findings(&[f], true);
        assert!(text.lines().all(|l| l.chars().count() <= COLUMNS), "{text}");
        assert!(text.starts_with("▲ Care"));
    }
}
