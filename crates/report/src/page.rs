//! The page around a state.

use crate::explain::markdown;
use crate::state::State;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use tidewright_plan::working::Working;

/// The page's style.
pub const CSS: &str = include_str!("../assets/page.css");
/// The page's behaviour.
pub const JS: &str = include_str!("../assets/page.js");

/// The whole page, complete without anything fetched.
pub fn page(state: &State) -> String {
    let f = |id: &str| PreEscaped(state.fragments.get(id).cloned().unwrap_or_default());
    let data = serde_json::json!({
        "meta": state.meta, "title": state.title, "series": state.series, "geometry": state.geometry,
        "faults": state.faults,
    });
    frame(
        &state.title,
        "bench-page",
        &html! {
            a class="skip" href="#findings" { "To the findings" }
            header id="top" class="top" { (f("top")) }
            p id="status" class="status" role="status" aria-live="polite" {}
            div id="faults" { (f("faults")) }
            main class="bench-main" {
                section class="sheet" aria-label="The bench" {
                    div class="layers" role="group" aria-label="layers of the drawings" {
                        @for (id, word) in [("stand", "stand"), ("lamp", "lamps"), ("air", "air"), ("cord", "cords")] {
                            label { input type="checkbox" id={ "show-" (id) } checked; " " (word) }
                        }
                    }
                    div id="bench" { (f("bench")) }
                    div id="strip" class="strip" { (f("strip")) }
                    div id="charts" class="charts" { (f("charts")) }
                    div id="roots" class="charts" { (f("roots")) }
                }
                aside class="side" aria-labelledby="findings-title" {
                    h2 id="findings-title" { "Findings" }
                    div id="findings" { (f("findings")) }
                }
                div class="below" {
                    section class="advice" aria-labelledby="advice-title" {
                        h2 id="advice-title" { "Cut and mark" }
                        div id="advice" { (f("advice")) }
                    }
                    section class="spill" aria-labelledby="spills-title" {
                        h2 id="spills-title" { "If one thing fails" }
                        div id="spills" { (f("spills")) }
                    }
                }
                section class="value-sheet" aria-labelledby="values-title" {
                    h2 id="values-title" { "Every value" }
                    div id="values" { (f("values")) }
                }
            }
            footer id="foot" class="foot" { (f("foot")) }
            div id="hand" class="hand" role="dialog" aria-label="change a value" hidden {}
            script id="data" type="application/json" { (PreEscaped(script_safe(&data.to_string()))) }
            script { (PreEscaped(JS)) }
        },
    )
}

/// JSON that cannot end its script element.
fn script_safe(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

/// The page of all workings: how each number of a bench came about.
pub fn workings_page(title: &str, all: &[Working]) -> String {
    let mut seen: Vec<&str> = Vec::new();
    let body = html! {
        header class="top" { div class="names" { h1 { "Workings" } p class="about" { (title) } } a class="back" href="/" { "← The bench" } }
        main class="reading" {
            @for w in all {
                @let first = !seen.contains(&w.name);
                @if first { ({ seen.push(w.name); "" }) }
                section id=[first.then_some(w.name)] {
                    h2 { (w.title) ": " (w.value) }
                    p { code { (w.formula) } }
                    table class="symbols" {
                        thead { tr { th scope="col" { "symbol" } th scope="col" { "value" } th scope="col" { "what it is" } th scope="col" { "where from" } } }
                        tbody { @for s in &w.symbols { tr { td { (s.symbol) } td { strong { (s.value) } } td { (s.meaning) } td { (s.birth) } } } }
                    }
                    @if let Some([low, likely, high]) = &w.band { p { "Band: " (low) " · " strong { (likely) } " · " (high) " (5, 50 and 95 of a hundred lie below)." } }
                    @if let Some(n) = &w.narrows { p { (n) } }
                    @for a in &w.assumptions { p { "Assumed: " (a) "." } }
                    p { "Source: " (w.source) "." }
                }
            }
        }
    };
    frame("Workings", "explain-page", &body)
}

/// The head of a page that carries its styles with it.
pub(crate) fn head(title: &str, styles: &[&str]) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            title { (title) }
            link rel="icon" href="data:,";
            style { @for s in styles { (PreEscaped(s)) } }
        }
    }
}

pub(crate) fn frame(title: &str, class: &str, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{title} · Tidewright"), &[CSS]))
            body class=(class) { (body) }
        }
    }
    .into_string()
}

/// The page that explains one finding: its name, its title, and markdown.
pub fn explain_page(name: &str, title: &str, markdown_text: &str) -> String {
    // The page's own head is its title: the same words again as a first heading say nothing.
    let first = markdown_text.trim_start();
    let rest = match first.strip_prefix("# ").and_then(|t| t.split_once('\n')) {
        Some((heading, rest)) if heading.trim() == title.trim() => rest,
        _ => first,
    };
    frame(
        title,
        "explain-page",
        &html! {
            header class="top" { div class="names" { h1 { (title) } p class="about" { (name) } } a class="back" href="/" { "← The bench" } }
            main class="reading" { (PreEscaped(markdown(rest))) }
        },
    )
}
