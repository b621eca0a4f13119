//! The build book as the source of a typesetting system (Typst): the same contents, for a PDF of its own.
//!
//! Every text stands in a string literal, so that nothing a user wrote is taken for markup. Drawings are files beside the source,
//! which whoever compiles it lays there.

use super::{Contents, Sheet, Worked, drawings};
use crate::layout::Layout;
use crate::page::CSS;
use crate::paper::Paper;
use crate::section::{Now, lanes, section};
use std::fmt::Write as _;
use tidewright_plan::book::{card, cuts, gauge, steps, tasks, trials, turnover};
use tidewright_plan::{buy, fit, stand};
use tidewright_rig::Birth;
use tidewright_rig::units::{clock, duration, stopwatch};

/// Source and the drawings that it names.
#[derive(Clone, Debug, PartialEq)]
pub struct Typeset {
    /// The source.
    pub source: String,
    /// Name and text of each drawing.
    pub drawings: Vec<(String, String)>,
}

/// A text as a literal.
fn q(text: &str) -> String {
    let mut out = String::from("#\"");
    for c in text.chars() {
        match c {
            '\\' => out.push_str("\\\\"),
            '"' => out.push_str("\\\""),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push_str("\";");
    out
}

/// A cell of a table.
fn cell(text: &str) -> String {
    format!("[{}]", q(text))
}

struct Writer {
    out: String,
}

impl Writer {
    fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    fn heading(&mut self, text: &str) {
        let _ = writeln!(self.out, "\n= {}\n", q(text));
    }

    fn small(&mut self, text: &str) {
        let _ = writeln!(self.out, "\n== {}\n", q(text));
    }

    fn say(&mut self, text: &str) {
        let _ = writeln!(self.out, "{}\n", q(text));
    }

    fn caution(&mut self, text: &str) {
        let _ = writeln!(self.out, "#caution[{}]\n", q(text));
    }

    fn table(&mut self, columns: &str, head: &[&str], rows: &[Vec<String>]) {
        let _ = writeln!(self.out, "#table(columns: {columns},");
        if !head.is_empty() {
            let cells: Vec<String> = head.iter().map(|h| cell(h)).collect();
            let _ = writeln!(self.out, "table.header({}),", cells.join(", "));
        }
        for row in rows {
            let cells: Vec<String> = row.iter().map(|c| cell(c)).collect();
            let _ = writeln!(self.out, "{},", cells.join(", "));
        }
        self.line(")\n");
    }

    fn list(&mut self, sign: &str, all: &[String]) {
        for x in all {
            let _ = writeln!(self.out, "{sign} {}", q(x));
        }
        self.out.push('\n');
    }
}

/// The book.
pub fn typeset(c: &Contents<'_>) -> Typeset {
    let rig = &c.survey.rig;
    let heat = c.climate().map_or([0.0; 2], |x| x.likely.held_j);
    let worked = Worked { card: buy::card(c.survey), items: buy::list(rig), running: buy::running(rig, heat) };
    let paper = if c.sheet == Sheet::A4 { "a4" } else { "us-letter" };
    let mut w = Writer { out: String::new() };
    let mut files = Vec::new();
    let _ = writeln!(
        w.out,
        "#set page(paper: \"{paper}\", margin: 12mm, numbering: \"1\")\n#set text(size: 9.5pt)\n#set par(justify: false)\n\
         #set table(stroke: (x, y) => (top: if y > 0 {{ 0.4pt + luma(180) }}), inset: (x: 3pt, y: 3pt), align: left)\n\
         #show heading.where(level: 1): it => {{ pagebreak(weak: true); block(width: 100%, stroke: (bottom: 1.2pt), inset: (bottom: 3pt), it) }}\n\
         #let caution(body) = block(width: 100%, stroke: (left: 2pt + rgb(\"#8a5a00\")), inset: (left: 6pt, y: 2pt), text(fill: rgb(\"#6b4600\"), [▲ #body]))\n"
    );
    first(c, &worked, &mut w);
    drawn(c, &mut w, &mut files);
    shopping(&worked, &mut w);
    cutting(c, &mut w);
    w.heading("Order of work");
    for s in steps(rig) {
        let _ = writeln!(w.out, "+ *{}* {}", q(&s.title), q(&s.say));
        if let Some(x) = &s.caution {
            let _ = writeln!(w.out, "  #caution[{}]", q(x));
        }
    }
    templates(c, &mut w);
    first_day(c, &mut w);
    running(c, &mut w);
    assumed(c, &mut w);
    Typeset { source: w.out, drawings: files }
}

fn first(c: &Contents<'_>, worked: &Worked, w: &mut Writer) {
    let rig = &c.survey.rig;
    let u = rig.system;
    let _ = writeln!(w.out, "#text(size: 24pt, weight: \"bold\")[{}]\n", q(&rig.name));
    w.say(&rig.about);
    w.say(&format!(
        "A flood-and-drain bench for {}. This book is for the person who builds it, tries it out and runs it.",
        rig.growing.crop.name
    ));
    let facts = [
        ("Reservoir at rest", u.volume(rig.reservoir.fill.get().value)),
        ("Tray floor over the floor of the room", u.length(rig.trays[0].elevation.get().value)),
        ("Riser crest over the tray floor", rig.trays[0].crest().map_or_else(|| "none".into(), |x| u.length(x.value))),
        ("Everything full weighs", u.weight(stand::everything_kg(rig))),
        ("To buy", super::words::to_buy(worked)),
        ("Running", format!("{:.2} {} a day", worked.running.a_day, worked.running.currency)),
    ];
    let rows: Vec<Vec<String>> = facts.into_iter().map(|(a, b)| vec![a.to_owned(), b]).collect();
    w.table("(1fr, auto)", &[], &rows);
    for f in super::open_findings(c) {
        w.say(&format!("{} {}: {}", f.severity.word(), f.title, f.sentence));
        if let Some(m) = &f.mend {
            w.say(&m.say);
        }
    }
    w.caution("Mains power beside water, heavy wet loads, saws, acids: a caution stands at each place where they come. Local code, licensed electricians and engineers go before this book.");
}

fn drawn(c: &Contents<'_>, w: &mut Writer, files: &mut Vec<(String, String)>) {
    let rig = &c.survey.rig;
    let layout = Layout::of(rig);
    let now = Now {
        reservoir_m: c.survey.trays.first().map_or(0.0, |t| t.flood.lowest_reservoir_m),
        trays_m: (0..rig.trays.len()).map(|i| c.survey.trays[i].flood.highest_m[i]).collect(),
        blocks: Vec::new(),
    };
    let lines = &c.advice.lines;
    let paper = Paper::wide(&layout, lanes(c.survey, &layout, lines, &now)).upright(&layout);
    w.heading("Section");
    w.say(&format!("Scale {} when printed at 100 %. Water at its highest in a flood.", paper.scale_words()));
    let svg = section(c.survey, &layout, &paper, lines, &now);
    let width = svg.split("--print-w:").nth(1).and_then(|s| s.split("mm").next()).unwrap_or("180").to_owned();
    let _ = writeln!(w.out, "#image(\"section.svg\", width: {width}mm)\n");
    files.push(("section.svg".into(), plain(&svg)));
    if let Some(svg) = drawings::stand(rig) {
        w.heading("Stand");
        let width = svg.split("--w:").nth(1).and_then(|s| s.split("mm").next()).unwrap_or("180").to_owned();
        let _ = writeln!(w.out, "#image(\"stand.svg\", width: {width}mm)\n");
        files.push(("stand.svg".into(), plain(&svg)));
        w.caution(&stand::refusal(rig));
    }
}

/// Selectors and bodies of a style sheet, those inside of `@media` and the like left out.
fn top_rules(style: &str) -> Vec<(String, String)> {
    let (mut out, mut depth, mut begin, mut at_rule) = (Vec::new(), 0, 0, false);
    let (mut selector, mut body) = (String::new(), 0);
    for (i, c) in style.char_indices() {
        match c {
            ';' if depth == 0 => begin = i + 1,
            '{' => {
                if depth == 0 {
                    selector = style[begin..i].rsplit("*/").next().unwrap_or("").trim().to_owned();
                    at_rule = selector.starts_with('@');
                    body = i + 1;
                }
                depth += 1;
            }
            '}' => {
                depth -= 1;
                if depth == 0 {
                    if !at_rule {
                        out.push((std::mem::take(&mut selector), style[body..i].to_owned()));
                    }
                    begin = i + 1;
                }
            }
            _ => {}
        }
    }
    out
}

/// A drawing whose style names no variable: for programs that know plain style sheets only.
fn plain(svg: &str) -> String {
    let mut style = format!("{CSS}{}", super::BOOK_CSS);
    // The first block of variables is the one for paper and light.
    let block = CSS.split(":root {").nth(1).and_then(|s| s.split('}').next()).unwrap_or("");
    let variables: Vec<(&str, &str)> =
        block.split(';').filter_map(|d| d.trim().split_once(':')).map(|(k, v)| (k.trim(), v.trim())).collect();
    for (name, value) in variables.iter().filter(|(k, _)| k.starts_with("--")) {
        style = style.replace(&format!("var({name})"), value);
    }
    let rules: String = top_rules(&style)
        .into_iter()
        .filter(|(selector, body)| !selector.contains([':', '@', '>', '+']) && !body.contains("var("))
        .map(|(selector, body)| format!("{}{{{body}}}", selector.replace("svg text", "text").replace("svg .", ".")))
        .collect();
    let named = svg.replacen("<svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"", 1);
    match named.find('>') {
        Some(at) => format!(
            "{}<style>{rules} .reach, .hit, .reach-area, .bore {{ fill: none; stroke: none; }} text {{ font-family: \"Libertinus Serif\"; }}</style>{}",
            &named[..=at],
            &named[at + 1..]
        ),
        None => named,
    }
}

fn shopping(worked: &Worked, w: &mut Writer) {
    w.heading("What to buy");
    let rows: Vec<Vec<String>> =
        worked.card.windows.iter().map(|x| vec![x.what.clone(), x.words.clone(), x.note.clone()]).collect();
    w.table("(1fr, 1.3fr, 1.6fr)", &["what", "would serve", "why"], &rows);
    w.list("-", &worked.card.traps.iter().map(|t| (*t).to_owned()).collect::<Vec<_>>());
    let rows: Vec<Vec<String>> = worked
        .items
        .iter()
        .map(|i| {
            let cost =
                if i.owned { "there".into() } else { i.cost().map_or_else(|| "?".into(), |x| format!("{x:.2}")) };
            vec![i.name.clone(), format!("{} {}", (i.quantity * 100.0).round() / 100.0, i.unit), cost, i.spec.clone()]
        })
        .collect();
    w.small("Parts");
    w.table("(1.2fr, auto, auto, 1.5fr)", &["part", "", "cost", "size"], &rows);
    w.say(&format!(
        "Together {:.2} {}; a crop {:.2}, a plant {:.2} {}.",
        worked.running.bench.0,
        worked.running.currency,
        worked.running.a_crop,
        worked.running.a_plant,
        worked.running.currency
    ));
}

fn cutting(c: &Contents<'_>, w: &mut Writer) {
    let rig = &c.survey.rig;
    let u = rig.system;
    w.heading("Holes and cuts");
    let mut rows = Vec::new();
    for t in &rig.trays {
        for h in fit::holes(t) {
            rows.push(vec![
                t.name.clone(),
                h.what.into(),
                u.length(h.at_m.0),
                u.length(h.at_m.1),
                u.length(h.diameter_m),
            ]);
        }
    }
    w.table("(1fr, 1fr, auto, auto, auto)", &["vessel", "for", "along", "across", "diameter"], &rows);
    for g in cuts(rig) {
        w.small(&g.what);
        w.say(g.tool);
        for (pieces, left) in &g.packed.lengths {
            let all: Vec<String> = pieces.iter().map(|p| format!("{} {}", p.what, u.distance(p.length_m))).collect();
            let rest = if g.packed.stock_m < 20.0 { format!("; {} left", u.distance(*left)) } else { String::new() };
            w.say(&format!("{}{rest}", all.join(" · ")));
        }
        for x in &g.packed.too_long {
            w.caution(&format!(
                "{} of {} is longer than any length: join it over a support, or buy longer.",
                x.what,
                u.distance(x.length_m)
            ));
        }
    }
}

fn templates(c: &Contents<'_>, w: &mut Writer) {
    let rig = &c.survey.rig;
    w.heading("Hole templates, true size");
    w.say("Print at 100 %. This line is 100 mm long; if yours is not, the templates are wrong:");
    w.line("#line(length: 100mm, stroke: 0.6mm)\n");
    w.caution("Take the fitting to the template before you cut. Saw from the inside onto a board; the tub is clamped, eyes are covered, the saw grabs.");
    for t in &rig.trays {
        for h in fit::holes(t) {
            let (d, f) = (1e3 * h.diameter_m, 1e3 * t.holes.flange.get().value);
            w.small(&format!("{}: {}, hole of {}", t.name, h.what, rig.system.length(h.diameter_m)));
            let _ = writeln!(
                w.out,
                "#block(width: {s}mm, height: {s}mm)[#place(center + horizon, circle(radius: {r}mm, stroke: 0.2mm))#place(center + horizon, circle(radius: {f}mm, stroke: (thickness: 0.15mm, dash: \"dashed\")))#place(center + horizon, line(length: {s}mm, stroke: 0.15mm))#place(center + horizon, line(length: {s}mm, angle: 90deg, stroke: 0.15mm))]\n",
                s = f.max(d) + 20.0,
                r = d / 2.0,
                f = f / 2.0
            );
        }
    }
}

fn first_day(c: &Contents<'_>, w: &mut Writer) {
    let s = c.survey;
    w.heading("The first day");
    for t in trials(s) {
        let _ = writeln!(w.out, "+ *{}* {} _{}_", q(&t.title), q(&t.say), q(&t.tells));
        if let Some(x) = t.caution {
            let _ = writeln!(w.out, "  #caution[{}]", q(x));
        }
    }
    w.heading("Card of the first day");
    let rows: Vec<Vec<String>> = card(s, c.climate())
        .into_iter()
        .map(|r| {
            let [a, b, z] = r.band;
            let (a, z) = if a == z { (String::new(), String::new()) } else { (a, z) };
            vec![r.what, a, b, z, String::new(), String::new(), r.accept]
        })
        .collect();
    w.table(
        "(1.5fr, auto, auto, auto, 22mm, 22mm, 1fr)",
        &["", "low", "likely", "high", "first", "second", "accept"],
        &rows,
    );
    w.small("What the same times mean later");
    for (i, t) in s.rig.trays.iter().enumerate() {
        if s.rig.trays.len() > 1 {
            w.say(&t.name);
        }
        let rows: Vec<Vec<String>> = gauge(&s.rig, i)
            .into_iter()
            .map(|r| {
                vec![
                    r.state.into(),
                    stopwatch(r.crest_wet_s),
                    stopwatch(r.drained_s),
                    s.rig.system.length(r.highest_m),
                    r.act.into(),
                ]
            })
            .collect();
        w.table("(1fr, auto, auto, auto, 1.5fr)", &["", "crest wet", "drained", "highest", "what to do"], &rows);
    }
}

fn running(c: &Contents<'_>, w: &mut Writer) {
    let s = c.survey;
    let rig = &s.rig;
    let u = rig.system;
    let l = &c.advice.lines;
    w.heading("For the fridge door");
    w.say(&super::sheets::lines_words(u, l));
    for t in &rig.trays {
        let starts: Vec<String> = t.schedule.starts.borrowed().iter().map(|x| clock(*x)).collect();
        w.say(&format!("{}: {}, {} each", t.name, starts.join(" · "), duration(t.schedule.run.get().value)));
    }
    if let Some(Ok(sheet)) = s.solution.as_ref().map(|o| o.sheet.as_ref()) {
        w.heading("Weigh-out sheet");
        let all = crate::solution::sheet::direct_order(sheet);
        let rows: Vec<Vec<String>> = all
            .iter()
            .chain(sheet.acids.iter().map(|a| &a.0))
            .map(|x| vec![sheet.shelf[x.salt].name.clone(), crate::solution::sheet::how(x)])
            .collect();
        w.table("(1fr, 1fr)", &["salt", "how much"], &rows);
        for x in crate::solution::sheet::steps(rig, sheet) {
            let _ = writeln!(w.out, "+ {}", q(&x.say));
            if let Some(caution) = &x.caution {
                let _ = writeln!(w.out, "  #caution[{}]", q(caution));
            }
        }
    }
    let t = tasks(s, c.climate(), s.solution.as_ref());
    w.heading("Running it");
    for (title, all) in
        [("Each day", &t.daily), ("Each week", &t.weekly), ("Changing the water", &t.change), ("Seldom", &t.seldom)]
    {
        w.small(title);
        w.list("-", all);
    }
    w.small("When the power fails");
    w.list("+", &t.power_fails);
    let x = turnover(s);
    w.small("Turning over");
    w.say(&format!(
        "Pump out in about {:.0} min; {} stay as a heel. Fill to {} with {} of household bleach, one flood, 10 to 30 minutes; {} rinses of the same volume.",
        x.pump_out_min.max(1.0),
        u.volume(x.heel_m3),
        u.volume(x.wash_m3),
        u.sip(x.bleach_m3),
        x.rinses
    ));
    w.caution("Bleach never with acid or ammonia: chlorine gas. Goggles, gloves, open windows; bleach into water.");
}

fn assumed(c: &Contents<'_>, w: &mut Writer) {
    w.heading("What was assumed");
    let rows: Vec<Vec<String>> = c
        .survey
        .rig
        .sheet
        .iter()
        .filter_map(|l| match &l.birth {
            Birth::Assumed { why } => Some(vec![l.label.to_owned(), l.text.clone(), why.clone()]),
            _ => None,
        })
        .collect();
    w.line("#set text(size: 8pt)");
    w.table("(1.3fr, 1fr, 1.6fr)", &["", "stands at", "because"], &rows);
    if let Some((hold, all)) = c.evidence {
        w.say(&format!("Held against {all} values from outside; {hold} hold."));
    }
}

#[cfg(test)]
mod tests {
    use super::q;

    #[test]
    fn no_text_of_a_user_is_markup() {
        assert_eq!(q("a \"b\" \\ #c *d*\n"), "#\"a \\\"b\\\" \\\\ #c *d* \";");
    }
}
