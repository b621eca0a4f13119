//! Drawings of the book in true millimetres: the stand to a scale, hole templates one to one, a line to check the printer by.

use crate::svg::{Anchor, Svg, n};
use maud::{Markup, PreEscaped, html};
use tidewright_plan::buy::stock::KERF_M;
use tidewright_plan::buy::{Cut, Packed};
use tidewright_plan::fit::{self, Hole};
use tidewright_rig::Rig;
use tidewright_rig::bench::Along;
use tidewright_rig::units::System;

/// Scales of the stand's drawing.
const SCALES: [f64; 9] = [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 100.0];
/// Room on the page for a drawing \[mm\]: what A4 and Letter both have.
const ROOM_MM: (f64, f64) = (190.0, 200.0);
/// Length of the line that a printer is checked by \[mm\].
pub const CHECK_MM: f64 = 100.0;

/// The opening tag of a drawing whose units are millimetres on paper.
fn open(width: f64, height: f64, label: &str) -> String {
    format!(
        "<svg class=\"true\" viewBox=\"0 0 {w} {h}\" style=\"--w:{w}mm;--h:{h}mm\" role=\"img\" aria-label=\"{}\">",
        crate::svg::escape(label),
        w = n(width),
        h = n(height)
    )
}

/// A dimension line in millimetres on paper, its text in the middle.
fn dimension(svg: &mut Svg, from: (f64, f64), to: (f64, f64), text: &str) {
    svg.line("dim", from, to);
    for p in [from, to] {
        svg.line("tick", (p.0 - 1.0, p.1 + 1.0), (p.0 + 1.0, p.1 - 1.0));
    }
    let middle = (0.5 * (from.0 + to.0), 0.5 * (from.1 + to.1));
    if (to.0 - from.0).abs() >= (to.1 - from.1).abs() {
        svg.text("dimt", (middle.0, middle.1 - 1.0), Anchor::Middle, text);
    } else {
        svg.upright("dimt", (middle.0 - 1.0, middle.1), text);
    }
}

/// Front and side of the stand with its dimension lines; none where the bench file says nothing of it.
pub fn stand(rig: &Rig) -> Option<String> {
    let s = rig.stand.as_ref()?;
    let t = rig.trays.first()?;
    let u = rig.system;
    let mm = |metres: f64| 1e3 * metres;
    let (floor_l, floor_w) = (mm(t.floor().0.value), mm(t.floor().1.value));
    let (run, across) = if s.along.get() == Along::Length { (floor_l, floor_w) } else { (floor_w, floor_l) };
    let rail_l = mm(s.rail_length.get().value);
    let (rail_w, rail_h) = (mm(s.rail.outer.0.value), mm(s.rail.outer.1.value));
    let deck = mm(s.deck.get().value);
    let (leg_w, leg) = (mm(s.leg.outer.0.value), mm(s.leg_length.get().value));
    let top = leg + rail_h + deck;
    let rim = mm(t.rim().value);
    // Seen from the front the rails run along the page.
    let (base_l, base_w) = match s.along.get() {
        Along::Length => (mm(s.base.0.get().value), mm(s.base.1.get().value)),
        Along::Width => (mm(s.base.1.get().value), mm(s.base.0.get().value)),
    };
    let (front, side) = (rail_l.max(run).max(base_l), across.max(base_w));
    let scale = SCALES
        .into_iter()
        .find(|k| (front + side) / k + 60.0 <= ROOM_MM.0 && (top + rim) / k + 40.0 <= ROOM_MM.1)
        .unwrap_or(100.0);
    let p = |x: f64| x / scale;
    let (left, above) = (22.0, 8.0);
    let gap = 30.0;
    let width = left + p(front) + gap + p(side) + 12.0;
    let ground = above + p(top + rim);
    let height = ground + 16.0;
    let mut svg = Svg::new();
    svg.raw(&open(width, height, "Stand, from the front and from the side"));
    let y = |h: f64| ground - p(h);
    svg.line("heavy", (left - 6.0, ground), (width - 4.0, ground));
    // From the front: the rails along the page.
    let mid = left + p(front) / 2.0;
    for side_of in [-1.0, 1.0] {
        let x = mid + side_of * (p(base_l) - p(leg_w)) / 2.0 - p(leg_w) / 2.0;
        svg.rect("wood", (x, y(leg)), (p(leg_w), p(leg)), "");
    }
    if s.braced.get() {
        svg.line("brace", (mid - p(base_l) / 2.0, y(40.0)), (mid + p(base_l) / 2.0, y(leg - 20.0)));
    }
    svg.rect("wood", (mid - p(rail_l) / 2.0, y(leg + rail_h)), (p(rail_l), p(rail_h)), "");
    if deck > 0.0 {
        svg.rect("wood", (mid - p(run) / 2.0, y(top)), (p(run), p(deck)), "");
    }
    svg.rect("vessel", (mid - p(run) / 2.0, y(top + rim)), (p(run), p(rim)), "");
    dimension(
        &mut svg,
        (mid - p(rail_l) / 2.0, ground + 5.0),
        (mid + p(rail_l) / 2.0, ground + 5.0),
        &format!("rail {}", u.length(s.rail_length.get().value)),
    );
    dimension(
        &mut svg,
        (mid - p(base_l) / 2.0, ground + 11.0),
        (mid + p(base_l) / 2.0, ground + 11.0),
        &format!("legs {}", u.length(1e-3 * base_l)),
    );
    dimension(&mut svg, (left - 5.0, ground), (left - 5.0, y(leg)), &u.length(s.leg_length.get().value));
    dimension(&mut svg, (left - 13.0, ground), (left - 13.0, y(top)), &u.length(1e-3 * top));
    // From the side: the rails at their ends.
    let begin = left + p(front) + gap;
    let mid = begin + p(side) / 2.0;
    for side_of in [-1.0, 1.0] {
        let x = mid + side_of * (p(base_w) - p(leg_w)) / 2.0 - p(leg_w) / 2.0;
        svg.rect("wood", (x, y(leg)), (p(leg_w), p(leg)), "");
    }
    // Cross pieces over the outside of each pair of legs: the upper one carries the rails.
    for up in [leg, 100.0 + leg_w] {
        svg.rect("wood", (mid - p(base_w) / 2.0, y(up)), (p(base_w), p(leg_w)), "");
    }
    for at in s.rail_at.borrowed() {
        let x = mid - p(across) / 2.0 + p(mm(*at)) - p(rail_w) / 2.0;
        svg.rect("wood", (x, y(leg + rail_h)), (p(rail_w), p(rail_h)), "");
    }
    if deck > 0.0 {
        svg.rect("wood", (mid - p(across) / 2.0, y(top)), (p(across), p(deck)), "");
    }
    svg.rect("vessel", (mid - p(across) / 2.0, y(top + rim)), (p(across), p(rim)), "");
    dimension(
        &mut svg,
        (mid - p(base_w) / 2.0, ground + 5.0),
        (mid + p(base_w) / 2.0, ground + 5.0),
        &u.length(s.base.1.get().value),
    );
    let mut places: Vec<f64> = s.rail_at.borrowed().clone();
    places.sort_by(f64::total_cmp);
    if let (Some(a), Some(b)) = (places.first(), places.last()) {
        let of = |at: &f64| mid - p(across) / 2.0 + p(mm(*at));
        dimension(&mut svg, (of(a), ground + 11.0), (of(b), ground + 11.0), &format!("rails {}", u.length(b - a)));
    }
    svg.text("dimt", (left, 4.0), Anchor::Start, &format!("from the front · scale 1 : {scale}"));
    svg.text("dimt", (begin, 4.0), Anchor::Start, "from the side");
    svg.raw("</svg>");
    Some(svg.finish())
}

/// Hole templates one to one, and the line to check the printer by.
pub fn templates(rig: &Rig) -> Markup {
    html! {
        section class="page" {
            h2 { "Hole templates, true size" }
            p { "Print at 100 %, never \"fit to page\". This line is " strong { "100 mm" } " long (3.94 in); if yours is not, the templates are wrong:" }
            (PreEscaped(check_line()))
            p class="caution" { "Take the fitting to the template before you cut: the hole is for its body, not for its name. Saw from the inside onto a board; the tub is clamped, eyes are covered, the saw grabs." }
            @for (i, t) in rig.trays.iter().enumerate() {
                @for h in fit::holes(t) {
                    div class="keep" {
                        h3 { @if rig.trays.len() > 1 { (t.name) ": " } (h.what) ", hole of " (rig.system.length(h.diameter_m)) }
                        p { "Its middle lies " (rig.system.length(h.at_m.0)) " along and " (rig.system.length(h.at_m.1)) " across from " (t.corner()) "." }
                        (PreEscaped(template(rig, i, &h)))
                    }
                }
            }
        }
    }
}

fn check_line() -> String {
    let mut svg = Svg::new();
    svg.raw(&open(CHECK_MM + 10.0, 10.0, "a line of 100 mm"));
    svg.line("rule", (5.0, 5.0), (5.0 + CHECK_MM, 5.0));
    for k in 0..=10 {
        let x = 5.0 + 10.0 * f64::from(k);
        svg.line("rule", (x, 3.0), (x, 5.0));
    }
    svg.raw("</svg>");
    svg.finish()
}

fn template(rig: &Rig, tray: usize, h: &Hole) -> String {
    let t = &rig.trays[tray];
    let d = 1e3 * h.diameter_m;
    let flange = 1e3 * t.holes.flange.get().value;
    let side = flange.max(d) + 24.0;
    let mid = side / 2.0;
    let mut svg = Svg::new();
    svg.raw(&open(side, side, &format!("template of the {}: a circle of {d:.0} mm", h.what)));
    svg.circle("flange", (mid, mid), flange / 2.0, "");
    svg.circle("cut", (mid, mid), d / 2.0, "");
    svg.line("cross", (2.0, mid), (side - 2.0, mid));
    svg.line("cross", (mid, 2.0), (mid, side - 2.0));
    // Rails that come near, as they lie below.
    if let Some(s) = &rig.stand {
        let across = if s.along.get() == Along::Length { h.at_m.1 } else { h.at_m.0 };
        for at in s.rail_at.borrowed() {
            let off = 1e3 * (at - across);
            let half = 500.0 * s.rail.outer.0.value;
            if off.abs() - half < mid - 2.0 {
                let (a, b) = ((mid - off - half).max(1.0), (mid - off + half).min(side - 1.0));
                if b > a && s.along.get() == Along::Length {
                    svg.rect("rail", (1.0, a), (side - 2.0, b - a), "");
                } else if b > a {
                    let (a, b) = ((mid + off - half).max(1.0), (mid + off + half).min(side - 1.0));
                    svg.rect("rail", (a, 1.0), (b - a, side - 2.0), "");
                }
            }
        }
    }
    dimension(&mut svg, (mid - d / 2.0, mid + d / 2.0 + 4.0), (mid + d / 2.0, mid + d / 2.0 + 4.0), "");
    // Beside its line: a cross line runs through the middle.
    svg.text("dimt", (mid + d / 2.0 + 2.0, mid + d / 2.0 + 5.0), Anchor::Start, &format!("{d:.0} mm"));
    svg.text("dimt", (2.5, side - 2.0), Anchor::Start, &format!("flange {flange:.0} mm, dashed"));
    svg.raw("</svg>");
    svg.finish()
}

/// Pieces on stock lengths, a bar each.
pub(crate) fn bars(packed: &Packed, u: System) -> Markup {
    let shown = |m: f64| if m < 1.0 { u.length(m) } else { u.distance(m) };
    html! {
        @for (pieces, left) in &packed.lengths {
            (PreEscaped(bar(pieces, packed.stock_m)))
            p class="note" { (pieces.iter().map(|c| format!("{} {}", c.what, shown(c.length_m))).collect::<Vec<_>>().join(" · ")) "; " (shown(*left)) " left" }
        }
    }
}

fn bar(pieces: &[Cut], stock_m: f64) -> String {
    let k = 188.0 / stock_m;
    let mut svg = Svg::new();
    svg.raw("<svg class=\"cut-bar wide\" viewBox=\"0 0 190 12\" preserveAspectRatio=\"none\" role=\"img\" aria-label=\"pieces on one length\">");
    svg.rect("vessel", (1.0, 2.0), (188.0, 8.0), "style=\"stroke-width:.4\"");
    let mut x = 1.0;
    for c in pieces {
        svg.rect("wood", (x, 2.0), (c.length_m * k, 8.0), "style=\"stroke-width:.3\"");
        x += (c.length_m + KERF_M) * k;
    }
    svg.raw("</svg>");
    svg.finish()
}
