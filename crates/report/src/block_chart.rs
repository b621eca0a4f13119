//! Water, air and oxygen in the blocks through the day, and the water by height beside it.

use crate::svg::{Anchor, Svg, commands, escape, n};
use tidewright_rig::Rig;
use tidewright_sim::roots::RootDay;
use tidewright_sim::stack::{BlockMoment, PROFILE};

const DAY: f64 = 86_400.0;
/// Least distance between two labels.
const LABEL: f64 = 15.0;

/// What a line shows: its words, its class, its value in a moment.
type Line = (&'static str, &'static str, fn(&BlockMoment) -> f64);

/// Lines told by their strokes as well as their words.
const LINES: [Line; 5] = [
    ("water", "curve", |m| m.mean),
    ("in its top", "curve top", |m| m.top),
    ("in its base", "curve second", |m| m.base),
    ("air", "curve air", |m| m.air),
    ("oxygen", "curve oxygen", |m| m.oxygen),
];

/// The chart of one tray.
pub fn blocks(rig: &Rig, day: &RootDay, narrow: bool) -> String {
    let (width, height) = if narrow { (364.0, 210.0) } else { (680.0, 190.0) };
    let (left, right, top, bottom) = (40.0, width - if narrow { 74.0 } else { 92.0 }, 10.0, height - 24.0);
    let x = |t: f64| left + t / DAY * (right - left);
    let y = |share: f64| bottom - share.clamp(0.0, 1.0) * (bottom - top);
    let name = escape(&rig.trays[day.tray].name);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"chart-svg {}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Water and air in the blocks of {name} through the day, in per cent of the block\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(height),
    ));
    for percent in [0, 25, 50, 75, 100] {
        let at = y(f64::from(percent) / 100.0);
        svg.line("grid", (left, at), (right, at));
        svg.text("axt", (left - 7.0, at + 4.0), Anchor::End, &percent.to_string());
    }
    for h in (0..=24).step_by(if narrow { 6 } else { 3 }) {
        let at = x(f64::from(h) * 3600.0);
        svg.line("grid", (at, top), (at, bottom));
        svg.text("axt", (at, bottom + 17.0), Anchor::Middle, &format!("{h:02}"));
    }
    // From the top down, so that each label finds the first free place below the one before.
    let end = |l: &Line| day.course.last().map_or(0.0, l.2);
    let mut lines = LINES;
    lines.sort_by(|a, b| end(b).total_cmp(&end(a)));
    let mut free = top + 4.0;
    for (i, line) in lines.iter().enumerate() {
        let points: Vec<(f64, f64)> = day.course.iter().map(|m| (x(m.t_s), y(line.2(m)))).collect();
        svg.path(line.1, &commands(&points), "");
        let most = bottom - LABEL * (lines.len() - 1 - i) as f64;
        let at = (y(end(line)) + 4.0).max(free).min(most);
        svg.text("axt", (right + 6.0, at), Anchor::Start, line.0);
        free = at + LABEL;
    }
    svg.raw(&format!(
        "<line class=\"now\" data-hour=\"{0} {1}\" x1=\"{0}\" x2=\"{0}\" y1=\"{2}\" y2=\"{3}\"/>",
        n(left),
        n(right),
        n(top),
        n(bottom)
    ));
    svg.raw("</svg>");
    svg.finish()
}

/// Water by height at the moment shown, between the driest and the wettest of the day.
pub fn profile(rig: &Rig, day: &RootDay, now: &[f64]) -> String {
    let Some(blocks) = &rig.trays[day.tray].blocks else { return String::new() };
    let pores = blocks.medium.retention.theta_s;
    let (width, height) = (220.0, 190.0);
    let (left, right, top, bottom) = (44.0, width - 12.0, 10.0, height - 24.0);
    let x = |share: f64| left + share.clamp(0.0, 1.0) * (right - left);
    let y = |k: usize| bottom - (k as f64 + 0.5) / PROFILE as f64 * (bottom - top);
    let line = |of: &dyn Fn(usize) -> f64| (0..PROFILE).map(|k| (x(of(k)), y(k))).collect::<Vec<_>>();
    let all = |k: usize| day.course.iter().map(move |m| m.profile[k] / pores);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"chart-svg profile\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Pores filled with water by height\">",
        n(width),
        n(height)
    ));
    for percent in [0, 50, 100] {
        let at = x(f64::from(percent) / 100.0);
        svg.line("grid", (at, top), (at, bottom));
        svg.text("axt", (at, bottom + 17.0), Anchor::Middle, &percent.to_string());
    }
    let h = blocks.total_height().value;
    for share in [0.0, 0.5, 1.0] {
        let at = bottom - share * (bottom - top);
        svg.line("grid", (left, at), (right, at));
        svg.text("axt", (left - 6.0, at + 4.0), Anchor::End, &crate::words::bare_length(rig.system, share * h));
    }
    let mut span = line(&|k| all(k).fold(f64::INFINITY, f64::min));
    span.extend(line(&|k| all(k).fold(0.0, f64::max)).into_iter().rev());
    svg.path("day-span", &format!("{} Z", commands(&span)), "");
    let frame =
        format!("data-profile=\"{}\" data-frame=\"{} {} {} {}\"", day.tray, n(left), n(right), n(top), n(bottom));
    svg.path("curve", &commands(&line(&|k| now.get(k).copied().unwrap_or(0.0))), &frame);
    svg.raw("</svg>");
    svg.finish()
}
