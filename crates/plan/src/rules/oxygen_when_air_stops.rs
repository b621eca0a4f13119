use super::Rule;
use crate::climate::hours_words as hours;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "oxygen-when-air-stops", judge };

/// Act before oxygen falls below this: the second of the thresholds; hardly any root grows: the third.
const ACT: usize = 1;
const HARDLY: usize = 2;
/// A night in which nobody looks \[h\].
const NIGHT_H: f64 = 8.0;

/// Hours that roots have when the air, or the power, fails.
fn judge(s: &Survey) -> Vec<Finding> {
    let Some(c) = &s.climate else { return Vec::new() };
    let mut out = Vec::new();
    // With floods or without, whichever is shorter.
    let of_air = c.failures.iter().filter(|f| f.name != "tray-stays-full");
    let worst = of_air.min_by(|a, b| a.hours_low[ACT].total_cmp(&b.hours_low[ACT]));
    if let Some(f) = worst.filter(|_| c.blown.is_some()) {
        let low = f.hours_low[ACT];
        let words = format!(
            "With the air off, oxygen in the reservoir falls below 4 mg/L in {} ({} at the low end).",
            hours(f.hours[ACT]),
            hours(low)
        );
        let f = if low < NIGHT_H {
            Finding::new(Severity::Note, RULE.name, "A night without air is too long", words)
                .mend("An alarm on loss of power, a battery behind the air pump, or floods that go on by a timer of their own.")
        } else {
            Finding::new(Severity::Good, RULE.name, "A night without air does no harm", words)
        };
        out.push(f.at(Place::key("air")).measured(low, NIGHT_H, "h"));
    }
    let stuck = c.failures.iter().filter(|f| f.name == "tray-stays-full");
    if let Some(f) = stuck.min_by(|a, b| a.hours_low[HARDLY].total_cmp(&b.hours_low[HARDLY])) {
        let others = c.failures.iter().filter(|o| o.name != "tray-stays-full").map(|o| o.hours_low[HARDLY]);
        let first = others.fold(f64::INFINITY, f64::min) > f.hours_low[HARDLY];
        let fastest = if first { ": the fastest of all failures" } else { "" };
        let words = format!(
            "If a drain stays shut ({}), oxygen around the roots falls below 3 mg/L in {} ({} at the low end){fastest}.",
            f.words,
            hours(f.hours[HARDLY]),
            hours(f.hours_low[HARDLY])
        );
        out.push(
            Finding::new(
                Severity::Note,
                RULE.name,
                if first { "A tray that stays full suffocates first" } else { "A tray that stays full suffocates" },
                words,
            )
            .at(Place::key("tray.drain"))
            .measured(f.hours_low[HARDLY], NIGHT_H, "h")
            .mend("Keep the strainer clean, and look at the tray after the last flood of the day."),
        );
    }
    out
}
