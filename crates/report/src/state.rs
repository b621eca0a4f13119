//! What the page shows at one revision of a bench: fragments by element id, courses, geometry.

use crate::advice::{self, Advice};
use crate::block_chart;
use crate::chart;
use crate::layout::Layout;
use crate::paper::Paper;
use crate::section::{Now, section};
use crate::series::Series;
use crate::{figures, findings, plan_view, sheet, strip, words};
use maud::{Markup, PreEscaped, html};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use tidewright_plan::Survey;
use tidewright_plan::spills::Spill;
use tidewright_plan::survey::crop::{Crop, THIRST};
use tidewright_rig::Finding;
use tidewright_rig::units::System;

/// What the program knows beside the bench itself.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Meta {
    /// Name of the bench file, without its folder.
    pub file_name: String,
    /// Whether the file on disk holds what is shown.
    pub saved: bool,
    /// Whether there is an edit to take back.
    pub can_undo: bool,
    /// Whether there is one to bring again.
    pub can_redo: bool,
    /// Counts every change; an answer of an older one is dropped.
    pub revision: u64,
    /// Whether bands, spills and throttles come from the full sample.
    pub refined: bool,
}

/// Everything that a page is made of.
#[derive(Clone, Copy)]
pub struct Given<'a> {
    /// The runs of the last bench that could be read.
    pub survey: &'a Survey,
    /// What the planner judges of it.
    pub findings: &'a [Finding],
    /// What the reader found in the file as it is now, which may not be that bench.
    pub faults: &'a [Finding],
    /// Cuts, lines, throttles.
    pub advice: &'a Advice,
    /// Litres by single fault; may be empty while not yet worked out.
    pub spills: &'a [Spill],
    /// File, undo, revision.
    pub meta: &'a Meta,
}

/// One revision of the page, as it travels to the browser.
#[derive(Clone, Debug, Serialize)]
pub struct State {
    /// File, undo, revision.
    pub meta: Meta,
    /// Name of the bench.
    pub title: String,
    /// Faults of the reading.
    pub faults: Vec<Finding>,
    /// HTML by element id.
    pub fragments: BTreeMap<&'static str, String>,
    /// Courses for the strip and the charts.
    pub series: Series,
    /// How numbers become words in the browser.
    pub geometry: Geometry,
}

/// What the browser needs to write numbers as this crate does; where things stand is in the
/// drawings themselves (`data-y0`, `data-k`).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Geometry {
    /// Name and size of the unit of depths, and its decimals.
    pub length: Unit,
    /// The same for flows.
    pub flow: Unit,
    /// Names of the trays.
    pub trays: Vec<String>,
    /// 1 to so many, in print.
    pub print_scale: f64,
}

/// One unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Unit {
    /// Its name.
    pub name: &'static str,
    /// So many of it in one SI unit.
    pub per_si: f64,
    /// Decimals worth showing.
    pub decimals: u32,
}

/// For which width of window drawings are made; a page holds both, and shows one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Width {
    /// A desk's.
    Wide,
    /// A phone's.
    Narrow,
    /// Either.
    #[default]
    Both,
}

impl Width {
    /// A drawing for each width wanted, one after the other; `f` is told whether it is the narrow one.
    fn each(self, f: impl Fn(bool) -> String) -> PreEscaped<String> {
        let wide = if self == Self::Narrow { String::new() } else { f(false) };
        PreEscaped(if self == Self::Wide { wide } else { wide + &f(true) })
    }
}

/// Makes a whole state.
pub fn state(g: &Given<'_>) -> State {
    let (mut state, wide, now) = begin(g, Width::Both);
    let mut add = |id: &'static str, m: Markup| {
        state.fragments.insert(id, m.into_string());
    };
    add("charts", charts(g, &state.series));
    add("advice", advice::block(g.survey, g.advice));
    if let Some(crop) = &g.survey.crop {
        add("roots", roots(g, crop, &now));
    }
    add("spills", spills(g));
    add("values", sheet::sheet(&g.survey.rig, g.faults));
    add("foot", foot(g, &wide));
    state
}

/// What the eye is on while somebody edits: file, faults, drawings of one width, strip, findings. Of the advice
/// only the pen lines are needed.
pub fn first(g: &Given<'_>, width: Width) -> State {
    begin(g, width).0
}

fn begin(g: &Given<'_>, width: Width) -> (State, Paper, Now) {
    let rig = &g.survey.rig;
    let layout = Layout::of(rig);
    let series = Series::of(g.survey);
    let (reservoir_m, trays_m) = series.now();
    let now = Now { reservoir_m, trays_m, blocks: series.wet_now() };
    let lanes = crate::section::lanes(g.survey, &layout, &g.advice.lines, &now);
    let (wide, narrow) = (Paper::wide(&layout, lanes), Paper::narrow(&layout));
    let fragments = [
        ("top", top(g)),
        ("faults", findings::faults(g.faults)),
        ("bench", bench(g, &layout, width, (&wide, &narrow), &now)),
        ("strip", day_strip(g, width, &series)),
        ("findings", findings::list(g.findings)),
    ];
    let state = State {
        meta: g.meta.clone(),
        title: rig.name.clone(),
        faults: g.faults.to_vec(),
        fragments: fragments.into_iter().map(|(id, m)| (id, m.into_string())).collect(),
        series,
        geometry: geometry(rig, &wide),
    };
    (state, wide, now)
}

fn geometry(rig: &tidewright_rig::Rig, paper: &Paper) -> Geometry {
    use tidewright_physics::quantity as q;
    let (length, flow) = match rig.system {
        System::Metric => (
            Unit { name: "mm", per_si: 1e3, decimals: 0 },
            Unit { name: "L/h", per_si: q::LITRES_PER_HOUR, decimals: 0 },
        ),
        System::UsCustomary => (
            Unit { name: "in", per_si: 1.0 / q::INCH_M, decimals: 2 },
            Unit { name: "US gal/h", per_si: 3600.0 / q::US_GALLON_M3, decimals: 0 },
        ),
    };
    Geometry { length, flow, trays: rig.trays.iter().map(|t| t.name.clone()).collect(), print_scale: paper.scale }
}

fn top(g: &Given<'_>) -> Markup {
    let m = g.meta;
    let rig = &g.survey.rig;
    html! {
        div class="names" {
            h1 { (rig.name) }
            @if !rig.about.is_empty() { p class="about" { (rig.about) } }
        }
        div class="file" {
            nav class="ways" aria-label="other pages" { a href="/solution" { "Solution →" } " " a href="/air" { "Air and heat →" } " " a href="/light" { "Light and stand →" } " " a href="/book" { "Build book →" } }
            p class="file-name" {
                (m.file_name) " "
                @if m.saved { span class="saved" { "✓ saved" } } @else { span class="unsaved" { "● not saved" } }
            }
            div class="tools" role="group" aria-label="file" {
                button type="button" data-do="undo" disabled[!m.can_undo] title="Ctrl Z" { "Undo" }
                button type="button" data-do="redo" disabled[!m.can_redo] title="Ctrl Shift Z" { "Redo" }
                button type="button" data-do="save" class="primary" disabled[m.saved] { "Save" }
            }
        }
    }
}

fn bench(g: &Given<'_>, layout: &Layout, width: Width, (wide, narrow): (&Paper, &Paper), now: &Now) -> Markup {
    let lines = &g.advice.lines;
    let unit = words::length_unit(g.survey.units());
    let each = |f: &dyn Fn(&Paper) -> String| width.each(|is_narrow| f(if is_narrow { narrow } else { wide }));
    html! {
        div class={ "draw " @if wide.side_by_side { "beside" } @else { "stacked" } @if wide.lying { " lying" } } style=(columns(layout, wide)) {
            figure class="fig-section" {
                figcaption { h2 { "Section" } p class="scale" { (unit) " unless stated" span class="in-print" { " · " (wide.scale_words()) } } }
                (each(&|p| section(g.survey, layout, p, lines, now)))
            }
            figure class="fig-plan" {
                figcaption { h2 { "Plan" } p class="scale" { "same scale" span class="in-print" { " · " (wide.scale_words()) } } }
                (each(&|p| plan_view::plan_view(g.survey, layout, p, now)))
            }
            div class="fig-figures" {
                h2 { "What to expect" small { " likely, and the span of 5 – 95 %" @if !g.meta.refined { " (quick)" } } }
                (figures::figures(g.survey))
            }
        }
    }
}

/// Widths of the two drawings side by side, so that both come out at one scale.
fn columns(layout: &Layout, p: &Paper) -> String {
    let s = p.section.left + layout.length() * p.k + p.section.right;
    let l = p.plan.left + crate::paper::plan_length(layout) * p.k + p.plan.right;
    format!("--cols:{s:.0}fr {l:.0}fr")
}

fn day_strip(g: &Given<'_>, width: Width, series: &Series) -> Markup {
    let rig = &g.survey.rig;
    html! {
        div class="strip-head" {
            h2 { "The day" }
            output id="moment" class="moment" { (crate::series::clock(series.now_s)) }
            div class="tools" role="group" aria-label="move through the day" {
                button type="button" data-do="earlier" { "◀" span class="unseen" { " event before" } }
                button type="button" data-do="play" { "Play" }
                button type="button" data-do="later" { span class="unseen" { "next event " } "▶" }
            }
        }
        (width.each(|narrow| strip::strip(rig, series, narrow)))
    }
}

fn charts(g: &Given<'_>, series: &Series) -> Markup {
    let unit = words::length_unit(g.survey.units());
    let many = g.survey.trays.len() > 1;
    let one = |i: usize| -> Markup {
        let Some(course) = series.floods.get(i) else { return html! {} };
        let two = |f: &dyn Fn(bool) -> String| Width::Both.each(f);
        html! {
            div class="chart" {
                @if !many { h2 { "One flood: depth, " (unit) small { " likely, and the span of 5 – 95 %" } } }
                (two(&|n| chart::depth(g.survey, i, course, n)))
            }
            details class="more-charts" {
                summary { "Reservoir and flows during this flood" }
                div class="pair" {
                    div { h3 { "Reservoir, " (unit) } (two(&|n| chart::reservoir(g.survey, i, course, n))) }
                    div { h3 { "Flows, " (if unit == "mm" { "L/h" } else { "US gal/h" }) } (two(&|n| chart::flows(g.survey, i, course, n))) }
                }
            }
        }
    };
    html! {
        @if many {
            h2 { "One flood of each tray: depth, " (unit) }
            @for (i, t) in g.survey.rig.trays.iter().enumerate() {
                details class="tray-charts" open[i == 0] { summary { (t.name) } (one(i)) }
            }
        } @else { (one(0)) }
    }
}

fn roots(g: &Given<'_>, crop: &Crop, now: &Now) -> Markup {
    let rig = &g.survey.rig;
    let u = rig.system;
    html! {
        @for d in crop.days() {
            div class="chart" {
                h2 {
                    "Blocks through the day" @if rig.trays.len() > 1 { ", " (rig.trays[d.tray].name) } ", % "
                    small { "a plant asks for " (u.sip(d.demand_per_plant_m3)) " a day (" (u.sip(d.demand_per_plant_m3 / THIRST)) " to " (u.sip(d.demand_per_plant_m3 * THIRST)) "); oxygen at the roots, of that in air; media are representative, not measured on yours" }
                    a class="to-program" href={ "/program?tray=" (d.tray + 1) } { "Timer program →" }
                }
                div class="with-profile" {
                    (PreEscaped(block_chart::blocks(rig, d, false)))
                    (PreEscaped(block_chart::blocks(rig, d, true)))
                    figure class="profile-of" {
                        (PreEscaped(block_chart::profile(rig, d, now.blocks.get(d.tray).and_then(Option::as_deref).unwrap_or(&[]))))
                        figcaption { "pores filled by height, % (" (words::length_unit(u)) "); shaded: the day's span" }
                    }
                }
            }
        }
    }
}

fn spills(g: &Given<'_>) -> Markup {
    html! {
        @if g.spills.is_empty() {
            p class="waiting" { "Being worked out …" }
        } @else { (figures::spill_table(g.survey, g.spills)) }
    }
}

fn foot(g: &Given<'_>, paper: &Paper) -> Markup {
    html! {
        p { (figures::ledger_words(g.survey)) }
        p { (figures::births_words(g.survey)) }
        p class="in-print" { "section and plan " (paper.scale_words()) " when printed at full size" }
    }
}
