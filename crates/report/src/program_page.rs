//! The timer program as a page: a strip for each stage, the table for the fridge door, what it rests on.

use crate::page::frame;
use crate::program::{CAUTION, blocks_words, days, medium_words, remarks, starts};
use crate::svg::{Anchor, Svg, n};
use maud::{Markup, PreEscaped, html};
use tidewright_plan::program::{Offer, StageProgram};
use tidewright_rig::Rig;
use tidewright_rig::units::{clock, duration};

const DAY: f64 = 86_400.0;
const HOUR_S: f64 = 3600.0;

/// The page of one tray's programs; `stops` is what has to be mended first, or nothing.
pub fn program_page(rig: &Rig, tray: usize, programs: &[StageProgram], stops: &str) -> String {
    let u = rig.system;
    let crop = &rig.growing.crop;
    let body = html! {
        header class="top" {
            div class="names" {
                h1 { "Timer program" }
                p class="about" { (rig.name) ": " (crop.name) ", " (blocks_words(rig, tray)) }
            }
            a class="back" href="/" { "← The bench" }
        }
        main class="reading program" {
            @if rig.trays.len() > 1 {
                p class="trays" {
                    @for (i, t) in rig.trays.iter().enumerate() {
                        @if i == tray { strong { (t.name) } " " } @else if t.blocks.is_some() { a href={ "/program?tray=" (i + 1) } { (t.name) } " " }
                    }
                }
            }
            @if !stops.is_empty() { p class="warned" { (stops) } }
            div class="stages" { (PreEscaped(strips(rig, programs, false))) (PreEscaped(strips(rig, programs, true))) }
            section class="door" {
                h2 { "For the fridge door" }
                table {
                    thead { tr { th scope="col" { "days" } th scope="col" { "stage" } th scope="col" { "floods at" } th scope="col" { "for" } th scope="col" { "a plant drinks" } } }
                    tbody {
                        @for p in programs {
                            tr {
                                td { (days(p)) }
                                td { strong { (p.stage.word()) } }
                                @match &p.offer {
                                    Some(o) => { td class="times" { (starts(o)) } td { (duration(o.run_s)) } }
                                    None => { td colspan="2" { "■ no program keeps it wet: water by hand" } }
                                }
                                td { (u.sip(p.demand_per_plant_m3)) " a day" }
                            }
                        }
                    }
                }
                p { "Day 1 is the day the plants come onto the bench. Look at them before you trust the table: dull leaves at noon ask for a flood, brown roots for air." }
            }
            p class="caution" { (CAUTION) }
            form class="to-calendar" action="/program.ics" method="get" {
                input type="hidden" name="tray" value=(tray + 1);
                label { "First day " input type="date" name="first" required; }
                button type="submit" { "Calendar file" }
            }
            @for p in programs { (stage(rig, tray, p)) }
            p class="sure" {
                "How sure: “driest” and “crop gets” are the worst of the day with a third more thirst than likely and a medium wetted from dry; “no air” is \
                 the share of roots under 2.1 mg/L of oxygen with a third less thirst and the lowest published diffusion. "
                @if let Some(b) = &rig.trays[tray].blocks { "Medium: " (medium_words(&b.medium)) ". " }
                "Stages and leaf: " (crop.source) "."
            }
        }
    };
    frame(&format!("Timer program, {}", rig.name), "", &body)
}

fn stage(rig: &Rig, tray: usize, p: &StageProgram) -> Markup {
    let mut all: Vec<(&Offer, &str)> = p.others.iter().map(|o| (o, "")).collect();
    all.extend(p.offer.as_ref().map(|o| (o, "offered")));
    if rig.growing.stage.get() == p.stage || p.offer.is_none() {
        all.push((&p.written, "as the file has it"));
    }
    all.sort_by_key(|(o, _)| o.starts.len());
    let percent = |x: f64| format!("{:.0} %", 100.0 * x.clamp(0.0, 1.0));
    html! {
        section class="stage" {
            h2 { (p.stage.word()) ", days " (days(p)) }
            @for r in remarks(rig, tray, p) { p { (r) } }
            table {
                thead { tr { th scope="col" { "floods" } th scope="col" { "for" } th scope="col" { "driest" } th scope="col" { "crop gets" } th scope="col" { "no air" } th scope="col" { "may fail" } th scope="col" { "pump a day" } th scope="col" { "" } } }
                tbody {
                    @for (o, what) in all {
                        tr class=[(what == "offered").then_some("chosen")] {
                            td { (o.starts.len()) }
                            td { (duration(o.run_s)) }
                            td { (percent(o.judged.driest)) }
                            td { (percent(o.judged.supplied)) }
                            td { (percent(o.judged.starved)) }
                            td { @if o.judged.may_miss == u32::MAX { "any" } @else { (o.judged.may_miss) } }
                            td { (format!("{:.1} Wh", o.judged.energy_j / HOUR_S)) }
                            td { (what) }
                        }
                    }
                }
            }
        }
    }
}

/// One lane a stage, from midnight to midnight.
fn strips(rig: &Rig, programs: &[StageProgram], narrow: bool) -> String {
    let width = if narrow { 364.0 } else { 1000.0 };
    let (left, right) = (if narrow { 62.0 } else { 120.0 }, width - 14.0);
    let (lane, gap, top) = (26.0, 6.0, 18.0);
    let bottom = top + programs.len() as f64 * (lane + gap);
    let x = |t: f64| left + (t / DAY).clamp(0.0, 1.0) * (right - left);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"strip-svg {}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Floods of each stage through the day\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(bottom + 22.0)
    ));
    for (i, p) in programs.iter().enumerate() {
        let y = top + i as f64 * (lane + gap);
        svg.rect("lane", (left, y), (right - left, lane), "");
        svg.text("axt", (left - 6.0, y + lane * 0.5 + 4.5), Anchor::End, p.stage.word());
        for t in p.offer.iter().flat_map(|o| &o.starts) {
            let run = p.offer.as_ref().map_or(0.0, |o| o.run_s);
            svg.rect("floodbar", (x(*t), y), ((x(t + run) - x(*t)).max(3.0), lane), "");
            if !narrow {
                svg.text("axt", (x(*t) + 14.0, y + lane * 0.5 + 4.5), Anchor::Start, &clock(*t));
            }
        }
    }
    let g = &rig.growing;
    let (on, lit) = (g.on.get(), g.lit.get().value);
    let off = (on + lit) % DAY;
    let dark = if lit >= DAY - 60.0 {
        Vec::new()
    } else if off < on {
        vec![(off, on)]
    } else {
        vec![(0.0, on), (off, DAY)]
    };
    for (from, to) in dark {
        svg.rect("dark", (x(from), top), (x(to) - x(from), bottom - gap - top), "");
        if x(to) - x(from) > 44.0 {
            svg.text("axt", (x(from) + 5.0, top - 5.0), Anchor::Start, "dark");
        }
    }
    for h in (0..=24).step_by(if narrow { 6 } else { 2 }) {
        let at = x(f64::from(h) * HOUR_S);
        svg.line("ext", (at, bottom - 4.0), (at, bottom + 2.0));
        svg.text("axt", (at, bottom + 17.0), Anchor::Middle, &format!("{h:02}"));
    }
    svg.raw("</svg>");
    svg.finish()
}
