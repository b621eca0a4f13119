//! Pages beside the bench: air and heat, light and stand.

use crate::climate::{self, degrees};
use crate::light;
use crate::page::frame;
use crate::picks::{add, fields, found, kept, stated};
use maud::{Markup, PreEscaped, html};
use tidewright_plan::climate::{Climate, hours_words as hours};
use tidewright_plan::light::Light;
use tidewright_plan::stand::{self, Standing};
use tidewright_plan::{fit, power, space};
use tidewright_rig::units::round_to;
use tidewright_rig::{Finding, Rig};

/// What both pages show.
pub struct Shown<'a> {
    /// The bench.
    pub rig: &'a Rig,
    /// Findings on this page's matters.
    pub findings: &'a [Finding],
    /// Faults of the last edit.
    pub faults: &'a [Finding],
    /// Whether all edits are in the file.
    pub saved: bool,
}

fn whole(s: &Shown<'_>, title: &str, api: &str, part: &Markup) -> String {
    let body = html! {
        header class="top" {
            div class="names" { h1 { (title) } p class="about" { (s.rig.name) } }
            a class="back" href="/" { "← The bench" }
        }
        p class="status" id="said" role="status" {}
        main class="solution" id="solution" data-api=(api) { (part) }
        script src="/assets/solution.js" {}
    };
    frame(&format!("{title}, {}", s.rig.name), "", &body)
}

fn head(s: &Shown<'_>, words: &str) -> Markup {
    html! { h2 { (words) @if s.saved { " " small class="saved" { "saved" } } @else { " " small class="unsaved" { "not saved" } } } }
}

/// The page on air and heat.
pub fn air_page(s: &Shown<'_>, c: Option<&Climate>) -> String {
    whole(s, "Air and heat", "/api/air", &air_part(s, c))
}

/// Everything below its head.
pub fn air_part(s: &Shown<'_>, c: Option<&Climate>) -> Markup {
    let rig = s.rig;
    html! {
        section class="made-from" {
            (head(s, "Air"))
            @if rig.aeration.is_some() { (fields(rig, &["air"])) } @else { (add("air.part", "air-4", "Add an air pump of 4 L/min")) }
            details open[stated(rig, "heat")] { summary { "Heat" } (fields(rig, &["heat", "room", "reservoir.lid"])) }
            (kept(s.faults, s.saved))
        }
        (found(s.findings))
        @match c {
            None => { section class="held" { p class="warned" { "■ The bench's day of water cannot be followed to its end: heat and oxygen rest on it." } } }
            Some(c) => {
                section class="held" {
                    h2 { "Oxygen through the day" small { "shaded: from the end with least to the end with most; " a class="working" href="/workings#oxygen-least" { "how" } } }
                    (PreEscaped(climate::oxygen(rig, c, false))) (PreEscaped(climate::oxygen(rig, c, true)))
                    @if let Some(b) = &c.blown {
                        p { strong { (format!("{:.1} L/min", 6e4 * b.flow_m3_s())) } " of air at " (format!("{:.1} kPa", 1e-3 * b.pressure_pa)) "; they change " strong { a class="working" href="/workings#air-transfer" { (round_to(3.6e6 * b.transfer_m3_s[1], 2)) } } " litres an hour towards full (" (round_to(3.6e6 * b.transfer_m3_s[0], 2)) " to " (round_to(3.6e6 * b.transfer_m3_s[2], 2)) @if b.measured { ", by your test" } ")." }
                    }
                    p class="sure" { "No measured value is published for small stones at these depths: strip the water, start the air, read oxygen every few minutes, and write clean_water_test into the bench file." }
                }
                section class="later" {
                    h2 { "Temperature through the day" }
                    (PreEscaped(climate::temperature(rig, c, false))) (PreEscaped(climate::temperature(rig, c, true)))
                    p { "The reservoir loses " (format!("{:.1} W", c.needs.loss_w_k)) " for each kelvin over its room. To keep it at " (degrees(rig.system, c.needs.wanted_k)) " it takes a heater of " strong { a class="working" href="/workings#water-temperature" { (format!("{:.0} W", c.needs.heater_w)) } } @if c.needs.chiller_w > 0.5 { " and a chiller that takes out " strong { (format!("{:.0} W", c.needs.chiller_w)) } }  " in the worst hour, a third to spare." }
                }
                section class="when-it-stops" {
                    h2 { "When the air stops" small { "hours until oxygen falls to …, likely and at the low end" } }
                    div class="wide-table" { table {
                        thead { tr { th scope="col" { "" } @for x in ["5 mg/L", "4 mg/L", "3 mg/L", "2 mg/L"] { th scope="col" { (x) } } } }
                        tbody { @for f in &c.failures { tr { th scope="row" { (f.words) } @for (a, b) in f.hours.iter().zip(&f.hours_low) { td { (hours(*a)) br; small { (hours(*b)) } } } } } }
                    } }
                    p class="caution" { "▲ The air pump stands outside the water and above it, with a loop in its line, a check valve besides, and a drip loop in its cord." }
                }
            }
        }
    }
}

/// The page on light and stand.
pub fn light_page(s: &Shown<'_>) -> String {
    whole(s, "Light and stand", "/api/light", &light_part(s))
}

/// Everything below its head.
pub fn light_part(s: &Shown<'_>) -> Markup {
    let rig = s.rig;
    let lights: Vec<Light> = (0..rig.trays.len()).filter_map(|i| tidewright_plan::light::of(rig, i)).collect();
    let stands: Vec<Standing> = (0..rig.trays.len()).filter_map(|i| stand::of(rig, i)).collect();
    html! {
        section class="made-from" {
            (head(s, "Lamps and stand"))
            @if rig.lamps.is_empty() { (add("lamp.part", "lamp-100", "Add a lamp of 100 W")) } @else { (fields(rig, &["lamp", "light"])) }
            details { summary { "Stand" } @if rig.stand.is_none() { (add("stand.floor", "unknown", "Add a stand")) } @else { (fields(rig, &["stand"])) } }
            details { summary { "Power" } (fields(rig, &["power"])) }
            (kept(s.faults, s.saved))
        }
        (found(s.findings))
        section class="held" {
            h2 { "Light on the leaves" }
            @if lights.is_empty() { p { "No lamp hangs over any tray." } }
            @for l in &lights { (lit(rig, l)) }
        }
        section class="later" {
            h2 { "Blocks and leaves" }
            @for (i, t) in rig.trays.iter().enumerate() { @if t.blocks.is_some() { (spaced(rig, i)) } }
        }
        section class="standing" {
            h2 { "Stand" small { "drain blocked, media full of water" } }
            @for x in &stands { (carried(rig, x)) }
            p class="caution" { "▲ " (stand::refusal(rig)) }
        }
        section class="goes-together" {
            h2 { "Does it go together" }
            (together(rig))
        }
        section class="electric" {
            h2 { "Electricity" small { "in the order to start after a cut" } }
            (electric(rig))
        }
    }
}

fn lit(rig: &Rig, l: &Light) -> Markup {
    let u = rig.system;
    html! {
        @if rig.trays.len() > 1 { h3 { (rig.trays[l.tray].name) } }
        @for narrow in [false, true] { @if let Some(map) = light::map(rig, l.tray, narrow) { (PreEscaped(map)) } }
        div class="wide-table" { table {
            thead { tr { th scope="col" { "stage" } th scope="col" { "leaves at" } th scope="col" { "lamp over" } th scope="col" { "least" } th scope="col" { "mean" } th scope="col" { "most" } th scope="col" { "mol/(m² d)" } } }
            tbody { @for (i, x) in l.stages.iter().enumerate() {
                tr { th scope="row" { @if i == l.now { strong { (x.stage.word()) } } @else { (x.stage.word()) } } td { (u.length(x.canopy_m)) } td { @if x.over_m < 0.02 { "in the leaves" } @else { (u.length(x.over_m)) } } td { (format!("{:.0}", x.least)) } td { (format!("{:.0}", x.mean)) } td { (format!("{:.0}", x.most)) } td { (format!("{:.1}", x.dli)) } }
            } }
        } }
        p { (light::hanging(rig, l)) " " a class="working" href="/workings#light-on-leaves" { "how the light is reckoned" } }
        p { (format!("{:.0} % of the lamps' photons land on the tray; {:.2} kWh a day.", 100.0 * l.caught_umol_s / l.emitted_umol_s.max(1e-9), l.energy_kwh_d)) }
    }
}

fn spaced(rig: &Rig, i: usize) -> Markup {
    let t = &rig.trays[i];
    let own = t.blocks.as_ref().map_or(0.1, |b| b.length.get().value.max(b.width.get().value));
    let all = space::pack(t, own);
    html! {
        @if rig.trays.len() > 1 { h3 { (t.name) } }
        @if let Some(best) = all.first() {
            p { "At most " strong { (best.count) } " such blocks stand with both fittings free; now " (t.blocks.as_ref().map_or(0.0, |b| b.count.get())) "." }
            @if let Some(drawing) = light::packing(rig, i, best) { (PreEscaped(drawing)) }
        }
        @if let Some(x) = space::closure(rig, i) { p { (light::closing(rig.system, &rig.growing.crop.name, &x)) } }
    }
}

fn carried(rig: &Rig, x: &Standing) -> Markup {
    let u = rig.system;
    let l = x.load;
    html! {
        @if rig.trays.len() > 1 { h3 { (rig.trays[x.tray].name) } }
        table { tbody {
            tr { th scope="row" { "on the rails" } td { strong { (u.weight(l.on_rails_kg())) } } td { "water " (u.weight(l.water_kg)) ", media " (u.weight(l.media_kg)) } }
            tr { th scope="row" { "rails sag" } td { strong { a class="working" href="/workings#rail-sag" { (u.length(x.sag_m[0])) } } } td { "after years " (u.length(x.sag_m[1])) "; a level tray bears " (u.length(x.sag_limit_m)) } }
            tr { th scope="row" { "longest span that holds" } td { strong { (u.length(x.longest_span_m)) } } td { "now " (u.length(x.span_m)) } }
            tr { th scope="row" { "on a leg" } td { strong { a class="working" href="/workings#leg-load" { (format!("{:.0} N", x.on_leg_n)) } } } td { "gives way at " (format!("{:.0} N", x.buckles_n)) @if let Some(m) = x.sway_m { ", sways " (u.length(m)) } } }
            tr { th scope="row" { "a push at the rim tips it" } td { strong { (format!("{:.0} N", x.tips_n[1])) } } td { "empty; " (format!("{:.0} N", x.tips_n[0])) " with wet blocks" } }
            tr { th scope="row" { "on the floor" } td { strong { (format!("{:.2} kPa", 1e-3 * x.on_floor_pa)) } } td { "reservoir included" } }
        } }
    }
}

fn together(rig: &Rig) -> Markup {
    let u = rig.system;
    html! {
        table { tbody { @for c in fit::checks(rig) {
            @let say = |x: f64| if c.rule == "return-sags" { u.fall(x) } else { u.length(x) };
            tr { th scope="row" { @if c.holds() { "✓ " } @else { "▲ " } @if rig.trays.len() > 1 { (rig.trays[c.tray].name) ": " } (c.what) } td { strong { (say(c.number)) } } td { "at least " (say(c.limit)) } }
        } } }
    }
}

fn electric(rig: &Rig) -> Markup {
    let e = power::of(rig);
    html! {
        div class="wide-table" { table {
            thead { tr { th scope="col" { "" } th scope="col" { "W" } th scope="col" { "A" } th scope="col" { "peak A" } th scope="col" { "h a day" } th scope="col" { "switched by" } } }
            tbody { @for l in &e.loads { tr { th scope="row" { (l.name) } td { (format!("{:.0}", l.power_w)) } td { (format!("{:.2}", l.current_a)) } td { (format!("{:.1}", l.peak_a)) } td { (format!("{:.1}", l.hours)) } td { (l.switched_by) } } } }
        } }
        p { "Together " strong { a class="working" href="/workings#current" { (format!("{:.1} A", e.together_a)) } } " of " (format!("{:.1} A", e.allowed_a)) " that may run for hours; " (format!("{:.2} kWh", e.energy_kwh_d)) " a day." @if let Some(h) = e.battery_h { " The battery carries the air pump for " (format!("{h:.0} h")) "." } }
        p class="caution" { "▲ Residual-current device before every socket, tested monthly; drip loops; plugs out before hands go into the water. Local code and a licensed electrician decide." }
    }
}
