//! Charts of one flood: depth with its band, reservoir, flows.

use crate::dimension::text_width;
use crate::series::Course;
use crate::svg::{Anchor, Svg, commands, escape, n};
use crate::words;
use tidewright_plan::Survey;
use tidewright_rig::units::System;
use tidewright_sim::EventKind;
use tidewright_sim::band::span;

/// A level that matters.
struct Limit {
    value: f64,
    words: String,
    /// Its line: solid, dashed, dotted; told by shape, not by colour.
    class: &'static str,
}

struct Frame {
    size: (f64, f64),
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    t1: f64,
    v0: f64,
    v1: f64,
}

impl Frame {
    fn x(&self, t: f64) -> f64 {
        self.left + t / self.t1 * (self.right - self.left)
    }

    fn y(&self, v: f64) -> f64 {
        self.bottom - (v - self.v0) / (self.v1 - self.v0) * (self.bottom - self.top)
    }

    fn open(&self, svg: &mut Svg, narrow: bool, label: &str, id: &str, rest: &str) {
        svg.raw(&format!(
            "<svg class=\"chart-svg {}\" viewBox=\"0 0 {} {}\" role=\"group\" aria-label=\"{}\" data-chart=\"{id}\" \
             data-frame=\"{} {} {} {}\" data-t1=\"{}\" data-v=\"{} {}\" {rest}>",
            if narrow { "narrow" } else { "wide" },
            n(self.size.0),
            n(self.size.1),
            escape(label),
            n(self.left),
            n(self.right),
            n(self.top),
            n(self.bottom),
            n(self.t1),
            self.v0,
            self.v1,
        ));
    }

    fn axes(&self, svg: &mut Svg, factor: f64, narrow: bool) {
        let step = nice((self.v1 - self.v0) * factor, if self.bottom - self.top > 130.0 { 6.0 } else { 3.5 });
        let mut v = (self.v0 * factor / step).ceil() * step;
        while v <= self.v1 * factor + 1e-9 {
            let y = self.y(v / factor);
            svg.line("grid", (self.left, y), (self.right, y));
            let text = if step < 1.0 { format!("{v:.1}") } else { format!("{v:.0}") };
            svg.text("axt", (self.left - 7.0, y + 4.0), Anchor::End, text.trim_start_matches("-0").trim());
            v += step;
        }
        let (step, unit, size) = time_step(self.t1, if narrow { 4.5 } else { 8.0 });
        let mut t = 0.0;
        while t <= self.t1 + 1e-6 {
            let x = self.x(t);
            svg.line("grid", (x, self.top), (x, self.bottom));
            let last = t + step > self.t1 + 1e-6;
            let text = if last { format!("{:.0} {unit}", t / size) } else { format!("{:.0}", t / size) };
            svg.text("axt", (x, self.bottom + 17.0), Anchor::Middle, &text);
            t += step;
        }
    }

    fn curve(&self, svg: &mut Svg, class: &str, t: &[f64], v: &[f64]) {
        let points: Vec<(f64, f64)> = t
            .iter()
            .zip(v)
            .filter(|(t, _)| **t <= self.t1 + 1e-6)
            .map(|(t, v)| (self.x(*t), self.y(v.clamp(self.v0, self.v1))))
            .collect();
        svg.path(class, &commands(&points), "");
    }

    /// The movable cursor, hidden until script moves it; a slider for hands and keys.
    fn cursor(&self, svg: &mut Svg, label: &str, t: f64) {
        let x = self.x(t.clamp(0.0, self.t1));
        svg.raw(&format!(
            "<rect class=\"reach-area\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\
             <g class=\"cursor\" tabindex=\"0\" role=\"slider\" aria-label=\"{}\" aria-valuemin=\"0\" \
             aria-valuemax=\"{:.0}\" aria-valuenow=\"{t:.0}\" aria-valuetext=\"{}\" data-t=\"{t:.1}\">\
             <line class=\"now\" x1=\"{x}\" x2=\"{x}\" y1=\"{}\" y2=\"{}\"/>\
             <circle class=\"nowd\" cx=\"{x}\" cy=\"{}\" r=\"4.5\"/>\
             <text class=\"nowt\" x=\"{x}\" y=\"{}\"></text></g>",
            n(self.left),
            n(self.top),
            n(self.right - self.left),
            n(self.bottom - self.top),
            escape(label),
            self.t1,
            words::time(t),
            n(self.top),
            n(self.bottom),
            n(self.bottom),
            n(self.top + 12.0),
            x = n(x),
        ));
    }
}

fn nice(range: f64, about: f64) -> f64 {
    let raw = (range / about).max(1e-9);
    let ten = 10f64.powf(raw.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|s| s * ten).find(|s| *s >= raw * 0.999).unwrap_or(10.0 * ten)
}

/// Step \[s\], its unit, and the unit's size \[s\].
fn time_step(t1: f64, about: f64) -> (f64, &'static str, f64) {
    const STEPS: [f64; 14] =
        [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14_400.0, 43_200.0];
    let step = STEPS.into_iter().find(|s| t1 / s <= about).unwrap_or(86_400.0);
    match step {
        s if s < 60.0 => (step, "s", 1.0),
        s if s < 3600.0 => (step, "min", 60.0),
        _ => (step, "h", 3600.0),
    }
}

fn factor(system: System) -> f64 {
    match system {
        System::Metric => 1e3,
        System::UsCustomary => 1.0 / tidewright_physics::quantity::INCH_M,
    }
}

fn limits_of(survey: &Survey, tray: usize) -> Vec<Limit> {
    let t = &survey.rig.trays[tray];
    let u = survey.rig.system;
    let mut out = Vec::new();
    let mut add = |value: f64, words: &str, class| {
        out.push(Limit { value, words: format!("{words} {}", u.length(value)), class });
    };
    add(t.rim().value, "rim", "limit rim");
    if let Some(top) = t.block_tops() {
        add(top.value, "block tops", "limit tops");
    }
    if let Some(bed) = &t.bed {
        add(bed.depth.get().value, "top of the bed", "limit tops");
    }
    if let Some(c) = t.crest() {
        add(c.value, "riser crest", "limit crest");
    }
    out
}

/// Depth in one tray over one flood.
pub fn depth(survey: &Survey, tray: usize, course: &Course, narrow: bool) -> String {
    let run = &survey.trays[tray].flood;
    let u = survey.rig.system;
    let (_, end) = span(run, tray);
    let band = &survey.trays[tray].bands.depth;
    let high = band.iter().map(|b| b.high_m).fold(run.highest_m[tray], f64::max);
    let mut limits = limits_of(survey, tray);
    // The rim is shown only where the water comes near it.
    let crowded = limits.iter().skip(1).map(|l| l.value).fold(high, f64::max);
    if limits[0].value > 1.45 * crowded {
        limits.remove(0);
    }
    let top = limits.iter().map(|l| l.value).fold(high, f64::max).max(0.005) * 1.1;
    let size = if narrow { (364.0, 250.0) } else { (1000.0, 236.0) };
    let f =
        Frame { size, left: 40.0, right: size.0 - 14.0, top: 12.0, bottom: size.1 - 26.0, t1: end, v0: 0.0, v1: top };
    let name = &survey.rig.trays[tray].name;
    let mut svg = Svg::new();
    f.open(
        &mut svg,
        narrow,
        &format!("Depth in {name} over one flood"),
        &format!("depth-{tray}"),
        &format!("data-tray=\"{tray}\" data-channel=\"tray\""),
    );
    f.axes(&mut svg, factor(u), narrow);
    let inside: Vec<_> = band.iter().filter(|b| b.t_s <= end + 1e-6).collect();
    if inside.len() > 1 {
        let high = inside.iter().map(|b| (f.x(b.t_s), f.y(b.high_m.min(top))));
        let low = inside.iter().rev().map(|b| (f.x(b.t_s), f.y(b.low_m.min(top))));
        svg.path("band", &format!("{} Z", commands(&high.chain(low).collect::<Vec<_>>())), "");
    }
    let mut used: Vec<f64> = Vec::new();
    for l in &limits {
        let y = f.y(l.value);
        svg.line(l.class, (f.left, y), (f.right, y));
        // Words stand above their line, or below it where another stands close above.
        let above = !used.iter().any(|v: &f64| (v - (y - 5.0)).abs() < 15.0);
        let base = if above { y - 5.0 } else { y + 14.0 };
        used.push(base);
        svg.text("limt", (f.right - 3.0, base), Anchor::End, &l.words);
    }
    f.curve(&mut svg, "curve", &course.t_s, &course.trays_m[tray]);
    events(&mut svg, &f, survey, tray, narrow);
    let at = run.flood(tray).map_or(0.0, |x| if x.stop_s.is_finite() { 0.68 * x.stop_s } else { 0.3 * end });
    f.cursor(&mut svg, &format!("moment of the flood of {name}"), at);
    svg.raw("</svg>");
    svg.finish()
}

fn events(svg: &mut Svg, f: &Frame, survey: &Survey, tray: usize, narrow: bool) {
    let run = &survey.trays[tray].flood;
    let Some(flood) = run.flood(tray) else { return };
    let mut marks: Vec<(f64, String)> = Vec::new();
    let mut add = |t: f64, words: String| {
        if t.is_finite() && t <= f.t1 {
            marks.push((t, words));
        }
    };
    add(flood.crest_wet_s, format!("crest wet {}", words::watch(flood.crest_wet_s)));
    add(flood.stop_s, "pump off".into());
    add(flood.stop_s + flood.drained_s, format!("drained {} after", words::watch(flood.drained_s)));
    for e in &run.events {
        let told = matches!(
            e.kind,
            EventKind::RimOvertopped | EventKind::BlockTopWet | EventKind::PrimeLost | EventKind::ReservoirOverflow
        );
        if told && e.t_s.is_finite() {
            add(e.t_s, e.kind.words().into());
        }
    }
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut rows: Vec<f64> = vec![f64::NEG_INFINITY; 3];
    let mut said: Vec<String> = Vec::new();
    for (t, words) in marks {
        let x = f.x(t);
        svg.line("ev", (x, f.bottom - 7.0), (x, f.bottom));
        // What happens again and again is named once.
        if said.contains(&words) {
            continue;
        }
        said.push(words.clone());
        let wide = text_width(&words, 12.5);
        let right_ok = x + wide + 8.0 < f.right;
        let from = if right_ok { x + 4.0 } else { x - 4.0 - wide };
        let Some(row) = rows.iter().position(|r| *r < from) else { continue };
        if narrow && row > 1 {
            continue;
        }
        rows[row] = from + wide + 6.0;
        let y = f.bottom - 13.0 - 15.0 * row as f64;
        svg.text("evt", (from, y), Anchor::Start, &words);
    }
}

/// Reservoir level over one flood.
pub fn reservoir(survey: &Survey, tray: usize, course: &Course, narrow: bool) -> String {
    let u = survey.rig.system;
    let (_, end) = span(&survey.trays[tray].flood, tray);
    let prime = survey.rig.pumps.iter().map(|p| p.prime_depth.get().value).fold(0.0, f64::max);
    let high = course.reservoir_m.iter().copied().fold(survey.rig.reservoir.rest_depth().value, f64::max) * 1.15;
    let size = if narrow { (364.0, 170.0) } else { (490.0, 170.0) };
    let f = Frame {
        size,
        left: 40.0,
        right: size.0 - 14.0,
        top: 12.0,
        bottom: size.1 - 26.0,
        t1: end,
        v0: 0.0,
        v1: high.max(0.01),
    };
    let mut svg = Svg::new();
    f.open(
        &mut svg,
        narrow,
        "Reservoir level over one flood",
        &format!("reservoir-{tray}"),
        &format!("data-tray=\"{tray}\" data-channel=\"reservoir\""),
    );
    f.axes(&mut svg, factor(u), narrow);
    svg.line("limit tops", (f.left, f.y(prime)), (f.right, f.y(prime)));
    svg.text("limt", (f.right - 3.0, f.y(prime) - 5.0), Anchor::End, &format!("draws air below {}", u.length(prime)));
    f.curve(&mut svg, "curve", &course.t_s, &course.reservoir_m);
    f.cursor(&mut svg, "moment of the flood, reservoir", 0.0);
    svg.raw("</svg>");
    svg.finish()
}

/// Flows of one tray over one flood: from the feed, over the riser, back through the feed.
pub fn flows(survey: &Survey, tray: usize, course: &Course, narrow: bool) -> String {
    let u = survey.rig.system;
    let (_, end) = span(&survey.trays[tray].flood, tray);
    let (feed, riser) = (&course.feed_m3_s[tray], &course.riser_m3_s[tray]);
    let per_hour = match u {
        System::Metric => tidewright_physics::quantity::LITRES_PER_HOUR,
        System::UsCustomary => 3600.0 / tidewright_physics::quantity::US_GALLON_M3,
    };
    let (lo, hi) = feed.iter().chain(riser).fold((0.0_f64, 1e-7_f64), |a, v| (a.0.min(*v), a.1.max(*v)));
    let size = if narrow { (364.0, 170.0) } else { (490.0, 170.0) };
    let f = Frame {
        size,
        left: 46.0,
        right: size.0 - 14.0,
        top: 12.0,
        bottom: size.1 - 26.0,
        t1: end,
        v0: lo * 1.1,
        v1: hi * 1.12,
    };
    let mut svg = Svg::new();
    f.open(
        &mut svg,
        narrow,
        "Flows over one flood",
        &format!("flows-{tray}"),
        &format!("data-tray=\"{tray}\" data-channel=\"flow\""),
    );
    f.axes(&mut svg, per_hour, narrow);
    svg.line("zero", (f.left, f.y(0.0)), (f.right, f.y(0.0)));
    f.curve(&mut svg, "curve", &course.t_s, feed);
    if survey.rig.trays[tray].drain.riser.is_some() {
        f.curve(&mut svg, "curve second", &course.t_s, riser);
    }
    // The curves are named where they run.
    let stop = survey.trays[tray].flood.flood(tray).map_or(end, |x| x.stop_s.min(end));
    let near = |v: &Vec<f64>, t: f64| {
        let i = course.t_s.partition_point(|x| *x < t).min(v.len().saturating_sub(1));
        v.get(i).copied().unwrap_or(0.0)
    };
    svg.text("evt", (f.x(0.30 * stop), f.y(near(feed, 0.30 * stop)) - 7.0), Anchor::Start, "from the feed");
    if survey.rig.trays[tray].drain.riser.is_some() {
        svg.text("evt", (f.x(0.52 * stop), f.y(near(riser, 0.52 * stop)) + 17.0), Anchor::Start, "over the riser");
    }
    if lo < -1e-8 {
        svg.text(
            "evt",
            (f.x(stop) + 8.0, (f.y(lo) + 4.0).min(f.bottom - 4.0).max(f.y(0.0) + 14.0)),
            Anchor::Start,
            "back through the feed",
        );
    }
    f.cursor(&mut svg, "moment of the flood, flows", 0.0);
    svg.raw("</svg>");
    svg.finish()
}
