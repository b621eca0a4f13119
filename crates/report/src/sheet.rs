//! Every value of the bench as a field.

use crate::advice::{caution, weight};
use crate::keys::field_id;
use maud::{Markup, html};
use tidewright_rig::read::SheetLine;
use tidewright_rig::units::clock;
use tidewright_rig::{Birth, Finding, Rig, Severity};

/// One group of fields, as the file has its sections.
struct Group<'a> {
    path: &'a str,
    title: String,
    lines: Vec<&'a SheetLine>,
}

/// All fields, grouped in the order of the water.
pub fn sheet(rig: &Rig, faults: &[Finding]) -> Markup {
    let extra = flood_starts(rig);
    let groups = groups(rig, &extra);
    html! {
        p class="births-key" {
            "Where each value came from: "
            @for (b, w) in [("given", "in your file"), ("part", "from the parts data"), ("measured", "on this bench"), ("derived", "from other values"), ("assumed", "a usual value stands in")] {
                span class={ "birth " (b) } { span class="mark" aria-hidden="true" { (symbol(b)) } " " (b) } " " (w) ". "
            }
        }
        div class="groups" {
            @for g in &groups {
                (fields(rig, g, faults))
            }
        }
    }
}

fn fields(rig: &Rig, g: &Group<'_>, faults: &[Finding]) -> Markup {
    let faulty = |l: &SheetLine| faults.iter().any(|f| at(f, &l.path));
    let (shown, folded): (Vec<&SheetLine>, Vec<&SheetLine>) = g
        .lines
        .iter()
        .copied()
        .partition(|l| !matches!(l.birth, Birth::Assumed { .. }) || is_basic(&l.path) || faulty(l));
    let first = g.path.split(['.', '[']).next().unwrap_or("");
    let is_first = |kind: &str| g.path == kind || g.path == format!("{kind}[0]");
    html! {
        section class="group" aria-labelledby={ "g-" (field_id(g.path)) } {
            h3 id={ "g-" (field_id(g.path)) } { (g.title) }
            @for l in &shown { (field(l, faults)) }
            @if !folded.is_empty() {
                details {
                    summary { (folded.len()) @if folded.len() == 1 { " usual value stands in" } @else { " usual values stand in" } }
                    @for l in &folded { (field(l, faults)) }
                }
            }
            @if is_first("pump") { (caution("mains")) }
            @if first == "timer" { p class="caution short" { "Keep the timer above any spill and its cable in a drip loop: see the caution at the pump." } }
            @if first == "reservoir" { (caution("air-gap")) }
            @if is_first("tray") { (weight(rig)) }
        }
    }
}

fn at(f: &Finding, path: &str) -> bool {
    f.severity == Severity::Stop && f.place.as_ref().is_some_and(|p| p.path == path)
}

/// One field: label, input, birth, hint, and a fault where there is one.
fn field(l: &SheetLine, faults: &[Finding]) -> Markup {
    let id = field_id(&l.path);
    let fault = faults.iter().find(|f| at(f, &l.path));
    let birth = l.birth.word();
    let times = l.path.ends_with("floods");
    html! {
        div class={ "field " (birth) @if fault.is_some() { " faulty" } @if l.text.chars().count() > 13 && l.choices.is_empty() { " long" } } title=(l.birth.story()) data-hint=[l.choices.is_empty().then_some(l.hint)] {
            label for=(id) { (sentence(l.label)) }
            @if l.choices.is_empty() {
                input id=(id) name=(l.path) data-path=(l.path) data-kind=[times.then_some("times")] value=(l.text) type="text"
                    autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="done"
                    aria-describedby={ (id) "-h" } aria-invalid=[fault.map(|_| "true")];
            } @else {
                select id=(id) name=(l.path) data-path=(l.path) aria-describedby={ (id) "-h" } {
                    @for c in &l.choices { option value=(c) selected[*c == l.text.trim_matches('"')] { (choice_words(c)) } }
                }
            }
            span class="printed" { (l.text) }
            span class="birth" id={ (id) "-h" } {
                span class="mark" aria-hidden="true" { (symbol(birth)) } " " (birth)
                span class="unseen" { ". " (l.birth.story()) @if l.choices.is_empty() { ". As in " (l.hint) } }
            }
            @if let Some(f) = fault { p class="fault-words" { "■ " (f.sentence) @if let Some(m) = &f.mend { " " (m.say) } } }
        }
    }
}

fn choice_words(c: &str) -> &str {
    match c {
        "true" => "yes",
        "false" => "no",
        other => other,
    }
}

fn symbol(birth: &str) -> &'static str {
    match birth {
        "given" => "●",
        "part" => "◆",
        "measured" => "◉",
        "derived" => "=",
        _ => "◌",
    }
}

fn sentence(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or_else(String::new, |f| f.to_uppercase().chain(c).collect())
}

/// Values that belong in sight even where nobody gave them.
fn is_basic(path: &str) -> bool {
    const BASIC: [&str; 21] = [
        "fill",
        "capacity",
        "length",
        "width",
        "depth",
        "elevation",
        "max_head",
        "open_flow",
        "bore",
        "crest",
        "riser",
        "riser_bore",
        "medium",
        "count",
        "rows",
        "height",
        "floods",
        "minutes",
        "kind",
        "diameter",
        "prime_depth",
    ];
    let last = path.rsplit('.').next().unwrap_or("");
    path.contains('.') && BASIC.contains(&last)
}

/// The flood times, which are a list in the file, as one field a person can type.
fn flood_starts(rig: &Rig) -> Vec<SheetLine> {
    let Some(first) = rig.trays.first() else { return Vec::new() };
    let line = |path: String, label, t: &tidewright_rig::bench::Tray| SheetLine {
        path,
        label,
        text: t.schedule.starts.borrowed().iter().map(|s| clock(*s)).collect::<Vec<_>>().join(", "),
        birth: t.schedule.starts.birth.clone(),
        choices: Vec::new(),
        hint: "07:00, 12:15, 18:00",
    };
    let same = rig.trays.iter().all(|t| t.schedule.starts.birth == first.schedule.starts.birth);
    if same {
        return vec![line("timer.floods".into(), "floods begin at", first)];
    }
    rig.trays.iter().enumerate().map(|(i, t)| line(format!("tray[{i}].floods"), "floods begin at", t)).collect()
}

fn groups<'a>(rig: &'a Rig, extra: &'a [SheetLine]) -> Vec<Group<'a>> {
    let mut out: Vec<Group<'a>> = Vec::new();
    for l in rig.sheet.iter().chain(extra) {
        if rig.sheet.iter().any(|s| std::ptr::eq(s, l)) && extra.iter().any(|e| e.path == l.path) {
            continue;
        }
        let path = l.path.rsplit_once('.').map_or("", |(p, _)| p);
        match out.iter_mut().find(|g| g.path == path) {
            // The same key is listed twice where defaults of all trays are read for each.
            Some(g) if g.lines.iter().any(|x| x.path == l.path) => {}
            Some(g) => g.lines.push(l),
            None => out.push(Group { path, title: title(rig, path), lines: vec![l] }),
        }
    }
    const ORDER: [&str; 15] = [
        "reservoir",
        "pump",
        "feed",
        "tray",
        "blocks",
        "bed",
        "drain",
        "branch",
        "timer",
        "crop",
        "room",
        "light",
        "site",
        "",
        "reading",
    ];
    let rank =
        |g: &Group<'_>| ORDER.iter().position(|o| *o == g.path.split(['.', '[']).next().unwrap_or("")).unwrap_or(99);
    out.sort_by_key(rank);
    out
}

/// A section's name for people: "tray[1].drain" of a tray named B is "B: drain".
fn title(rig: &Rig, path: &str) -> String {
    let (head, rest) = path.split_once('.').unwrap_or((path, ""));
    let (kind, index) = match head.split_once('[') {
        Some((k, i)) => (k, i.trim_end_matches(']').parse::<usize>().ok()),
        None => (head, None),
    };
    let name = match (kind, index) {
        ("tray", Some(i)) => rig.trays.get(i).map(|t| t.name.clone()),
        ("pump", Some(i)) => rig.pumps.get(i).map(|p| p.name.clone()),
        ("", _) => Some("Bench".into()),
        _ => None,
    };
    let base = name.unwrap_or_else(|| match index {
        Some(i) => format!("{} {}", sentence(kind), i + 1),
        None => sentence(kind),
    });
    if rest.is_empty() { base } else { format!("{base}: {}", rest.replace('.', ", ")) }
}
