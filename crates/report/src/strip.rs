//! The day as one strip: floods of each tray, hours, and a handle that moves the water.

use crate::section_words::short_name;
use crate::series::{Series, clock};
use crate::svg::{Anchor, Svg, commands, n};
use tidewright_rig::Rig;

const DAY: f64 = 86_400.0;

/// Height of the lane that shows the reservoir's level.
const LEVELS: f64 = 26.0;

/// The strip as one SVG.
pub fn strip(rig: &Rig, series: &Series, narrow: bool) -> String {
    let many = rig.trays.len() > 1;
    let width = if narrow { 364.0 } else { 1000.0 };
    let (left, right) = (if many && !narrow { 96.0 } else { 14.0 }, width - 16.0);
    let lane = if many { 15.0 } else { 24.0 };
    let names = if many && narrow { 14.0 } else { 0.0 };
    let top = 16.0;
    let levels = top + rig.trays.len() as f64 * (lane + names + 3.0) + names;
    let bottom = levels + LEVELS + 3.0;
    let x = |t: f64| left + (t / DAY).clamp(0.0, 1.0) * (right - left);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"strip-svg {}\" viewBox=\"0 0 {} {}\" role=\"group\" aria-label=\"The day\" data-strip=\"1\" data-span=\"{} {}\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(bottom + 26.0),
        n(left),
        n(right),
    ));
    for (i, tray) in rig.trays.iter().enumerate() {
        let y = top + i as f64 * (lane + names + 3.0) + names;
        svg.rect("lane", (left, y), (right - left, lane), "");
        if many {
            let name = short_name(&tray.name, if narrow { 34 } else { 12 });
            let at = if narrow { (left, y - 3.0) } else { (left - 8.0, y + lane * 0.5 + 4.5) };
            svg.text("axt", at, if narrow { Anchor::Start } else { Anchor::End }, &name);
        }
        for [start, run] in series.starts_s.get(i).into_iter().flatten() {
            let (a, b) = (x(*start), x(start + run));
            svg.rect("floodbar", (a, y), ((b - a).max(2.0), lane), "");
        }
    }
    for (from, to) in dark_hours(rig) {
        svg.rect("dark", (x(from), top), (x(to) - x(from), bottom - 3.0 - top), "");
        if x(to) - x(from) > 44.0 {
            svg.text("axt", (x(from) + 5.0, top - 4.0), Anchor::Start, "dark");
        }
    }
    reservoir(&mut svg, rig, series, (levels, names), &x, if narrow || !many { None } else { Some(left - 8.0) });
    let step = if narrow { 4 } else { 2 };
    for h in (0..=24).step_by(step) {
        let at = x(f64::from(h) * 3600.0);
        svg.line("ext", (at, bottom - 2.0), (at, bottom + 4.0));
        svg.text("axt", (at, bottom + 19.0), Anchor::Middle, &format!("{h:02}"));
    }
    let at = x(series.now_s);
    svg.raw(&format!(
        "<rect class=\"reach-area\" x=\"{}\" y=\"0\" width=\"{}\" height=\"{}\"/>\
         <g class=\"handle\" tabindex=\"0\" role=\"slider\" aria-label=\"time of day\" aria-valuemin=\"0\" aria-valuemax=\"86400\" \
         aria-valuenow=\"{:.0}\" aria-valuetext=\"{}\" transform=\"translate({},0)\" data-t=\"{}\">\
         <rect class=\"grip\" x=\"-20\" y=\"-4\" width=\"40\" height=\"{}\"/>\
         <path class=\"handle-line\" d=\"M0,8V{}\"/><path class=\"handle-knob\" d=\"M-8,0h16v7l-8,8l-8,-8z\"/></g></svg>",
        n(left),
        n(right - left),
        n(bottom + 22.0),
        series.now_s,
        clock(series.now_s),
        n(at),
        n(series.now_s),
        n(bottom + 8.0),
        n(bottom + 3.0),
    ));
    svg.finish()
}

/// Hours without light \[s after midnight\], where the file says when it burns.
fn dark_hours(rig: &Rig) -> Vec<(f64, f64)> {
    let g = &rig.growing;
    let (on, lit) = (g.on.get(), g.lit.get().value);
    if g.on.is_assumed() || lit >= DAY - 60.0 {
        return Vec::new();
    }
    let off = (on + lit) % DAY;
    if off < on { vec![(off, on)] } else { vec![(0.0, on), (off, DAY)] }.into_iter().filter(|d| d.1 > d.0).collect()
}

/// The reservoir's level through the day, from its floor to its lowest hole.
fn reservoir(
    svg: &mut Svg,
    rig: &Rig,
    series: &Series,
    (y, names): (f64, f64),
    x: &dyn Fn(f64) -> f64,
    beside: Option<f64>,
) {
    let full = rig.reservoir.spill_height.get().value;
    let at = |depth: f64| y + LEVELS - (depth / full).clamp(0.0, 1.0) * LEVELS;
    let day = &series.day;
    svg.rect("lane", (x(0.0), y), (x(DAY) - x(0.0), LEVELS), "");
    let points: Vec<(f64, f64)> = day.t_s.iter().zip(&day.reservoir_m).map(|(t, d)| (x(*t), at(*d))).collect();
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        let mut area = points.clone();
        area.extend([(last.0, y + LEVELS), (first.0, y + LEVELS)]);
        svg.path("levelarea", &format!("{} Z", commands(&area)), "");
        svg.polyline("levelline", &points);
    }
    match beside {
        Some(right) => svg.text("axt", (right, y + LEVELS * 0.5 + 4.5), Anchor::End, "reservoir"),
        None if names > 0.0 => svg.text("axt", (x(0.0), y - 3.0), Anchor::Start, "reservoir"),
        None => svg.text("axt inlane", (x(0.0) + 5.0, y + LEVELS - 6.0), Anchor::Start, "reservoir level"),
    };
}
