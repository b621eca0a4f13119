//! Pages of words: what it is, what to buy, what to cut, the order of work, assumptions, evidence.

use super::{Contents, Worked, drawings, open_findings};
use crate::buy::shown;
use maud::{Markup, html};
use std::collections::BTreeMap;
use tidewright_plan::book::{cuts, steps};
use tidewright_plan::{fit, stand};
use tidewright_rig::units::{System, clock};
use tidewright_rig::{Birth, Severity};

pub(super) fn first(c: &Contents<'_>, w: &Worked) -> Markup {
    let s = c.survey;
    let rig = &s.rig;
    let u = rig.system;
    let plants: f64 =
        rig.trays.iter().filter_map(|t| t.blocks.as_ref()).map(|b| b.count.get() * rig.growing.plants.get()).sum();
    let all = stand::everything_kg(rig);
    let stops = open_findings(c);
    html! {
        section class="first" {
            p class="note" { "Build book" }
            h1 { (rig.name) }
            p { (rig.about) }
            p { "A flood-and-drain bench for " (rig.growing.crop.name) ": a pump on a timer floods the tray, a riser sets the depth, everything drains back. This book is for the person who builds it, tries it out and runs it. It was worked out from the bench file; build from the file's numbers, not from a picture." }
            ul class="facts" {
                li { span { "Plants" } strong { (format!("{plants:.0}")) } }
                li { span { "Reservoir at rest" } strong { (u.volume(rig.reservoir.fill.get().value)) } }
                li { span { "Tray floor over the floor of the room" } strong { (u.length(rig.trays[0].elevation.get().value)) } }
                li { span { "Riser crest over the tray floor" } strong { (rig.trays[0].crest().map_or_else(|| "none".into(), |x| u.length(x.value))) } }
                li { span { "Everything full weighs" } strong { (u.weight(all)) } }
                li { span { "Floods" } strong { (rig.trays[0].schedule.starts.borrowed().iter().map(|t| clock(*t)).collect::<Vec<_>>().join(", ")) } }
                li { span { "To buy" } strong { (to_buy(w)) } }
                li { span { "Running" } strong { (format!("{:.2} {} a day", w.running.a_day, w.running.currency)) } }
            }
            @if stops.is_empty() {
                p { "✓ No finding says stop or care." }
            } @else {
                h3 { "Mend these first" }
                ul { @for f in stops { li { strong { (f.severity.sign()) " " (f.title) } " " (f.sentence) @if let Some(m) = &f.mend { " → " (m.say) } } } }
            }
            h3 { "In this book" }
            ol class="contents" {
                @for x in ["Section, plan and stand", "What to buy", "Holes and cuts", "Order of work", "Hole templates, true size", "The first day, and its card", "What the same times mean later", "For the fridge door", "Weigh-out sheet", "Electricity", "Running it; when the power fails", "Turning over between two crops", "What was assumed", "How sure"] { li { (x) } }
            }
            p class="caution" { strong { "Take care. " } "Mains power beside water, heavy wet loads, saws, acids: a caution stands at each place where they come. Local code, licensed electricians and engineers go before this book." }
        }
    }
}

/// What is to be bought, in money, as far as it has a price.
pub(super) fn to_buy(w: &Worked) -> String {
    let (sum, without) = w.running.bench;
    match (sum > 0.0, without) {
        (false, n) if n > 0 => "no prices yet".into(),
        (_, 0) => format!("{sum:.0} {}", w.running.currency),
        (_, n) => format!("{sum:.0} {} and {n} lines without a price", w.running.currency),
    }
}

pub(super) fn shopping(u: System, w: &Worked) -> Markup {
    let many = w.items.iter().any(|i| i.price.is_none() && !i.owned);
    html! {
        section class="page" {
            h2 { "What to buy" }
            h3 { "What would serve" }
            div class="wide-table" { table {
                tbody { @for x in &w.card.windows { tr { th scope="row" { (x.what) } td { strong { (x.words) } } td { (x.note) } } } }
            } }
            ul { @for t in &w.card.traps { li { (t) } } }
            h3 { "Parts, and tools: drill with hole saws, pipe cutters, file, spirit level, tape, stopwatch, bucket with a litre mark, pocket scale, pen" }
            div class="wide-table" { table {
                thead { tr { th class="tick" { "" } th scope="col" { "part" } th class="num" scope="col" { "how much" } th class="num" scope="col" { "each, " (w.running.currency) } th class="num" scope="col" { "cost" } th scope="col" { "size" } } }
                tbody { @for i in &w.items {
                    tr {
                        td class="tick" { @if i.owned { "☑" } @else { "☐" } }
                        th scope="row" { (i.name) }
                        td class="num" { (shown(u, i).0) }
                        td class="num" { (shown(u, i).1.map_or_else(|| "?".into(), |p| format!("{p:.2}"))) }
                        td class="num" { @if i.owned { "there" } @else { (i.cost().map_or_else(|| "?".into(), |x| format!("{x:.2}"))) } }
                        td { (i.spec) }
                    }
                } }
            } }
            p { "Together " strong { (format!("{:.2} {}", w.running.bench.0, w.running.currency)) } (crate::buy::dated(&w.items)) @if many { ", lines with a ? left out" } ". Prices that ship with the program are from memory and of no shop: yours belong into parts.toml or the list's CSV." }
            h3 { "Running" }
            table { tbody {
                @for (what, how, cost) in &w.running.day { tr { th scope="row" { (what) } td class="num" { (how) } td class="num" { (format!("{cost:.3} {} a day", w.running.currency)) } } }
                tr { th scope="row" { "a crop of " (format!("{:.0}", w.running.days)) " days, first filling, blocks and seedlings included" } td {} td class="num" { strong { (format!("{:.2} {}", w.running.a_crop, w.running.currency)) } } }
                tr { th scope="row" { "a plant; with the bench spread over " (format!("{:.0}", w.running.crops)) " crops" } td {} td class="num" { (format!("{:.2}; {:.2} {}", w.running.a_plant, w.running.a_plant_with_bench, w.running.currency)) } }
            } }
        }
    }
}

pub(super) fn cutting(c: &Contents<'_>) -> Markup {
    let rig = &c.survey.rig;
    let u = rig.system;
    html! {
        section class="page" {
            h2 { "Holes and cuts" }
            h3 { "Holes" }
            div class="wide-table" { table {
                thead { tr { th scope="col" { "vessel" } th scope="col" { "for" } th scope="col" { "along" } th scope="col" { "across" } th scope="col" { "diameter" } th class="tick" { "" } } }
                tbody {
                    @for t in &rig.trays { @for h in fit::holes(t) {
                        tr { th scope="row" { (t.name) } td { (h.what) } td { (u.length(h.at_m.0)) } td { (u.length(h.at_m.1)) } td { (u.length(h.diameter_m)) } td class="tick" { "☐" } }
                    } }
                    tr { th scope="row" { "reservoir's lid" } td { "feed, return and cords, notched at its edge" } td { "–" } td { "–" } td { "as they need" } td class="tick" { "☐" } }
                }
            } }
            p class="note" { "Places are measured inside, from " (rig.trays.first().map_or("", tidewright_rig::bench::Tray::corner)) ". " (rails_words(c)) }
            (warned(c))
            h3 { "Cuts" }
            @for g in cuts(rig) {
                div class="keep" {
                    p { strong { (g.what) } ": " (g.tool) "." @if g.packed.stock_m < 20.0 { " Lengths of " (u.distance(g.packed.stock_m)) @if g.packed.least { "; fewer would not do" } "." } }
                    @if g.packed.stock_m < 20.0 { (drawings::bars(&g.packed, u)) }
                    @else { p { (g.packed.lengths.iter().flat_map(|l| &l.0).map(|x| format!("{} {}", x.what, u.distance(x.length_m))).collect::<Vec<_>>().join(" · ")) } }
                    @for x in &g.packed.too_long { p class="caution" { "■ " (x.what) " of " (u.distance(x.length_m)) " is longer than any length: join it over a support, or buy longer." } }
                }
            }
            @for i in 0..rig.trays.len() {
                @if let Some(x) = fit::cover(rig, i) {
                    h3 { "Cover of " (rig.trays[i].name) }
                    p { "Sheet: " strong { (x.size(u)) } ", white side up, opaque; it darkens " (u.area(x.lit_m2)) " of wet floor. Openings: " (x.openings.iter().map(|(k, l, w)| format!("{k} of {} × {}", u.length(*l), u.length(*w))).collect::<Vec<_>>().join(", ")) ". A cut from the edge to each opening lets it be laid around plants. " (places(rig, i)) }
                }
            }
        }
    }
}

/// Where blocks stand, for the cover's openings: the first, and from one to the next.
fn places(rig: &tidewright_rig::Rig, tray: usize) -> String {
    let t = &rig.trays[tray];
    let u = rig.system;
    let half = 0.5 * t.floor().0.value;
    let all = t.block_places();
    let Some(first) = all.first() else { return String::new() };
    let along = all.iter().find(|p| (p.1 - first.1).abs() < 1e-9 && p.0 > first.0 + 1e-9).map(|p| p.0 - first.0);
    let across = all.iter().find(|p| p.1 > first.1 + 1e-9).map(|p| p.1 - first.1);
    let mut words = format!(
        "The first block's middle lies {} along and {} across from {}",
        u.length(first.0 + half),
        u.length(first.1),
        t.corner()
    );
    for (step, way) in [(along, "along"), (across, "across")] {
        if let Some(x) = step {
            words.push_str(&format!("; {} from one to the next {way}", u.length(x)));
        }
    }
    words + "."
}

/// Whether the rails pass clear of the holes, as far as it was looked at.
fn rails_words(c: &Contents<'_>) -> &'static str {
    let rig = &c.survey.rig;
    let clear = fit::checks(rig).iter().filter(|x| x.rule == "hole-in-the-way").all(fit::Check::holds);
    match (&rig.stand, clear) {
        (None, _) => "Nothing is known of a stand: look where its rails lie before you cut.",
        (Some(_), true) => "With the tray on its stand the rails pass clear of them.",
        (Some(_), false) => "■ A rail, a rib or the other fitting is in the way: do not cut before that is mended.",
    }
}

/// A stop holds its pages back.
fn warned(c: &Contents<'_>) -> Markup {
    let stops: Vec<&str> =
        c.findings.iter().filter(|f| f.severity == Severity::Stop).map(|f| f.title.as_str()).collect();
    html! { @if !stops.is_empty() { p class="caution" { "■ Not yet: " (stops.join("; ")) ". Mend what page one says before anything is cut or run." } } }
}

pub(super) fn work(c: &Contents<'_>) -> Markup {
    html! {
        section class="page" {
            h2 { "Order of work" }
            (warned(c))
            ol { @for s in steps(&c.survey.rig) {
                li { span class="step-title" { (s.title) ". " } (s.say) @if let Some(x) = &s.caution { p class="caution" { "▲ " (x) } } }
            } }
        }
    }
}

pub(super) fn assumptions(c: &Contents<'_>) -> Markup {
    let rig = &c.survey.rig;
    let mut parts: BTreeMap<&str, &str> = BTreeMap::new();
    for l in &rig.sheet {
        if let Birth::Part { part, source } = &l.birth {
            parts.insert(part, source);
        }
    }
    let assumed = rig.sheet.iter().filter_map(|l| match &l.birth {
        Birth::Assumed { why } => Some((l, why)),
        _ => None,
    });
    html! {
        section class="page" {
            h2 { "What was assumed" }
            p { "Nobody gave these values: usual ones stand in, each with its reason. Write what you measured into the bench file and this list gets shorter." }
            table class="small" {
                thead { tr { th scope="col" { "key" } th scope="col" { "" } th scope="col" { "stands at" } th scope="col" { "because" } } }
                tbody { @for (l, why) in assumed { tr { td { (l.path) } th scope="row" { (l.label) } td { (l.text) } td { (why) } } } }
            }
            h3 { "Parts and their sources" }
            table class="small" { tbody { @for (part, source) in &parts { tr { th scope="row" { (part) } td { (source) } } } } }
        }
    }
}

pub(super) fn evidence(c: &Contents<'_>) -> Markup {
    let open: Vec<_> = c.findings.iter().filter(|f| f.severity == Severity::Note).collect();
    html! {
        section {
            h2 { "How sure" }
            @if let Some((hold, all)) = c.evidence {
                p { "The equations behind this book were held against " (all) " published, exact or independently computed values; " (hold) " hold, and the rest is told with its reason by `tidewright evidence`, which runs them again on your machine." }
            }
            p { (crate::figures::ledger_words(c.survey)) @if let Some(x) = c.climate() { ". Heat closes to " (crate::words::power_of_ten(x.likely.heat.error)) ", oxygen to " (crate::words::power_of_ten(x.likely.oxygen.error)) } "." }
            p { "What is least known: how a stopped pump passes water backwards (time one drain), transfer of small stones (a clean-water test), what media hold (a kitchen scale), heat losses of plastic (a thermometer)." }
            @if !open.is_empty() { h3 { "Worth knowing" } ul { @for f in open { li { strong { (f.title) ". " } (f.sentence) } } } }
        }
    }
}
