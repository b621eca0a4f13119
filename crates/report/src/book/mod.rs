//! The build book: one document from a bench, for paper first.

pub mod drawings;
mod sheets;
pub mod typeset;
mod words;

use crate::advice::Advice;
use crate::layout::Layout;
use crate::page::{CSS, head};
use crate::paper::Paper;
use crate::plan_view::plan_view;
use crate::section::{Now, lanes, section};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use tidewright_plan::Survey;
use tidewright_plan::buy::{self, Card, Item, Running};
use tidewright_plan::climate::Climate;
use tidewright_rig::{Finding, Severity};

/// Style of the book.
pub const BOOK_CSS: &str = include_str!("../../assets/book.css");

/// Paper that it is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sheet {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 in.
    Letter,
}

impl Sheet {
    /// As style sheets have it.
    pub fn word(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "letter",
        }
    }
}

/// Everything that the book is made from.
pub struct Contents<'a> {
    /// The bench with its runs, its crop, its climate.
    pub survey: &'a Survey,
    /// Findings, the gravest first.
    pub findings: &'a [Finding],
    /// Riser and fill lines.
    pub advice: &'a Advice,
    /// What evidence stands behind it: values that hold, values in all.
    pub evidence: Option<(usize, usize)>,
    /// Paper.
    pub sheet: Sheet,
    /// Whether a bar with links stands above it, for the page of the program.
    pub preview: bool,
}

impl Contents<'_> {
    pub(crate) fn climate(&self) -> Option<&Climate> {
        self.survey.climate.as_ref()
    }
}

/// What is worked out once and used in several places.
pub(crate) struct Worked {
    pub(crate) card: Card,
    pub(crate) items: Vec<Item>,
    pub(crate) running: Running,
}

/// The whole book as one HTML file.
pub fn book(c: &Contents<'_>) -> String {
    let rig = &c.survey.rig;
    let heat = c.climate().map_or([0.0; 2], |x| x.likely.held_j);
    let worked = Worked { card: buy::card(c.survey), items: buy::list(rig), running: buy::running(rig, heat) };
    let page = format!("@page {{ size: {}; margin: 8mm; }}", c.sheet.word());
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("Build book, {}", rig.name), &[CSS, BOOK_CSS, &page]))
            body {
                @if c.preview { (bar(c)) }
                main class="book" {
                    (words::first(c, &worked))
                    (drawn(c))
                    (words::shopping(rig.system, &worked))
                    (words::cutting(c))
                    (words::work(c))
                    (drawings::templates(rig))
                    (sheets::first_day(c))
                    (sheets::gauge(c))
                    (sheets::fridge(c))
                    (sheets::solution(c))
                                        (sheets::electric(c))
                    (sheets::tasks(c))
                    (sheets::turnover(c))
                    (words::assumptions(c))
                    (words::evidence(c))
                }
            }
        }
    }
    .into_string()
}

fn bar(c: &Contents<'_>) -> Markup {
    let other = if c.sheet == Sheet::A4 { ("letter", "US Letter") } else { ("a4", "A4") };
    html! {
        nav class="book-bar" aria-label="the book" {
            a href="/" { "← The bench" }
            span { "Print it from the browser at 100 %, on " (if c.sheet == Sheet::A4 { "A4" } else { "US Letter" }) "." }
            a href={ "/book?paper=" (other.0) } { "For " (other.1) }
        }
    }
}

/// Section, plan and stand at their stated scales.
fn drawn(c: &Contents<'_>) -> Markup {
    let rig = &c.survey.rig;
    let layout = Layout::of(rig);
    let flood = c.survey.trays.first().map(|t| &t.flood);
    let moment = flood.and_then(|f| f.course.iter().rev().find(|m| m.t_s <= 600.0));
    let now = Now {
        reservoir_m: moment.map_or(rig.reservoir.rest_depth().value, |m| m.reservoir_m),
        trays_m: (0..rig.trays.len()).map(|i| c.survey.trays[i].flood.highest_m[i]).collect(),
        blocks: Vec::new(),
    };
    let lines = &c.advice.lines;
    let paper = Paper::wide(&layout, lanes(c.survey, &layout, lines, &now)).upright(&layout);
    html! {
        section class="page" {
            h2 { "Section and plan" }
            p { "Scale " strong { (paper.scale_words()) } " when printed at 100 %; measure the line of 100 mm over the hole templates. Lengths in " (if rig.system == tidewright_rig::units::System::Metric { "mm" } else { "inches" }) " unless stated. Water as it stands ten minutes into a flood. Dashed in the plan: rails and lamps." }
            (PreEscaped(section(c.survey, &layout, &paper, lines, &now)))
            (PreEscaped(plan_view(c.survey, &layout, &paper, &now)))
        }
        @if let Some(drawing) = drawings::stand(rig) {
            section class="page" {
                h2 { "Stand" }
                (PreEscaped(drawing))
                p class="caution" { (tidewright_plan::stand::refusal(rig)) }
            }
        }
    }
}

/// Findings that are not good, for the first page.
pub(crate) fn open_findings<'a>(c: &'a Contents<'_>) -> Vec<&'a Finding> {
    c.findings.iter().filter(|f| f.severity <= Severity::Care).collect()
}
