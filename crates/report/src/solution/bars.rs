//! Drawings of a solution: ions as bars against their targets, and the reservoir's course through weeks.

use super::drift::{SHOWN, of};
use super::sheet::number;
use crate::climate::tick;
use crate::svg::{Anchor, Svg, commands, n};
use tidewright_plan::solution::mix::Sheet;
use tidewright_rig::solution::Feeding;
use tidewright_rig::solution::amount::{analyte, mg_l};
use tidewright_sim::drift::Drifted;
use tidewright_sim::salt::SaltDay;

/// Bars of what a litre holds over what is wanted: water's share dark, salts' light, the wanted span as a bracket.
pub fn ions(sheet: &Sheet, narrow: bool) -> String {
    const MOST: f64 = 2.0;
    let width = if narrow { 364.0 } else { 760.0 };
    let (left, right) = (44.0, width - if narrow { 98.0 } else { 190.0 });
    let (lane, gap, top) = (18.0, 8.0, 22.0);
    let rows = &sheet.solved.targets;
    let bottom = top + rows.len() as f64 * (lane + gap);
    let x = |share: f64| left + (share / MOST).clamp(0.0, 1.0) * (right - left);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"ions {}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"What a litre holds against what is wanted; the table beside it says the same\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(bottom + 4.0)
    ));
    for share in [0.0, 0.5, 1.0, 1.5, 2.0] {
        svg.line(
            if share == 1.0 { "axis strong" } else { "grid" },
            (x(share), top - 4.0),
            (x(share), bottom - gap + 4.0),
        );
        if !narrow || share.fract() == 0.0 {
            svg.text("axt", (x(share), top - 8.0), Anchor::Middle, &format!("{:.0} %", 100.0 * share));
        }
    }
    for (i, t) in rows.iter().enumerate() {
        let y = top + i as f64 * (lane + gap);
        let whole = if t.target.middle() > 0.0 { t.target.middle() } else { 0.5 };
        let (held, water) = (t.amount / whole, t.from_water.min(t.amount) / whole);
        svg.text("axt", (left - 8.0, y + 13.5), Anchor::End, t.target.name);
        svg.rect("lane", (left, y), (right - left, lane), "");
        let off = if t.miss.abs() > 0.1 { "ion off" } else { "ion" };
        svg.rect(off, (left, y + 3.0), (x(held) - left, lane - 6.0), "");
        if water > 0.002 {
            svg.rect("ion-water", (left, y + 3.0), (x(water) - left, lane - 6.0), "");
        }
        if held > MOST {
            svg.path(
                "ion-more",
                &format!("M{},{} l6,{} l-6,{} Z", n(right), n(y + 3.0), n(0.5 * lane - 3.0), n(0.5 * lane - 3.0)),
                "",
            );
        }
        let (low, high) = (t.target.low / whole, t.target.high / whole);
        svg.rect("wanted", (x(low) - 1.0, y), ((x(high) - x(low)).max(2.0), lane), "");
        let mg = |v: f64| analyte(t.target.name).map_or(v, |a| mg_l(a, v));
        let words = if narrow {
            format!("{} mg/L", number(mg(t.amount)))
        } else {
            format!("{} mg/L · {} mmol/L", number(mg(t.amount)), number(t.amount))
        };
        svg.text("axt", (right + 10.0, y + 13.5), Anchor::Start, &words);
    }
    svg.raw("</svg>");
    svg.finish()
}

/// Less of an ion is next to nothing \[mmol/L\].
const LEAST_SHOWN: f64 = 0.05;

/// Course of conductivity, sodium and chloride, and nutrients through weeks.
pub fn weeks(d: &Drifted, feeding: &Feeding, change: Option<f64>, narrow: bool) -> String {
    let width = if narrow { 364.0 } else { 760.0 };
    let (left, right, top, high) = (44.0, width - 56.0, 16.0, 150.0);
    let days = d.looks.last().map_or(1.0, |l| l.day).max(1.0);
    let x = |day: f64| left + day / days * (right - left);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"drift {}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Conductivity and ions of the reservoir through {days:.0} days\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(top + 2.0 * (high + 34.0) + 8.0)
    ));
    let ec_top = d.looks.iter().map(|l| 10.0 * l.ec_25).fold(feeding.ec.1, f64::max) * 1.1;
    let y = |v: f64| top + high * (1.0 - (v / ec_top).clamp(0.0, 1.0));
    svg.rect("range", (left, y(feeding.ec.1)), (right - left, y(feeding.ec.0) - y(feeding.ec.1)), "");
    axes(&mut svg, (left, right, top, high), days, &x, ec_top, "mS/cm");
    let line: Vec<(f64, f64)> = d.looks.iter().map(|l| (x(l.day), y(10.0 * l.ec_25))).collect();
    svg.path("course", &commands(&line), "");
    let below = top + high + 34.0;
    // Ions from a twentieth to twenty: a logarithmic axis keeps them apart.
    let most = d.looks.iter().flat_map(|l| SHOWN.iter().map(move |(c, _)| of(l, c))).fold(1.0, f64::max) * 1.2;
    let y2 = |v: f64| {
        let share = (v.max(LEAST_SHOWN) / LEAST_SHOWN).ln() / (most / LEAST_SHOWN).ln();
        below + high * (1.0 - share.clamp(0.0, 1.0))
    };
    days_axis(&mut svg, (left, right, below, high), days, &x, "mmol/L");
    for v in [0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0].into_iter().filter(|v| *v <= most) {
        svg.line("grid", (left, y2(v)), (right, y2(v)));
        svg.text("axt", (left - 6.0, y2(v) + 4.0), Anchor::End, &format!("{v}"));
    }
    let mut labels: Vec<(f64, &str)> = Vec::new();
    for (c, name) in SHOWN {
        let line: Vec<(f64, f64)> = d.looks.iter().map(|l| (x(l.day), y2(of(l, c)))).collect();
        let class = if matches!(c, "Na" | "Cl") { "course ballast" } else { "course food" };
        svg.path(class, &commands(&line), "");
        if let Some(end) = line.last() {
            labels.push((end.1, name));
        }
    }
    // Names at the ends of the lines, pushed apart upwards from the axis.
    labels.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut last = below + high + 12.0;
    for (at, name) in labels {
        let at = at.min(last - 12.0);
        last = at;
        svg.text("axt", (right + 6.0, at + 4.0), Anchor::Start, name);
    }
    if let Some(day) = change.filter(|c| *c <= days) {
        svg.line("change", (x(day), top - 4.0), (x(day), below + high));
        let anchor = if day > 0.7 * days { Anchor::End } else { Anchor::Start };
        let aside = if day > 0.7 * days { -5.0 } else { 5.0 };
        svg.text("axt warn", (x(day) + aside, top + 8.0), anchor, &format!("change by day {day:.0}"));
    }
    svg.raw("</svg>");
    svg.finish()
}

/// Conductivity of a block's water by height, a line for each week.
pub fn profiles(days: &[SaltDay], ec_ms_cm: f64) -> String {
    let (width, height, left, bottom, top) = (560.0, 306.0, 62.0, 268.0, 24.0);
    let right = width - 60.0;
    let weeks: Vec<&SaltDay> = days.iter().filter(|d| d.day % 7 == 0).collect();
    let most = weeks.iter().flat_map(|d| &d.profile).fold(1.0_f64, |a, b| a.max(*b)) * ec_ms_cm * 1.08;
    let x = |ec: f64| left + (ec / most).clamp(0.0, 1.0) * (right - left);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"drift profiles\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Conductivity by height in a block, week by week; the table below says the same\">",
        n(width),
        n(height)
    ));
    let step = tick(most);
    let mut v = 0.0;
    while v <= most {
        svg.line("grid", (x(v), top), (x(v), bottom));
        svg.text("axt", (x(v), bottom + 15.0), Anchor::Middle, &format!("{v}"));
        v += step;
    }
    svg.text("axt", (right, bottom + 31.0), Anchor::End, "mS/cm in the block's water");
    for (share, name) in [(0.0, "base"), (0.5, "middle"), (1.0, "top")] {
        let y = bottom - share * (bottom - top);
        svg.line("axis", (left - 4.0, y), (left, y));
        svg.text("axt", (left - 8.0, y + 4.0), Anchor::End, name);
    }
    svg.line("axis", (left, top), (left, bottom));
    svg.line("change", (x(ec_ms_cm), top), (x(ec_ms_cm), bottom));
    svg.text("axt warn", (x(ec_ms_cm) - 5.0, 0.5 * (bottom + top) + 40.0), Anchor::End, "reservoir");
    for (k, d) in weeks.iter().enumerate() {
        let bands = d.profile.len() as f64;
        let line: Vec<(f64, f64)> = d
            .profile
            .iter()
            .enumerate()
            .map(|(i, c)| (x(ec_ms_cm * c), bottom - (i as f64 + 0.5) / bands * (bottom - top)))
            .collect();
        let last = k + 1 == weeks.len();
        svg.path(if last { "course" } else { "course food" }, &commands(&line), "");
        if let Some(end) = line.last()
            && (k == 0 || last)
        {
            svg.text(
                "axt",
                (end.0, end.1 - 6.0),
                if last { Anchor::Start } else { Anchor::Middle },
                &format!("week {}", d.day / 7),
            );
        }
    }
    svg.raw("</svg>");
    svg.finish()
}

fn axes(
    svg: &mut Svg,
    (left, right, top, high): (f64, f64, f64, f64),
    days: f64,
    x: &dyn Fn(f64) -> f64,
    most: f64,
    unit: &str,
) {
    days_axis(svg, (left, right, top, high), days, x, unit);
    let tick = tick(most);
    let mut v = 0.0;
    while v <= most {
        let y = top + high * (1.0 - v / most);
        svg.line("grid", (left, y), (right, y));
        svg.text("axt", (left - 6.0, y + 4.0), Anchor::End, &format!("{v}"));
        v += tick;
    }
}

fn days_axis(
    svg: &mut Svg,
    (left, right, top, high): (f64, f64, f64, f64),
    days: f64,
    x: &dyn Fn(f64) -> f64,
    unit: &str,
) {
    svg.line("axis", (left, top + high), (right, top + high));
    let step = if days > 45.0 { 14.0 } else { 7.0 };
    let mut day = 0.0;
    while day <= days {
        svg.line("grid", (x(day), top), (x(day), top + high));
        svg.text("axt", (x(day), top + high + 14.0), Anchor::Middle, &format!("{day:.0}"));
        day += step;
    }
    svg.text("axt", (left - 38.0, top - 5.0), Anchor::Start, unit);
    svg.text("axt", (right, top + high + 28.0), Anchor::End, "days");
}
