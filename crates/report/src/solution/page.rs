//! The solution as a page: what it is made from, ions against targets, the sheet to print, the weeks after it.

use super::bars::{ions, weeks};
use super::drift::{compensation, reason};
use super::sheet::{direct_order, how, line, nearest, number, percent, steps};
use super::water::{hardness, rows};
use super::{hazards, ms_cm, volume};
use crate::page::frame;
use crate::picks::{found, kept};
use maud::{Markup, PreEscaped, html};
use tidewright_plan::solution::acid::Source;
use tidewright_plan::solution::mix::{Sheet, Weighed};
use tidewright_plan::solution::outlook::Outlook;
use tidewright_plan::solution::tanks::Tank;
use tidewright_rig::parts::Library;
use tidewright_rig::solution::amount::{analyte, mg_l};
use tidewright_rig::solution::{Salt, Water};
use tidewright_rig::{Finding, Rig};

/// Script of the page.
pub const SOLUTION_JS: &str = include_str!("../../assets/solution.js");

/// What the page shows.
pub struct Shown<'a> {
    /// The bench.
    pub rig: &'a Rig,
    /// Parts data, for the choices.
    pub library: &'a Library,
    /// The solution and its weeks.
    pub outlook: &'a Outlook,
    /// Findings on the solution.
    pub findings: &'a [Finding],
    /// Faults of the last edit.
    pub faults: &'a [Finding],
    /// Whether all edits are in the file.
    pub saved: bool,
}

/// The whole page.
pub fn page(s: &Shown<'_>) -> String {
    let body = html! {
        header class="top" {
            div class="names" { h1 { "Solution" } p class="about" { (s.rig.name) ": " (s.rig.growing.crop.name) } }
            a class="back" href="/" { "← The bench" }
        }
        p class="status" id="said" role="status" {}
        main class="solution" id="solution" { (part(s)) }
        script src="/assets/solution.js" {}
    };
    frame(&format!("Solution, {}", s.rig.name), "", &body)
}

/// Everything below the head; the form for a report last.
pub fn part(s: &Shown<'_>) -> Markup {
    html! { (at_once(s)) (later(s)) (report_form(s)) }
}

/// What is redrawn the moment after an edit: choices, findings, ions, sheet.
pub fn at_once(s: &Shown<'_>) -> Markup {
    html! {
        section class="made-from" {
            h2 { "Made from" @if !s.saved { " " small class="unsaved" { "not saved" } } @else { " " small class="saved" { "saved" } } }
            (fields(s))
            (shelf(s))
            (kept(s.faults, s.saved))
        }
        (found(s.findings))
        @match &s.outlook.sheet {
            Err(why) => { section class="held" { p class="warned" { "■ There is no solution: " (why) "." } } section class="weigh-out" {} }
            Ok(sheet) => {
                section class="held" {
                    h2 { "What a litre holds" small { "bars: part of the wanted; full colour: from the water; pale: from salts; bracket: wanted" } }
                    (PreEscaped(ions(sheet, false))) (PreEscaped(ions(sheet, true)))
                    (held(sheet))
                }
                (paper(s, sheet))
            }
        }
    }
}

fn option(value: &str, label: &str, chosen: bool) -> Markup {
    html! { option value=(value) selected[chosen] { (label) } }
}

fn choose(path: &str, label: &str, options: &[(String, String)], now: &str) -> Markup {
    html! {
        label class="pick" { span { (label) }
            select data-path=(path) { @for (v, l) in options { (option(v, l, v == now)) } }
        }
    }
}

fn write(path: &str, label: &str, now: &str) -> Markup {
    html! { label class="pick" { span { (label) } input data-path=(path) value=(now) autocomplete="off"; } }
}

fn fields(s: &Shown<'_>) -> Markup {
    let m = &s.rig.mixing;
    let g = &s.rig.growing;
    let named = |id: &str, name: &str| (id.to_owned(), name.to_owned());
    let waters: Vec<_> = s.library.waters().iter().map(|w| named(&w.id, &w.name)).collect();
    let recipes: Vec<_> = s.library.recipes().iter().map(|r| named(&r.id, &r.name)).collect();
    let crops: Vec<_> = s.library.crops().map(|c| named(&c.id, &c.name)).collect();
    let stages: Vec<_> = ["rooting", "young", "growing", "full", "late"].iter().map(|x| named(x, x)).collect();
    let tops: Vec<_> = [("plain", "plain water"), ("half", "half strength"), ("full", "full strength")]
        .iter()
        .map(|x| named(x.0, x.1))
        .collect();
    let meters: Vec<_> = [("mS/cm", "mS/cm"), ("ppm-500", "ppm, scale 500"), ("ppm-700", "ppm, scale 700")]
        .iter()
        .map(|x| named(x.0, x.1))
        .collect();
    let acids: Vec<_> = s.library.salts().iter().filter(|x| x.is_acid()).map(|x| named(&x.id, &x.name)).collect();
    let meter = match m.meter.get() {
        tidewright_rig::bench::MeterScale::Conductivity => "mS/cm",
        tidewright_rig::bench::MeterScale::Ppm500 => "ppm-500",
        tidewright_rig::bench::MeterScale::Ppm700 => "ppm-700",
    };
    let acid = m.shelf.iter().find(|x| x.is_acid()).map_or("", |x| x.id.as_str());
    let text = |path: &str| s.rig.sheet.iter().find(|l| l.path == path).map_or_else(String::new, |l| l.text.clone());
    html! {
        div class="picks" {
            (choose("solution.water", "source water", &waters, &m.water.borrowed().id))
            (choose("solution.recipe", "recipe", &recipes, &m.recipe.borrowed().id))
            (choose("crop.kind", "crop", &crops, &g.crop.id))
            (choose("crop.stage", "stage", &stages, g.stage.get().word()))
            (choose("solution.acid", "acid", &acids, acid))
            (choose("solution.top_up", "topped up with", &tops, m.top_up.get().word()))
            (choose("solution.meter", "meter shows", &meters, meter))
            (write("solution.strength", "strength", &format!("{} %", number(100.0 * m.strength.get()))))
            (write("solution.ph", "pH", &number(m.ph.get())))
            (write("solution.scale", "scale shows", &text("solution.scale")))
            (write("solution.concentrate", "concentrate (1: none)", &number(m.concentrate.get())))
            @if m.concentrate.get() > 1.0 {
                (write("solution.tank", "one tank", &text("solution.tank")))
                (write("solution.coldest", "coldest night", &text("solution.coldest")))
            }
            (write("solution.cheaper", "0 % closest … 100 % cheapest", &format!("{:.0} %", 100.0 * m.cheaper.get())))
        }
    }
}

/// The shelf as boxes to tick.
fn shelf(s: &Shown<'_>) -> Markup {
    let on = |id: &str| s.rig.mixing.shelf.iter().any(|x| x.id == id);
    html! {
        details class="shelf" {
            summary { "On the shelf: " (s.rig.mixing.shelf.len()) " of " (s.library.salts().len()) }
            div class="boxes" data-shelf="" { @for x in s.library.salts().iter().filter(|x| !x.is_acid()) {
                label { input type="checkbox" value=(x.id) checked[on(&x.id)]; " " (x.name) @if !x.note.is_empty() { small { " " (x.note) } } }
            } }
        }
    }
}

fn held(s: &Sheet) -> Markup {
    let mg = |name: &str, x: f64| analyte(name).map_or(x, |a| mg_l(a, x));
    html! {
        details {
            summary { "The same as a table" }
            table {
                thead { tr { th scope="col" { "" } th scope="col" { "mg/L" } th scope="col" { "wanted" } th scope="col" { "of it water" } th scope="col" { "miss" } th scope="col" { "why" } } }
                tbody { @for t in &s.solved.targets {
                    tr {
                        th scope="row" { (t.target.name) }
                        td { (number(mg(t.target.name, t.amount))) }
                        td { @if t.target.low == t.target.high { (number(mg(t.target.name, t.target.low))) } @else { (number(mg(t.target.name, t.target.low))) "–" (number(mg(t.target.name, t.target.high))) } }
                        td { (number(mg(t.target.name, t.from_water))) }
                        td { (percent(t.miss)) }
                        td { @if let Some(w) = &t.why { (w.say()) } }
                    }
                } }
            }
        }
        details {
            summary { "One more gram of each salt in 100 L" }
            table {
                thead { tr { th scope="col" { "salt" } th scope="col" { "costs" } th scope="col" { "typical miss" } } }
                tbody { @for m in &s.exact.margins {
                    tr { th scope="row" { (s.shelf[m.salt].name) } td { @if let Some(p) = m.price { (format!("{p:.4}")) } @else { "no price" } } td { (format!("{:+.2} %", 100.0 * m.miss)) } }
                } }
            }
        }
    }
}

/// The sheet to print.
fn paper(s: &Shown<'_>, sheet: &Sheet) -> Markup {
    let u = s.rig.system;
    let m = &s.rig.mixing;
    let used: Vec<&Salt> =
        sheet.lines.iter().chain(sheet.acids.iter().map(|a| &a.0)).map(|l| &sheet.shelf[l.salt]).collect();
    let mut seen: Vec<&Salt> = Vec::new();
    for x in &used {
        if seen.iter().all(|y| y.id != x.id) {
            seen.push(x);
        }
    }
    html! {
        section class="weigh-out" {
            h2 { "Weigh-out sheet" button type="button" class="print" data-print="" { "Print" } }
            @if !s.faults.is_empty() { p class="warned" { "■ This is the sheet of the last file that read, not of what stands in the fields now." } }
            @for r in &sheet.source.remarks { p class="caution" { "▲ " (r) } }
            p { strong { (m.recipe.borrowed().name) } ", " (format!("{:.0} %", 100.0 * m.strength.get())) ", in " (m.water.borrowed().name) "; "
                @if sheet.concentrate > 1.0 { "tanks A and B of " (format!("{:.1}", sheet.tank_litres)) " L, " (format!("{:.0}", sheet.concentrate)) " times as strong" } @else { (volume(u, sheet.litres)) }
                ", for " (s.rig.name) "." }
            @if sheet.concentrate > 1.0 {
                @for tank in [Tank::A, Tank::B] {
                    h3 { "Tank " (format!("{tank:?}")) }
                    (lines(sheet, &sheet.lines.iter().filter(|l| l.tank == tank).cloned().collect::<Vec<_>>()))
                }
            } @else { (lines(sheet, &direct_order(sheet))) }
            @if !sheet.acids.is_empty() {
                h3 { "Into the reservoir, in portions" }
                (lines(sheet, &sheet.acids.iter().map(|a| a.0.clone()).collect::<Vec<_>>()))
            }
            h3 { "Work" }
            ol class="work" { @for step in steps(s.rig, sheet) {
                li { (step.say) @if let Some(c) = &step.caution { span class="caution" { "▲ " (c) } } }
            } }
            p class="reads" { "It should read: EC " strong { (m.meter.get().shows(sheet.ec_25[1])) } " (" (m.meter.get().shows(sheet.ec_25[0])) " to " (m.meter.get().shows(sheet.ec_25[2])) "), pH "
                strong { (format!("{:.1}", sheet.ph[1])) } (format!(" ({:.1} to {:.1}).", sheet.ph[0], sheet.ph[2])) }
            @for h in &sheet.tanks {
                p { "Tank " (format!("{:?}", h.tank)) " at " (u.temperature(m.coldest.get().value)) ": "
                    @if let Some(f) = h.fullness.first() { (sheet.shelf[f.0].name) " fills " (format!("{:.0} %", 100.0 * f.1)) " of what the water holds" }
                    @if let Some(x) = h.solids.first() { (nearest(x)) }
                    ". A guide at this strength, not a measure." }
            }
            p { "Never mix undiluted: calcium with sulphates or phosphates, acid with chelate, anything with chlorine bleach." }
            h3 { "Hazards" }
            ul class="hazards" {
                @for x in seen.iter().filter(|x| !x.hazards.is_empty()) { li { strong { (x.name) } ": " (hazards::line(x)) @if !x.note.is_empty() { "; " (x.note) } } }
            }
            @for c in hazards::cautions(&used) { p class="caution" { "▲ " (c) } }
        }
    }
}

fn lines(s: &Sheet, all: &[Weighed]) -> Markup {
    html! {
        table class="weighed" { tbody { @for l in all {
            tr {
                th scope="row" { (s.shelf[l.salt].name) }
                td { strong { (how(l)) } }
                td class="tick" { "☐" }
            }
        } } }
        p class="unseen" { @for l in all { (line(s, l)) ". " } }
    }
}

fn later(s: &Shown<'_>) -> Markup {
    let Some(d) = &s.outlook.drifted else { return html! { section class="later" {} } };
    let first = s.outlook.change.first();
    let u = s.rig.system;
    html! {
        section class="later" {
            h2 { "The reservoir through the weeks" small { (u.sip(1e-3 * s.outlook.litres_a_day)) " a day, pH held at " (number(s.rig.mixing.ph.get())) } }
            p class={ @if first.is_some() { "warned" } @else { "good-count" } } {
                @match first {
                    Some((r, day)) => { "▲ Change it by day " strong { (format!("{day:.0}")) } ": " (reason(*r)) "." }
                    None => { "✓ No reason to change it within 90 days, but for root disease." }
                }
            }
            (PreEscaped(weeks(d, &s.rig.mixing.feeding, first.map(|f| f.1), false))) (PreEscaped(weeks(d, &s.rig.mixing.feeding, first.map(|f| f.1), true)))
            p class="sure" { "Shaded: the range of EC in which the crop is run. Uptake: " (s.rig.mixing.feeding.source) ". "
                @if let Ok(sheet) = &s.outlook.sheet { (compensation(sheet.solved.open.ec, sheet.solved.open.ec_25, s.rig.site.water_temperature.get().value - 273.15)) } }
            p { a href="/solution/salt" { "Salt in the blocks →" } }
        }
    }
}

const FORM: [(&str, &str); 18] = [
    ("Ca", "calcium"),
    ("Mg", "magnesium"),
    ("hardness", "hardness, total"),
    ("Na", "sodium"),
    ("K", "potassium"),
    ("NH4", "ammonium"),
    ("alkalinity", "alkalinity"),
    ("HCO3", "hydrogen carbonate"),
    ("carbonate_hardness", "carbonate hardness"),
    ("Cl", "chloride"),
    ("SO4", "sulphate"),
    ("NO3", "nitrate, as NO3"),
    ("NO3-N", "nitrate, as N"),
    ("PO4", "phosphate"),
    ("Fe", "iron"),
    ("Mn", "manganese"),
    ("Zn", "zinc"),
    ("B", "boron"),
];
/// Units in which a line of a report is printed.
fn units(key: &str) -> &'static [&'static str] {
    match key {
        "Ca" | "Mg" => &["mg/L", "mmol/L", "meq/L", "degdH", "degfH", "mg/L CaCO3", "gpg"],
        "hardness" => &["degdH", "mmol/L", "meq/L", "degfH", "mg/L CaCO3", "gpg"],
        "alkalinity" | "carbonate_hardness" => &["mmol/L", "meq/L", "mg/L CaCO3", "degdH", "degfH", "gpg"],
        "Fe" | "B" | "Mn" | "Zn" => &["mg/L", "ug/L", "umol/L"],
        _ => &["mg/L", "mmol/L", "meq/L"],
    }
}

fn report_form(s: &Shown<'_>) -> Markup {
    let water = s.rig.mixing.water.borrowed();
    let now = |key: &str| water.ions.iter().find(|i| i.what.name == key).map_or("", |i| i.text.as_str());
    let split = |text: &str| -> (String, String) {
        let at = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
        (text[..at].to_owned(), text[at..].trim().to_owned())
    };
    html! {
        section class="report" {
            h2 { "Water report" small { "as it is printed; empty lines are left out" } }
            form id="report" {
                div class="report-head" {
                    label { "name " input name="name" value=(water.name) autocomplete="off"; }
                    label { "pH " input name="ph" inputmode="decimal" value=(water.ph.map_or_else(String::new, number)) autocomplete="off"; }
                }
                div class="report-rows" { @for (key, label) in FORM {
                    @let (value, unit) = split(now(key));
                    div class="report-row" {
                        label for={ "w-" (key) } { (label) small { " " (key) } }
                        input id={ "w-" (key) } data-ion=(key) inputmode="decimal" value=(value) autocomplete="off";
                        select data-unit=(key) aria-label={ "unit of " (label) } {
                            @for x in units(key).iter().copied() { (option(x, x, x == unit || (unit.is_empty() && x == usual(key)))) }
                            @if !unit.is_empty() && !units(key).contains(&unit.as_str()) { (option(&unit, &unit, true)) }
                        }
                    }
                } }
                div id="balance" aria-live="polite" { (balance(water, None)) }
                p { button type="submit" class="primary" { "Keep as a water of this bench" } " " small { "It is written into parts.toml beside the bench file." } }
            }
        }
    }
}

fn usual(key: &str) -> &'static str {
    match key {
        "hardness" | "carbonate_hardness" => "degdH",
        "alkalinity" => "mmol/L",
        _ => "mg/L",
    }
}

/// Cations against anions, and what the water is like.
pub fn balance(water: &Water, source: Option<&Source>) -> Markup {
    let system = tidewright_plan::solution::system();
    let all = rows(water);
    let (cations, anions) = water.sums(system);
    let most = cations.max(anions).max(0.1);
    let gap = cations - anions;
    let hard = hardness(&all);
    html! {
        div class="balance" role="img" aria-label={ (format!("Cations {cations:.2}, anions {anions:.2} meq per litre")) } {
            @for (label, sign) in [("cations", 1.0), ("anions", -1.0)] {
                div class="sum-of" { span { (label) } div class="stack" {
                    @for r in all.iter().filter(|r| r.meq_l * sign > 0.0) {
                        span class="share" style={ "flex: 0 0 " (format!("{:.1}", 100.0 * r.meq_l.abs() / most)) "%" } title={ (r.ion) " " (format!("{:.2} meq/L", r.meq_l.abs())) } {
                            @if r.meq_l.abs() / most > 0.06 { (r.ion) }
                        }
                    }
                } span class="sum" { (format!("{:.2} meq/L", if sign > 0.0 { cations } else { anions })) } }
            }
        }
        p class={ @if gap.abs() > 0.05 * (cations + anions) && cations + anions > 0.2 { "warned" } @else { "good-count" } } {
            (format!("Gap {:.2} meq/L, {:.0} %. ", gap.abs(), 200.0 * gap.abs() / (cations + anions).max(1e-9)))
            (format!("Hardness {hard:.2} mmol/L, {:.1} °dH, {:.0} mg/L CaCO3. Alkalinity {:.2} meq/L.", hard / 0.178_32, 100.086 * hard, water.alkalinity(system).0))
            @if let Some(x) = source { (format!(" pH {:.2}, EC {} mS/cm.", x.ph, ms_cm(x.ec_25))) }
        }
        @if let Some(x) = source { @for r in &x.remarks { p class="remark" { "○ " (r) } } }
    }
}

/// Salt in the blocks of all trays: a drawing and the text of each.
pub fn salt_page(rig: &Rig, trays: &[(String, String)]) -> String {
    frame(
        &format!("Salt in the blocks, {}", rig.name),
        "",
        &html! {
            header class="top" {
                div class="names" { h1 { "Salt in the blocks" } p class="about" { (rig.name) ": " (rig.growing.crop.name) } }
                a class="back" href="/solution" { "← Solution" }
            }
            main class="reading wide" {
                @for (drawing, text) in trays { (PreEscaped(drawing)) pre class="told" { (text) } }
                @if trays.is_empty() { p { "No blocks stand in any tray: a bed of grains is not followed." } }
            }
        },
    )
}
