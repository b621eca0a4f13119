//! The trays from above, to the same scale as the section.

use crate::dimension::{dimension, extension, text_width};
use crate::layout::{Layout, TrayPlace, blocks};
use crate::paper::{Paper, plan_ends};
use crate::section::Now;
use crate::section_words::short_name;
use crate::svg::{Anchor, Svg, n};
use crate::{keys, words};
use tidewright_plan::Survey;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Entry, Tray};

const SIZE: f64 = 12.5;
/// Room between trays of one column, and more where the holes are measured below them \[units\].
const GAP: (f64, f64) = (52.0, 46.0);
/// Least length of a floor whose holes are measured \[units\].
const MEASURED: f64 = 150.0;

struct Plan<'a> {
    rig: &'a Rig,
    layout: &'a Layout,
    paper: &'a Paper,
    left: f64,
}

impl Plan<'_> {
    fn x(&self, metres: f64) -> f64 {
        self.paper.plan.left + (metres - self.left) * self.paper.k
    }
}

/// The plan as one SVG.
pub fn plan_view(survey: &Survey, layout: &Layout, paper: &Paper, now: &Now) -> String {
    let (left, right) = plan_ends(layout);
    let p = Plan { rig: &survey.rig, layout, paper, left };
    // Columns stand side by side, their trays one below the other.
    let mut tops = vec![0.0; layout.trays.len()];
    let mut bottom = paper.plan.above;
    let holes = if layout.trays.iter().any(|t| !t.round && t.length.0 * paper.k >= MEASURED) { GAP.1 } else { 0.0 };
    for c in 0..layout.columns.len() {
        let mut y = paper.plan.above;
        for i in layout.in_column(c) {
            let t = &layout.trays[i];
            tops[i] = y;
            y += t.width.0.max(t.width.1) * paper.k + GAP.0 + holes;
        }
        bottom = f64::max(bottom, y - GAP.0);
    }
    let size = (paper.plan.left + (right - left) * paper.k + paper.plan.right, bottom + paper.plan.below);
    let mut svg = Svg::new();
    svg.raw(&paper.open(size, "plan", &format!("Plan of {}, to scale", survey.rig.name)));
    for (i, (tray, place)) in survey.rig.trays.iter().zip(&layout.trays).enumerate() {
        one(&p, &mut svg, i, (tray, place), tops[i], now.trays_m.get(i).copied().unwrap_or(0.0));
    }
    svg.raw("</svg>");
    svg.finish()
}

fn one(p: &Plan<'_>, svg: &mut Svg, i: usize, (tray, place): (&Tray, &TrayPlace), top: f64, depth: f64) {
    let k = p.paper.k;
    let widest = place.width.0.max(place.width.1);
    let middle = (p.x(place.middle), top + widest * k / 2.0);
    // The front of the floor is the lower edge of the drawing.
    let y = |from_front: f64| middle.1 + (place.width.0 / 2.0 - from_front) * k;
    let mut inner = Svg::new();
    outline(&mut inner, "vessel", place.round, middle, (place.length.1 * k, place.width.1 * k), "");
    let share = if place.depth > 0.0 { (depth / place.depth).clamp(0.0, 1.0) } else { 0.0 };
    let at = |a: (f64, f64)| (a.0 + (a.1 - a.0) * share) * k;
    let data = format!(
        "data-plan=\"tray-{i}\" data-cx=\"{}\" data-cy=\"{}\" data-l=\"{} {}\" data-w=\"{} {}\" data-depth=\"{:.5}\"{}",
        n(middle.0),
        n(middle.1),
        n(place.length.0 * k),
        n(place.length.1 * k),
        n(place.width.0 * k),
        n(place.width.1 * k),
        place.depth,
        if depth > 5e-4 { "" } else { " style=\"opacity:0\"" }
    );
    outline(&mut inner, "planwater", place.round, middle, (at(place.length), at(place.width)), &data);
    outline(&mut inner, "floor", place.round, middle, (place.length.0 * k, place.width.0 * k), "");
    let path = keys::of_tray(p.rig, i, "width").or_else(|| keys::of_tray(p.rig, i, "diameter"));
    svg.raw(&keys::linked(path.as_deref(), &format!("{}: change its width", tray.name), &inner.finish()));
    if let Some(b) = &tray.blocks {
        let mut inner = Svg::new();
        let (w, h) = (b.length.get().value * k, b.width.get().value * k);
        let mut leaves = String::new();
        for at in blocks(tray) {
            let (cx, cy) = (p.x(place.middle + at.x), y(at.y));
            inner.rect("block", (cx - w / 2.0, cy - h / 2.0), (w, h), "");
            let r = w.min(h) * 0.34;
            leaves.push_str(&star(cx, cy, r));
        }
        inner.path("plant", &leaves, "");
        let path = keys::of_tray(p.rig, i, "blocks.count");
        let spoken = format!("{} blocks in {} rows: change their number", b.count.get(), b.rows.get());
        svg.raw(&keys::linked(path.as_deref(), &spoken, &inner.finish()));
    }
    overlays(p, svg, i, place, middle, &y);
    fittings(p, svg, i, (tray, place), &y);
    sizes(p, svg, i, place, (middle, widest), &y, tray);
}

/// Rails below and lamps above, as dashed outlines.
fn overlays(p: &Plan<'_>, svg: &mut Svg, i: usize, place: &TrayPlace, middle: (f64, f64), y: &dyn Fn(f64) -> f64) {
    let k = p.paper.k;
    if let Some(s) = &p.rig.stand {
        svg.raw("<g class=\"layer-stand\">");
        let (w, l) = (s.rail.outer.0.value * k, s.rail_length.get().value * k);
        for at in s.rail_at.borrowed() {
            if s.along.get() == tidewright_rig::bench::Along::Length {
                svg.rect("lamp-line", (middle.0 - l / 2.0, y(*at) - w / 2.0), (l, w), "");
            } else {
                let x = p.x(place.middle - place.length.0 / 2.0 + at);
                svg.rect("lamp-line", (x - w / 2.0, middle.1 - l / 2.0), (w, l), "");
            }
        }
        svg.raw("</g>");
    }
    let own: Vec<_> = p.rig.lamps.iter().filter(|l| l.tray == i).collect();
    if own.is_empty() {
        return;
    }
    svg.raw("<g class=\"layer-lamp\">");
    for l in own {
        let size = ((l.size.0.get().value * k).max(8.0), (l.size.1.get().value * k).max(8.0));
        let at = (p.x(place.middle + l.at.0.get().value), middle.1 - l.at.1.get().value * k);
        svg.rect("lamp-line", (at.0 - size.0 / 2.0, at.1 - size.1 / 2.0), size, "rx=\"2\"");
    }
    svg.raw("</g>");
}

fn outline(svg: &mut Svg, class: &str, round: bool, middle: (f64, f64), size: (f64, f64), more: &str) {
    if round {
        svg.circle(class, middle, size.0 / 2.0, more);
    } else {
        svg.rect(class, (middle.0 - size.0 / 2.0, middle.1 - size.1 / 2.0), size, &format!("rx=\"5\" {more}"));
    }
}

fn star(x: f64, y: f64, r: f64) -> String {
    (0..3).fold(String::new(), |mut d, i| {
        let a = f64::from(i) * std::f64::consts::PI / 3.0 + 0.52;
        let (c, s) = (a.cos() * r, a.sin() * r);
        d.push_str(&format!("M{},{}L{},{}", n(x - c), n(y - s), n(x + c), n(y + s)));
        d
    })
}

fn fittings(p: &Plan<'_>, svg: &mut Svg, i: usize, (tray, place): (&Tray, &TrayPlace), y: &dyn Fn(f64) -> f64) {
    let k = p.paper.k;
    let mut ring = |at: (f64, f64), bore: f64, class: &str, path: Option<String>, spoken: &str| {
        let mut inner = Svg::new();
        inner.circle(class, at, ((bore / 2.0 + 0.011) * k).max(5.0), "");
        inner.circle("hole", at, (bore / 2.0 * k).max(2.0), "");
        svg.raw(&keys::linked(path.as_deref(), spoken, &inner.finish()));
    };
    let feed = (p.x(place.feed.0), y(place.feed.1));
    if matches!(tray.entry, Entry::Floor) {
        let bore = p.rig.pumps[tray.pump].feed.bore.get().value;
        ring(feed, bore, "ring", keys::of_tray(p.rig, i, "feed_y"), "flood fitting: change its place");
    }
    if let Some(r) = &tray.drain.riser {
        for (_, across) in tray.drain_places() {
            let at = (p.x(place.drain.0), y(across.clamp(0.0, place.width.0)));
            ring(at, r.bore.get().value, "ring riser", keys::of_tray(p.rig, i, "drain_y"), "riser: change its place");
        }
    }
}

fn sizes(
    p: &Plan<'_>,
    svg: &mut Svg,
    i: usize,
    place: &TrayPlace,
    (middle, widest): ((f64, f64), f64),
    y: &dyn Fn(f64) -> f64,
    tray: &Tray,
) {
    let k = p.paper.k;
    let length = |metres: f64| words::bare_length(p.rig.system, metres);
    let half = (place.length.1.max(place.length.0) * k / 2.0, widest * k / 2.0);
    let (left, right) = (middle.0 - half.0, middle.0 + half.0);
    let (top, bottom) = (middle.1 - half.1, middle.1 + half.1);
    // Rim length above.
    let rim = (middle.0 - place.length.1 * k / 2.0, middle.0 + place.length.1 * k / 2.0);
    for x in [rim.0, rim.1] {
        extension(svg, (x, top - 4.0), (x, top - 20.0));
    }
    let mut dim = Svg::new();
    dimension(&mut dim, (rim.0, top - 14.0), (rim.1, top - 14.0), &length(place.length.1), SIZE);
    let path = keys::of_tray(p.rig, i, "length").or_else(|| keys::of_tray(p.rig, i, "diameter"));
    svg.raw(&keys::linked(path.as_deref(), "length at the rim", &dim.finish()));
    if p.rig.trays.len() > 1 {
        svg.text("note", (left, top - 32.0), Anchor::Start, &short_name(&tray.name, (half.0 * 2.0 / 7.5) as usize));
    }
    // Rim width at the left, where the tray before leaves room for it.
    let before = p
        .layout
        .columns
        .get(place.column.wrapping_sub(1))
        .map_or(f64::INFINITY, |c| (place.middle - c.0 - c.1) * k - half.0);
    if before > 40.0 {
        rim_width(p, svg, i, place, (left, middle.1));
    }
    // Holes along the floor from its left end, each on its own line, where there is room for the words.
    let room = place.length.0 * k;
    let mut holes: Vec<(&str, f64, f64, &str)> = Vec::new();
    if matches!(tray.entry, Entry::Floor) {
        holes.push(("flood fitting", place.feed.0, place.feed.1, "feed_x"));
    }
    if tray.drain.riser.is_some() {
        holes.push(("riser", place.drain.0, place.drain.1, "drain_x"));
    }
    let start = middle.0 - place.length.0 * k / 2.0;
    if room < MEASURED || place.round {
        return;
    }
    // Holes from the front of the floor, at the right; one line where both stand alike.
    let mut fronts: Vec<(f64, f64, String)> = Vec::new();
    for (name, x, from_front, key) in &holes {
        if !fronts.iter().any(|f| (f.1 - from_front).abs() < 1e-4) {
            fronts.push((*x, *from_front, format!("{}_y {name}", key.trim_end_matches("_x"))));
        }
    }
    for (row, (x, from_front, what)) in fronts.iter().enumerate() {
        let line = right + 14.0 + 18.0 * row as f64;
        svg.line("ext", (p.x(*x) + 9.0, y(*from_front)), (line + 5.0, y(*from_front)));
        extension(svg, (start + room + 3.0, y(0.0)), (line + 5.0, y(0.0)));
        let mut dim = Svg::new();
        dimension(&mut dim, (line, y(*from_front)), (line, y(0.0)), &length(*from_front), SIZE);
        let (key, name) = what.split_once(' ').unwrap_or((what, ""));
        let path = keys::of_tray(p.rig, i, key);
        svg.raw(&keys::linked(path.as_deref(), &format!("{name} from the front of the floor"), &dim.finish()));
    }
    extension(svg, (start, y(0.0) + 3.0), (start, bottom + 20.0 + 20.0 * (holes.len() as f64 - 1.0)));
    for (row, (name, x, from_front, key)) in holes.iter().enumerate() {
        let line = bottom + 16.0 + 20.0 * row as f64;
        let at = p.x(*x);
        svg.line("ext", (at, y(*from_front) + 9.0), (at, line + 5.0));
        let text = length(place_from_left(place, *x));
        let mut dim = Svg::new();
        dimension(&mut dim, (start, line), (at, line), &text, SIZE);
        let used = if at - start > text_width(&text, SIZE) + 8.0 { 8.0 } else { 12.0 + text_width(&text, SIZE) };
        dim.text("sub", (at + used, line + 4.0), Anchor::Start, name);
        let path = keys::of_tray(p.rig, i, key);
        svg.raw(&keys::linked(path.as_deref(), &format!("{name} from the left end of the floor"), &dim.finish()));
    }
}

fn rim_width(p: &Plan<'_>, svg: &mut Svg, i: usize, place: &TrayPlace, (left, middle): (f64, f64)) {
    let half = place.width.1 * p.paper.k / 2.0;
    for y in [middle - half, middle + half] {
        extension(svg, (left - 4.0, y), (left - 20.0, y));
    }
    let mut dim = Svg::new();
    let text = words::bare_length(p.rig.system, place.width.1);
    dimension(&mut dim, (left - 14.0, middle + half), (left - 14.0, middle - half), &text, SIZE);
    let path = keys::of_tray(p.rig, i, "width").or_else(|| keys::of_tray(p.rig, i, "diameter"));
    svg.raw(&keys::linked(path.as_deref(), "width at the rim", &dim.finish()));
}

/// Distance of a point from the left end of its tray's floor \[m\].
fn place_from_left(place: &TrayPlace, x: f64) -> f64 {
    x - (place.middle - place.length.0 / 2.0)
}
