//! Judges and searches. Integrates only by calling [`tidewright_sim`].
//!
//! [`survey::Survey`] makes the runs that judgement needs, [`rules`] hold one rule a file, [`advice`]
//! solves for the numbers a builder wants, [`spills`] asks what one fault puts on the floor, and
//! [`working`] shows how a number came about.

pub mod advice;
pub mod book;
pub mod buy;
pub mod climate;
pub mod fit;
pub mod light;
pub mod medium;
pub mod pages;
pub mod power;
pub mod program;
pub mod rules;
pub mod solution;
pub mod space;
pub mod spills;
pub mod stand;
pub mod survey;
pub mod working;

pub use survey::Survey;

use solution::outlook::Outlook;
use tidewright_rig::{Finding, Rig, Severity};
use tidewright_sim::Run;

/// All findings on a bench, the gravest first; offered changes have been checked against all rules.
pub fn judge(survey: &Survey) -> Vec<Finding> {
    let before = raw_findings(survey);
    let mut findings = before.clone();
    for f in &mut findings {
        advice::check_offer(survey, &before, f);
    }
    findings.sort_by_key(|f| f.severity);
    merge(findings)
}

/// Findings on a bench's solution alone, whether or not its file has a section on it; nothing of the water is run.
pub fn judge_solution(rig: &Rig, outlook: Outlook) -> (Vec<Finding>, Outlook) {
    let mut rig = rig.clone();
    rig.mixing.stated = true;
    let survey =
        Survey { rig, day: Run::default(), trays: Vec::new(), crop: None, climate: None, solution: Some(outlook) };
    let findings = judge_some(&survey, rules::SOLUTION);
    let outlook = survey.solution.unwrap_or_else(|| solution::outlook::outlook(&survey.rig));
    (findings, outlook)
}

/// Findings of some rules only, the gravest first, offers unchecked.
pub fn judge_some(survey: &Survey, names: &[&str]) -> Vec<Finding> {
    let mut findings: Vec<Finding> =
        rules::ALL.iter().filter(|r| names.contains(&r.name)).flat_map(|r| (r.judge)(survey)).collect();
    findings.sort_by_key(|f| f.severity);
    merge(findings)
}

/// Findings on a bench's air, oxygen and heat, and what they rest on; `day`: what [`climate::water`] gives for it.
pub fn judge_air(rig: &Rig, day: Run) -> (Vec<Finding>, Option<climate::Climate>) {
    let climate = climate::Climate::of(rig, Some(&day), None);
    let survey = Survey { rig: rig.clone(), day, trays: Vec::new(), crop: None, climate, solution: None };
    let findings = judge_some(&survey, rules::AIR);
    (findings, survey.climate)
}

/// The same thing said of several trays is one finding: the first says it in full, and names the others.
fn merge(findings: Vec<Finding>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for f in findings {
        // An offer is for one tray: what carries one stands for itself.
        let offers = |x: &Finding| x.mend.as_ref().is_some_and(|m| m.change.is_some());
        let same = |o: &&mut Finding| {
            o.name == f.name && o.severity == f.severity && o.title == f.title && !offers(o) && !offers(&f)
        };
        match (out.iter_mut().find(same), f.sentence.split_once(": ")) {
            (Some(first), Some((who, _))) => {
                let joint = if first.sentence.contains(" The same: ") { ", " } else { " The same: " };
                first.sentence = format!(
                    "{}{joint}{who}.",
                    first.sentence.trim_end_matches(if joint == ", " { "." } else { "\u{0}" })
                );
            }
            _ => out.push(f),
        }
    }
    out
}

/// All findings as the rules give them, offers unchecked.
pub(crate) fn raw_findings(survey: &Survey) -> Vec<Finding> {
    rules::ALL.iter().flat_map(|r| (r.judge)(survey)).collect()
}

/// How many findings are of a severity.
pub fn count(findings: &[Finding], severity: Severity) -> usize {
    findings.iter().filter(|f| f.severity == severity).count()
}
