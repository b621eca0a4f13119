//! Sheets to be torn out: the first day's card, the gauge, the fridge door, the weigh-out sheet, tasks, turning over.

use super::Contents;
use crate::solution::sheet::{direct_order, how, steps as mixing_steps};
use maud::{Markup, html};
use tidewright_plan::advice::FillLines;
use tidewright_plan::book::turnover::{CHLORINE_MG_L, RINSED_MG_L};
use tidewright_plan::book::{GaugeRow, card, gauge as gauge_of, tasks as tasks_of, trials, turnover as turnover_of};
use tidewright_plan::rules::SOLUTION;
use tidewright_rig::Severity;
use tidewright_rig::units::{System, clock, duration, stopwatch};

pub(super) fn first_day(c: &Contents<'_>) -> Markup {
    let s = c.survey;
    html! {
        section class="page" {
            h2 { "The first day" }
            p { "In this order, because each trial rests on the one before: what fails then has one cause." }
            ol { @for t in trials(s) {
                li { span class="step-title" { (t.title) ". " } (t.say) " " em { (t.tells) } @if let Some(x) = t.caution { p class="caution" { "▲ " (x) } } }
            } }
        }
        section class="page" {
            h2 { "Card of the first day" }
            p { "Bench: " (s.rig.name) "   Date: " span class="blank" {} "   By: " span class="blank" {} }
            div class="wide-table" { table class="card-table" {
                thead { tr { th scope="col" { "" } th scope="col" { "low" } th scope="col" { "likely" } th scope="col" { "high" } th scope="col" { "first" } th scope="col" { "second" } th scope="col" { "accept" } } }
                tbody { @for r in card(s, c.climate()) {
                    tr { th scope="row" { (r.what) } @if r.band[0] == r.band[2] { td {} td class="num" { strong { (r.band[1]) } } td {} } @else { td class="num" { (r.band[0]) } td class="num" { strong { (r.band[1]) } } td class="num" { (r.band[2]) } } td { span class="blank" {} } td { span class="blank" {} } td { (r.accept) } }
                } }
            } }
            p class="note" { "Of a hundred benches like this five lie below low and five above high. What lies beyond is worth a look before anything is planted; write what you read into the bench file as [[reading]]." }
        }
    }
}

pub(super) fn gauge(c: &Contents<'_>) -> Markup {
    let rig = &c.survey.rig;
    let u = rig.system;
    html! {
        section {
            h2 { "What the same times mean later" }
            @for (i, t) in rig.trays.iter().enumerate() {
                @if rig.trays.len() > 1 { h3 { (t.name) } }
                div class="wide-table" { table {
                    thead { tr { th scope="col" { "" } th scope="col" { "crest wet" } th scope="col" { "drained" } th scope="col" { "highest water" } th scope="col" { "what to do" } } }
                    tbody { @for r in gauge_rows(c, i) {
                        tr { th scope="row" { (r.state) } td { (stopwatch(r.crest_wet_s)) } td { (stopwatch(r.drained_s)) } td { (u.length(r.highest_m)) } td { (r.act) } }
                    } }
                } }
            }
            p { "A leak shows as a level that falls after the pump has stopped and the tray is empty, and as paper that gets wet. Fill a fifth slower: clean the intake. Drain half as long again: roots or strainer." }
        }
    }
}

fn gauge_rows(c: &Contents<'_>, tray: usize) -> Vec<GaugeRow> {
    gauge_of(&c.survey.rig, tray)
}

/// The two lines on the reservoir in words, or that none can be drawn.
pub(super) fn lines_words(u: System, l: &FillLines) -> String {
    if !l.possible {
        return "None can be drawn: this reservoir is too small for the tray. A larger reservoir or less flood first."
            .into();
    }
    let (step, step_m) = crate::words::step(u);
    format!(
        "Upper {} below the rim ({}), lower {} ({}). {step} is {}. Never top up while the tray is flooded.",
        u.length(l.highest_below_rim_m),
        u.volume(l.highest_m3),
        u.length(l.lowest_below_rim_m),
        u.volume(l.lowest_m3),
        u.volume(l.per_cm_m3 * step_m)
    )
}

pub(super) fn fridge(c: &Contents<'_>) -> Markup {
    let rig = &c.survey.rig;
    let u = rig.system;
    let l = &c.advice.lines;
    html! {
        section class="page" {
            div class="fridge" {
                h2 { (rig.name) ": for the fridge door" }
                div class="two" {
                    h3 { "Lines on the reservoir, at rest (pump off, trays empty)" }
                    p { (lines_words(u, l)) }
                    h3 { "Timer" }
                    @for t in &rig.trays { p { @if rig.trays.len() > 1 { (t.name) ": " } strong { (t.schedule.starts.borrowed().iter().map(|x| clock(*x)).collect::<Vec<_>>().join(" · ")) } ", " (duration(t.schedule.run.get().value)) " each" } }
                    p { "Light on at " (clock(rig.growing.on.get())) " for " (duration(rig.growing.lit.get().value)) }
                    h3 { "It should" }
                    @for v in c.survey.each() {
                        @let b = |f| v.band(f);
                        p { (v.who()) "crest wet after " strong { (stopwatch(b(tidewright_sim::band::Figure::CrestWet).likely)) } ", stand at " strong { (u.length(b(tidewright_sim::band::Figure::HighestWater).likely)) } ", drain in " strong { (stopwatch(b(tidewright_sim::band::Figure::Drained).likely)) } }
                    }
                    @if let Some(Ok(sheet)) = c.survey.solution.as_ref().map(|o| o.sheet.as_ref()) {
                        p { "EC " strong { (rig.mixing.meter.get().shows(sheet.ec_25[1])) } ", pH " strong { (format!("{:.1}", sheet.ph[1])) } " as mixed" }
                    }
                    h3 { "If something is wrong" }
                    p { "Water on the floor: plugs out where they and your hands are dry, else the breaker. Tray stays full: free the drain, it suffocates first. No flood by noon: water from the top by hand." }
                }
            }
        }
    }
}

pub(super) fn solution(c: &Contents<'_>) -> Markup {
    let Some(outlook) = &c.survey.solution else { return html! {} };
    let rig = &c.survey.rig;
    let sheet = match &outlook.sheet {
        Ok(s) => s,
        Err(why) => return html! { section { h2 { "Weigh-out sheet" } p { "There is none: " (why) "." } } },
    };
    html! {
        section class="page" {
            h2 { "Weigh-out sheet" }
            p { strong { (rig.mixing.recipe.borrowed().name) } ", " (format!("{:.0} %", 100.0 * rig.mixing.strength.get())) ", in " (rig.mixing.water.borrowed().name) "; " (rig.system.volume(1e-3 * sheet.litres)) "." }
            @for f in c.findings.iter().filter(|f| f.severity <= Severity::Care && SOLUTION.contains(&f.name)) { p class="caution" { (f.severity.sign()) " " (f.title) ". " (f.sentence) } }
            table class="weighed" { tbody {
                @for l in direct_order(sheet).iter().chain(sheet.acids.iter().map(|a| &a.0)) {
                    tr { th scope="row" { (sheet.shelf[l.salt].name) } td { strong { (how(l)) } } td class="tick" { "☐" } }
                }
            } }
            ol { @for s in mixing_steps(rig, sheet) { li { (s.say) @if let Some(x) = &s.caution { p class="caution" { "▲ " (x) } } } } }
            p { "It should read EC " strong { (rig.mixing.meter.get().shows(sheet.ec_25[1])) } " and pH " strong { (format!("{:.1}", sheet.ph[1])) } "." }
        }
    }
}

/// Loads, and what switches them.
pub(super) fn electric(c: &Contents<'_>) -> Markup {
    let rig = &c.survey.rig;
    let e = tidewright_plan::power::of(rig);
    html! {
        section {
            h2 { "Electricity, in the order to start after a cut" }
            div class="wide-table" { table {
                thead { tr { th scope="col" { "" } th class="num" scope="col" { "W" } th class="num" scope="col" { "A" } th class="num" scope="col" { "peak A" } th class="num" scope="col" { "h a day" } th scope="col" { "switched by" } } }
                tbody { @for l in &e.loads { tr { th scope="row" { (l.name) } td class="num" { (format!("{:.0}", l.power_w)) } td class="num" { (format!("{:.2}", l.current_a)) } td class="num" { (format!("{:.1}", l.peak_a)) } td class="num" { (format!("{:.1}", l.hours)) } td { (l.switched_by) } } } }
            } }
            p { "Together " (format!("{:.1} A", e.together_a)) " of " (format!("{:.1} A", e.allowed_a)) " that may run for hours. " @if let Some(h) = e.battery_h { "The battery carries the air pump for " (format!("{h:.0} h")) ". " } "Water can stand as high as " (rig.system.length(e.highest_water_m)) " over the floor." }
            p class="caution" { "▲ Residual-current device before every socket; drip loops; sockets above the water; plugs out before hands go in. The device stops pump and air, too: have an alarm. Local code and a licensed electrician decide." }
        }
    }
}

pub(super) fn tasks(c: &Contents<'_>) -> Markup {
    let t = tasks_of(c.survey, c.climate(), c.survey.solution.as_ref());
    let list = |title: &str, all: &[String]| {
        html! { div class="keep" { h3 { (title) } ul { @for x in all { li { (x) } } } } }
    };
    html! {
        section class="page" {
            h2 { "Running it" }
            (list("Each day", &t.daily)) (list("Each week", &t.weekly)) (list("Changing the water", &t.change)) (list("Seldom", &t.seldom))
            div class="keep" { h3 { "When the power fails" } ol { @for x in &t.power_fails { li { (x) } } } }
        }
    }
}

pub(super) fn turnover(c: &Contents<'_>) -> Markup {
    let u = c.survey.rig.system;
    let t = turnover_of(c.survey);
    html! {
        section {
            h2 { "Turning over between two crops" }
            ol {
                li { "Timer off, lamps and air off. Plants and blocks out; strainer and riser out; roots out of every fitting." }
                li { "Pump plugged in again, hands out of the water: pump out with the hose over the rim, about " strong { (format!("{:.0} min", t.pump_out_min.max(1.0))) } "; " strong { (u.volume(t.heel_m3)) } " stay as a heel: bail or sponge them. The pump never runs dry: stop it when it gurgles. Then all plugs out." p class="caution" { "▲ Never lift or tilt a full vessel. Nutrient water goes where your water board allows it." } }
                li { "Wash with a brush, no scourer: scratches hold biofilm." }
                li { "Fill with " strong { (u.volume(t.wash_m3)) } " (enough for a flood)" ", and add " strong { (u.sip(t.bleach_m3)) } " of household bleach (" (format!("{CHLORINE_MG_L:.0}")) " mg/L of free chlorine, bleach taken as 5 %: read the bottle). One flood through everything, 10 to 30 minutes." p class="caution" { "▲ Bleach never with acid or ammonia: chlorine gas. Goggles, gloves, open windows; bleach into water. Peroxide never together with it." } }
                li { "Pump out, then " strong { (t.rinses) " rinses" } " of the same volume: each leaves the heel behind, after them " (format!("{:.1} mg/L", t.left_mg_l)) " are left (under " (format!("{RINSED_MG_L:.0}")) "). Smell, and a chlorine strip." }
                li { "Dry it if you can: drying kills more than chlorine. New washers where they are flat; stopwatch against the gauge before planting." }
            }
            p class="note" { "50 to 200 mg/L for 10 to 30 min and rinsing by dilution are common practice, no source." }
        }
    }
}
