//! Likely values and their spans, spills, births: the tables.

use crate::words;
use maud::{Markup, html};
use tidewright_plan::Survey;
use tidewright_plan::spills::Spill;
use tidewright_rig::Birth;
use tidewright_sim::band::Figure;

/// The figures that are shown, in the order of a flood.
pub const SHOWN: [Figure; 6] = [
    Figure::CrestWet,
    Figure::Steady,
    Figure::HighestWater,
    Figure::Drained,
    Figure::LowestReservoir,
    Figure::LastFlow,
];

/// One row of the figures of a tray, as texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FigureRow {
    /// What.
    pub name: &'static str,
    /// Name of its working.
    pub working: &'static str,
    /// Likely value.
    pub likely: String,
    /// From the 5th to the 95th of a hundred.
    pub span: String,
    /// What makes most of the span, where one thing does.
    pub maker: Option<&'static str>,
    /// What would narrow it.
    pub test: Option<&'static str>,
    /// Share of the runs in which it never happens, where that is worth telling.
    pub never: Option<String>,
}

/// The working that shows how a figure came about.
fn working_of(figure: Figure) -> &'static str {
    match figure {
        Figure::CrestWet => "crest-wet",
        Figure::Steady | Figure::HighestWater => "highest-water",
        Figure::Drained => "drained",
        Figure::LowestReservoir => "lowest-reservoir",
        Figure::LastFlow | Figure::FirstFlow | Figure::OnTheFloor => "operating-flow",
    }
}

/// The figures of one tray.
pub fn rows(survey: &Survey, tray: usize) -> Vec<FigureRow> {
    let u = survey.units();
    let has_riser = survey.rig.trays[tray].drain.riser.is_some();
    let bands = &survey.trays[tray].bands;
    SHOWN
        .into_iter()
        .filter(|f| has_riser || *f != Figure::CrestWet)
        .map(|f| {
            let band = bands.get(f);
            let likely = words::figure(u, f, band.likely);
            let span = words::span(u, f, band);
            let tight = likely == span;
            FigureRow {
                name: f.name(),
                working: working_of(f),
                likely,
                maker: (!tight).then(|| band.maker()).flatten().map(|m| m.name()),
                test: (!tight).then(|| band.maker()).flatten().map(|m| m.test()),
                span,
                never: (band.never > 0.03 && band.never < 0.97)
                    .then(|| format!("never in {:.0} of 100 runs", 100.0 * band.never)),
            }
        })
        .collect()
}

/// The figures of all trays in one table: a row a tray, a column a figure.
pub fn figures(survey: &Survey) -> Markup {
    let many = survey.trays.len() > 1;
    let all: Vec<Vec<FigureRow>> = (0..survey.trays.len()).map(|i| rows(survey, i)).collect();
    let columns: Vec<&'static str> =
        SHOWN.iter().map(|f| f.name()).filter(|n| all.iter().flatten().any(|r| r.name == *n)).collect();
    let mut notes: Vec<String> = Vec::new();
    for (i, rows) in all.iter().enumerate() {
        let Some(r) = widest(survey, i, rows) else { continue };
        let note = format!(
            "Most of the span of “{}” comes from {}. {}.",
            r.name,
            r.maker.unwrap_or_default(),
            r.test.unwrap_or_default()
        );
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    html! {
        table class={ "figures" @if many { " many" } } {
            thead { tr { @if many { td {} } @for c in &columns { th scope="col" { (c) } } } }
            tbody {
                @for (rows, tray) in all.iter().zip(&survey.rig.trays) {
                    tr {
                        @if many { th scope="row" { (tray.name) } }
                        @for c in &columns {
                            @match rows.iter().find(|r| r.name == *c) {
                                Some(r) => td data-label=(c) title=[r.maker.map(|m| format!("Most of the span: {m}."))] {
                                    a class="working" href={ "/workings#" (r.working) } title="how this number came about" { strong { (r.likely) } }
                                    @if r.span != r.likely { span class="span" { (r.span) } }
                                    @if let Some(n) = &r.never { span class="never" { (n) } }
                                },
                                None => td data-label=(c) { "—" },
                            }
                        }
                    }
                }
            }
        }
        @for n in &notes { p class="narrowing" { (n) } }
    }
}

/// The row whose span is the widest against its value and has one maker.
fn widest<'r>(survey: &Survey, tray: usize, rows: &'r [FigureRow]) -> Option<&'r FigureRow> {
    let width = |r: &FigureRow| {
        SHOWN.iter().find(|f| f.name() == r.name).map_or(0.0, |f| {
            let b = survey.trays[tray].bands.get(*f);
            let w = (b.high - b.low) / b.likely.abs().max(1e-12);
            if w.is_finite() { w } else { 0.0 }
        })
    };
    rows.iter().filter(|r| r.maker.is_some() && width(r) > 0.15).max_by(|a, b| width(a).total_cmp(&width(b)))
}

/// What single faults put on the floor.
pub fn spill_table(survey: &Survey, spills: &[Spill]) -> Markup {
    let u = survey.units();
    html! {
        table class="spills" {
            thead { tr { th scope="col" { "if one thing fails" } th scope="col" { "on the floor" } th scope="col" { "how it ends" } } }
            tbody {
                @for s in spills {
                    @let dry = s.on_the_floor_m3 < 5e-5;
                    tr class=[(!dry).then_some("wet")] {
                        th scope="row" { (s.fault) }
                        td class="likely" { @if dry { "nothing" } @else { (u.volume(s.on_the_floor_m3)) } }
                        td { (s.remark) }
                    }
                }
            }
        }
    }
}

/// The line that says the water account closes.
pub fn ledger_words(survey: &Survey) -> String {
    let run = &survey.day;
    let total = run.ledger.start.total_m3();
    let verb = if run.ledger.closes() { "closes" } else { "does not close: it is off" };
    format!(
        "Water in every vessel, hose, block and on the floor {verb} to {} of {}",
        words::power_of_ten(run.ledger.error),
        survey.units().volume(total)
    )
}

/// How many values were born how: "31 given · 8 from parts · 22 assumed".
pub fn births_words(survey: &Survey) -> String {
    let mut n = [0usize; 5];
    for l in &survey.rig.sheet {
        n[match l.birth {
            Birth::Given { .. } => 0,
            Birth::Part { .. } => 1,
            Birth::Measured { .. } => 2,
            Birth::Derived { .. } => 3,
            Birth::Assumed { .. } => 4,
        }] += 1;
    }
    let words = ["given", "from parts", "measured", "derived", "assumed"];
    n.iter().zip(words).filter(|(n, _)| **n > 0).map(|(n, w)| format!("{n} {w}")).collect::<Vec<_>>().join(" · ")
}
