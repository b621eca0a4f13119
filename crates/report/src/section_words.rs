//! What is written on the section: dimensions, levels, labels.

use crate::dimension::{Label, dimension, extension, label_height, labels, text_width};
use crate::layout::ReservoirStands;
use crate::paper::{LEFT_LANE, RIGHT_LANE};
use crate::section::{Sheet, Vessel, floor_ends};
use crate::section_pipes::{feed_way, pump_at, return_way};
use crate::svg::{Anchor, Svg, n};
use crate::{keys, words};
use tidewright_rig::bench::{Entry, TopUp};

/// Size of the text in dimensions and labels \[units\].
const SIZE: f64 = 12.5;

pub(crate) fn write(s: &Sheet<'_>, svg: &mut Svg) {
    fill_lines(s, svg);
    dimensions(s, svg);
    if s.paper.narrow {
        return marks(s, svg);
    }
    let limits = (4.0, s.size().1 - 4.0);
    labels(svg, &left(s), s.x(s.layout.ends.0) - LEFT_LANE, Anchor::End, limits, SIZE);
    labels(svg, &right(s), s.x(s.layout.ends.1) + RIGHT_LANE, Anchor::Start, limits, SIZE);
    marks(s, svg);
}

/// Room that the words at both sides need: width at the left, at the right, and height \[units\].
pub(crate) fn lanes(s: &Sheet<'_>) -> (f64, f64, f64) {
    let widest = |items: &[Label]| {
        items
            .iter()
            .flat_map(|l| l.more.iter().map(|m| text_width(m, SIZE)).chain([1.07 * text_width(&l.head, 13.0)]))
            .fold(40.0, f64::max)
    };
    let (l, r) = (left(s), right(s));
    let high = |items: &[Label]| items.iter().map(|l| label_height(l, SIZE)).sum::<f64>();
    (widest(&l), widest(&r), high(&l).max(high(&r)) + 12.0)
}

fn length(s: &Sheet<'_>, metres: f64) -> String {
    words::bare_length(s.rig.system, metres)
}

fn linked_dimension(
    s: &Sheet<'_>,
    svg: &mut Svg,
    path: Option<String>,
    what: &str,
    ends: ((f64, f64), (f64, f64)),
    metres: f64,
) {
    let mut inner = Svg::new();
    let (a, b) = ends;
    // A wide invisible stroke, so that a finger meets the line.
    inner.line("reach", a, b);
    dimension(&mut inner, a, b, &length(s, metres), SIZE);
    let spoken = format!("{what}: {}", s.rig.system.length(metres));
    svg.raw(&keys::linked(path.as_deref(), &spoken, &inner.finish()));
}

fn dimensions(s: &Sheet<'_>, svg: &mut Svg) {
    let narrow = s.paper.narrow;
    let left = s.x(s.layout.ends.0);
    let r = s.reservoir();
    let far = left - if narrow { 14.0 } else { 36.0 };
    // Heights: floor of the room to tray floor to rim, of the highest tray of the first column.
    let shown = s.layout.in_column(0);
    if let Some(&i) = shown.first() {
        let place = &s.layout.trays[i];
        let v = Vessel::of(place);
        let (y0, y1, y2) = (s.y(0.0), s.y(place.floor), s.y(place.floor + place.depth));
        for (y, x) in [(y1, v.middle - v.half(0.0)), (y2, v.middle - v.half(v.depth))] {
            extension(svg, (s.x(x) - 4.0, y), (far - 6.0, y));
        }
        if place.floor.abs() > 0.02 {
            extension(svg, (floor_ends(s).0, y0), (far - 6.0, y0));
            let path = keys::of_tray(s.rig, i, "elevation");
            linked_dimension(s, svg, path, "height of the tray floor", ((far, y0), (far, y1)), place.floor);
        }
        let path = keys::of_tray(s.rig, i, "depth");
        linked_dimension(s, svg, path, "depth of the tray", ((far, y1), (far, y2)), place.depth);
        if s.layout.columns.len() == 1 {
            let top = shown.iter().map(|j| s.y(s.layout.heights.1.min(top_above(s, *j)))).fold(f64::INFINITY, f64::min);
            let y = top - 12.0;
            let half = v.length.1 / 2.0;
            let (a, b) = (s.x(v.middle - half), s.x(v.middle + half));
            for x in [a, b] {
                extension(svg, (x, y2 - 4.0), (x, y - 6.0));
            }
            let path = keys::of_tray(s.rig, i, "length").or_else(|| keys::of_tray(s.rig, i, "diameter"));
            linked_dimension(s, svg, path, "length of the tray at its rim", ((a, y), (b, y)), v.length.1);
        }
    }
    if narrow {
        return;
    }
    let near = left - 14.0;
    let (y0, y1) = (s.y(r.floor), s.y(r.floor + r.depth));
    extension(svg, (s.x(r.middle - r.length.1 / 2.0) - 6.0, y1), (near - 6.0, y1));
    extension(svg, (s.x(r.middle - r.length.0 / 2.0) - 4.0, y0), (near - 6.0, y0));
    linked_dimension(
        s,
        svg,
        keys::plain(s.rig, "reservoir.depth"),
        "depth of the reservoir",
        ((near, y0), (near, y1)),
        r.depth,
    );
    let y = s.y(0.0_f64.min(s.layout.heights.0)) + 30.0;
    let (a, b) = (s.x(r.middle - r.length.0 / 2.0), s.x(r.middle + r.length.0 / 2.0));
    let path = keys::plain(s.rig, "reservoir.floor_length")
        .or_else(|| keys::plain(s.rig, "reservoir.length"))
        .or_else(|| keys::plain(s.rig, "reservoir.diameter"));
    for x in [a, b] {
        extension(svg, (x, s.y(r.floor) + 10.0), (x, y + 6.0));
    }
    linked_dimension(s, svg, path, "length of the reservoir at its floor", ((a, y), (b, y)), r.length.0);
}

/// Height of the highest thing of a tray, its crop included \[m\].
fn top_above(s: &Sheet<'_>, i: usize) -> f64 {
    let t = &s.rig.trays[i];
    let place = &s.layout.trays[i];
    let crop = t.block_tops().map_or(0.0, |b| b.value + crate::layout::plant_height(t));
    let bend = match &t.entry {
        Entry::OverRim { bend, .. } => bend.get().value,
        Entry::Floor => 0.0,
    };
    place.floor + place.depth.max(crop).max(bend)
}

fn fill_lines(s: &Sheet<'_>, svg: &mut Svg) {
    let r = s.reservoir();
    let l = s.lines;
    let mut line = |class: &str, below: f64, out: f64| {
        let depth = (r.depth - below).clamp(0.0, r.depth);
        let half = r.half(depth);
        let y = s.y(r.floor + depth);
        svg.line(class, (s.x(r.middle - half) - out, y), (s.x(r.middle + half) + out, y));
    };
    line("ghost", l.present_below_rim_m, 0.0);
    if l.possible {
        line("pen", l.highest_below_rim_m, 5.0);
        line("pen", l.lowest_below_rim_m, 5.0);
    }
    if let TopUp::FloatValve { height, .. } = &s.rig.reservoir.top_up {
        line("prime", r.depth - height.get().value, 0.0);
    }
}

/// Level markers that move with the water.
fn marks(s: &Sheet<'_>, svg: &mut Svg) {
    let many = s.layout.columns.len() > 1;
    let mut mark = |id: &str, x: f64, floor: f64, depth: f64, words_at: Option<(f64, f64)>| {
        let y0 = s.y(floor);
        let y = y0 - depth.max(0.0) * s.paper.k;
        let moves = format!("data-y0=\"{}\" data-k=\"{:.4}\"", n(y0), s.paper.k);
        svg.raw(&format!(
            "<g class=\"mark\" data-mark=\"{id}\" data-x=\"{}\" {moves} transform=\"translate({},{})\">",
            n(x),
            n(x),
            n(y)
        ));
        svg.line("markline", (-14.0, 0.0), (12.0, 0.0));
        svg.path("levm", "M0,0l-5,-8h10z", "");
        let value = s.rig.system.length(depth.max(0.0));
        if words_at.is_none() {
            svg.raw(&format!("<text class=\"levt\" x=\"9\" y=\"-3\" data-level=\"{id}\">{value}</text>"));
        }
        svg.raw("</g>");
        if let Some((tx, ty)) = words_at {
            svg.raw(&format!(
                "<text class=\"levt\" x=\"{}\" y=\"{}\" text-anchor=\"middle\" data-level=\"{id}\">{value}</text>",
                n(tx),
                n(ty),
            ));
        }
    };
    for (i, place) in s.layout.trays.iter().enumerate() {
        let v = Vessel::of(place);
        let depth = s.now.trays_m.get(i).copied().unwrap_or(0.0);
        let x = s.x(v.middle + v.length.1.max(v.length.0) / 2.0) + 8.0;
        // Side by side on a phone there is no room between the trays: the number stands above.
        let above = (many && s.paper.narrow).then(|| (s.x(v.middle), s.y(top_above(s, i)) - 6.0));
        mark(&format!("tray-{i}"), x, place.floor, depth, above);
    }
    let r = s.reservoir();
    let x = s.x(r.middle + r.length.1.max(r.length.0) / 2.0) + 12.0;
    mark("reservoir", x, r.floor, s.now.reservoir_m, None);
    if many && !s.paper.narrow {
        for (i, place) in s.layout.trays.iter().enumerate() {
            let t = &s.rig.trays[i];
            let y = s.y(top_above(s, i));
            let mut inner = Svg::new();
            inner.text("note", (s.x(place.middle), y - 21.0), Anchor::Middle, &short_name(&t.name, 26));
            if let Some(c) = t.crest() {
                let words = format!("crest {}", s.rig.system.length(c.value));
                inner.text("sub", (s.x(place.middle), y - 6.0), Anchor::Middle, &words);
            }
            let path = keys::of_tray(s.rig, i, "drain.crest");
            svg.raw(&keys::linked(path.as_deref(), &format!("{}: change its crest", t.name), &inner.finish()));
        }
    }
}

/// A name that fits its room.
pub(crate) fn short_name(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        name.to_owned()
    } else {
        let cut: String = name.chars().take(most.saturating_sub(1)).collect();
        format!("{}…", cut.trim_end())
    }
}

fn left(s: &Sheet<'_>) -> Vec<Label> {
    let mut out = Vec::new();
    let u = s.rig.system;
    if let Some(t) = s.rig.trays.first() {
        let way = feed_way(s, 0);
        let at = middle_of(s, &way, s.rig.trays.len() == 1 && s.layout.stands == ReservoirStands::Under);
        let f = &s.rig.pumps[t.pump].feed;
        let flow = s.survey.trays.first().and_then(|r| r.flood.flood(0)).map(|f| f.last_flow_m3_s);
        let (bore, long) = (keys::of_feed(s.rig, t.pump, "bore"), keys::of_feed(s.rig, t.pump, "length"));
        let mut more = vec![format!(
            "{} × {}",
            keys::as_typed(s.rig, bore.as_deref(), u.length(f.bore.get().value)),
            keys::as_typed(s.rig, long.as_deref(), u.distance(f.length.get().value))
        )];
        more.extend(flow.filter(|q| *q > 0.0).map(|q| format!("{} flooded", words::flow(u, q))));
        let path = keys::of_feed(s.rig, t.pump, "length");
        out.push(Label { at, head: "feed hose".into(), more, path, class: "" });
    }
    for (i, p) in s.rig.pumps.iter().enumerate().take(4) {
        let (x, top) = pump_at(s, i);
        let r = s.reservoir();
        let at = (s.x(x) - 3.0, s.y(r.floor + 0.6 * (top - r.floor)));
        let curve = p.curve.borrowed();
        let typed =
            |field: &str, words: String| keys::as_typed(s.rig, keys::of_pump(s.rig, i, field).as_deref(), words);
        let mut more = vec![
            typed("open_flow", words::flow(u, curve.open_flow().value)),
            format!("{} head", typed("max_head", u.distance(curve.max_head().value))),
        ];
        if s.rig.pumps.len() == 1 {
            more.push(format!("dry below {}", u.length(p.prime_depth.get().value)));
        }
        let path = keys::of_pump(s.rig, i, "open_flow").or_else(|| keys::of_pump(s.rig, i, "power"));
        out.push(Label { at, head: short_name(&p.name, 16), more, path, class: "" });
    }
    out
}

/// The point of a hose that its label speaks of \[units\].
fn middle_of(s: &Sheet<'_>, way: &[(f64, f64)], slack: bool) -> (f64, f64) {
    let (Some(a), Some(b)) = (way.first(), way.last()) else { return (0.0, 0.0) };
    if slack {
        return (s.x((a.0 + b.0) / 2.0), s.y((a.1 + b.1) / 2.0));
    }
    let longest = way.windows(2).max_by(|p, q| {
        let far = |w: &[(f64, f64)]| (w[1].0 - w[0].0).hypot(w[1].1 - w[0].1);
        far(p).total_cmp(&far(q))
    });
    longest.map_or((s.x(a.0), s.y(a.1)), |w| (s.x((w[0].0 + w[1].0) / 2.0), s.y((w[0].1 + w[1].1) / 2.0)))
}

fn right(s: &Sheet<'_>) -> Vec<Label> {
    let mut out = Vec::new();
    let u = s.rig.system;
    let k = s.paper.k;
    if let (1, Some(t), Some(place)) = (s.layout.columns.len(), s.rig.trays.last(), s.layout.trays.last()) {
        let i = s.rig.trays.len() - 1;
        if let (Some(b), Some(x)) = (&t.blocks, crate::layout::front_row(t).last()) {
            let top = b.base.get().value + b.total_height().value;
            let at = (s.x(place.middle + x) + b.length.get().value * k / 2.0, s.y(place.floor + top));
            let path = keys::of_tray(s.rig, i, "blocks.height");
            out.push(Label { at, head: format!("block tops {}", u.length(top)), more: Vec::new(), path, class: "" });
        }
        if let Some(bed) = &t.bed {
            let top = bed.depth.get().value;
            let at = (s.x(place.middle + Vessel::of(place).half(top) * 0.9), s.y(place.floor + top));
            let path = keys::of_tray(s.rig, i, "bed.depth");
            out.push(Label { at, head: format!("bed {}", u.length(top)), more: Vec::new(), path, class: "" });
        }
        if let Some(r) = &t.drain.riser {
            let crest = r.crest.height.get().value;
            let at = (s.x(place.drain.0), s.y(place.floor + crest));
            let advised = if r.crest.advise { " (advised)" } else { "" };
            let more = vec![format!("riser, {} bore", u.length(r.bore.get().value))];
            let path = keys::of_tray(s.rig, i, "drain.crest");
            out.push(Label { at, head: format!("crest {}{advised}", u.length(crest)), more, path, class: "" });
        }
    }
    if let Some(i) = s.rig.trays.iter().rposition(|t| t.drain.riser.is_some() && t.drains_into.is_none()) {
        let back = &s.rig.trays[i].drain.back;
        let (way, _) = return_way(s, i);
        let more = vec![format!("{} bore", u.length(back.bore.get().value))];
        let at = match way.as_slice() {
            [a, b] => (s.x(a.0), s.y(a.1 - 0.35 * (a.1 - b.1))),
            w => middle_of(s, w, false),
        };
        let path = keys::of_tray(s.rig, i, "drain.return_drop");
        out.push(Label { at, head: "return".into(), more, path, class: "" });
    }
    let r = s.reservoir();
    let fill = keys::plain(s.rig, "reservoir.fill").or_else(|| keys::plain(s.rig, "reservoir.fill_depth"));
    let mut line = |head: String, below: f64| {
        let depth = (r.depth - below).clamp(0.0, r.depth);
        let at = (s.x(r.middle + r.half(depth)), s.y(r.floor + depth));
        let more = vec![format!("{} below rim", u.length(below.max(0.0)))];
        out.push(Label { at, head, more, path: fill.clone(), class: "" });
    };
    let l = s.lines;
    if l.possible {
        line(format!("highest line {}", u.volume(l.highest_m3)), l.highest_below_rim_m);
    }
    line(format!("at rest {}", u.volume(s.rig.reservoir.fill.get().value)), l.present_below_rim_m);
    if l.possible {
        line(format!("lowest line {}", u.volume(l.lowest_m3)), l.lowest_below_rim_m);
    }
    out
}
