//! Air, oxygen and heat of a bench: as text, and as drawings of the day.

use crate::svg::{Anchor, Svg, commands, n};
use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_plan::climate::{COMPARED_AT_MG_L, Choice, Climate};
use tidewright_rig::Rig;
use tidewright_rig::units::{System, clock, round_to};
use tidewright_sim::climate::{ClimateDay, ClimateMoment};

/// A temperature with a tenth.
pub fn degrees(u: System, kelvin: f64) -> String {
    match u {
        System::Metric => format!("{:.1} °C", kelvin - 273.15),
        System::UsCustomary => format!("{:.1} °F", (kelvin - 273.15) * 1.8 + 32.0),
    }
}

/// Answer of `air`.
pub fn answer(rig: &Rig, c: &Climate) -> String {
    let u = rig.system;
    let mut out = format!("{}: air, oxygen and heat\n\n", rig.name);
    out.push_str(&stones(c));
    if let Some(x) = c.siphon {
        let words = if x.head_m > 0.0 {
            let runs = if x.flow_m3_s > 0.0 {
                format!("{} run out through it", u.flow(x.flow_m3_s))
            } else {
                "the reservoir runs out through it as soon as a port is open".into()
            };
            format!(
                "{} The air line lies {} below the highest water: when the pump stops, {runs}. Pump above the water, or a loop; a check valve besides.",
                if x.valve { "▲" } else { "■" },
                u.length(x.head_m)
            )
        } else {
            "The air pump, or a loop of its line, stands above the water, as it must; a check valve besides, a drip loop in its cord.".to_owned()
        };
        out.push_str(&wrap(&words, 0, COLUMNS));
    }
    let (low, likely, high) = (c.low.oxygen_span(), c.likely.oxygen_span(), c.high.oxygen_span());
    let held = c.likely.course.iter().map(|m| m.saturation_mg_l).fold(f64::INFINITY, f64::min);
    let _ = writeln!(
        out,
        "Oxygen in the reservoir, least of the day: {:.1} mg/L likely, {:.1} to {:.1}; its water could hold {held:.1}.",
        likely.0, low.0, high.0
    );
    for (i, t) in rig.trays.iter().enumerate() {
        if let Some(least) = c.likely.least_in_tray(i) {
            let at_low = c.low.least_in_tray(i).unwrap_or(least);
            let _ = writeln!(out, "In {} while flooded, least: {least:.1} mg/L ({at_low:.1} at the low end).", t.name);
        }
    }
    let (cold, warm) = c.likely.temperature_span();
    let _ = writeln!(
        out,
        "Water in the reservoir: {} to {}, mean {}.\n",
        degrees(u, cold),
        degrees(u, warm),
        degrees(u, c.likely.mean_k())
    );
    let _ = writeln!(out, "{:<46}{:>9}{:>9}{:>9}{:>9}", "hours until oxygen falls to", "5", "4", "3", "2 mg/L");
    for f in &c.failures {
        let cell = |h: f64| if h.is_finite() && h < 999.0 { round_to(h, 2) } else { "never".into() };
        for (k, all) in [("", f.hours), ("  at the low end", f.hours_low)] {
            let words: String = if k.is_empty() { f.words.chars().take(60).collect() } else { k.into() };
            let row = all.map(cell);
            if words.chars().count() > 45 {
                let _ = writeln!(out, "{words}\n{:<46}{:>9}{:>9}{:>9}{:>9}", "", row[0], row[1], row[2], row[3]);
            } else {
                let _ = writeln!(out, "{words:<46}{:>9}{:>9}{:>9}{:>9}", row[0], row[1], row[2], row[3]);
            }
        }
    }
    out.push('\n');
    out.push_str(&needs(u, c));
    out.push_str(&accounts(&c.likely));
    out.push_str(&wrap(
        "No measured value is published for small stones at these depths, and heat losses of plastic are good to a third: a clean-water test and a thermometer narrow both.",
        0,
        COLUMNS,
    ));
    out
}

fn stones(c: &Climate) -> String {
    let Some(b) = &c.blown else { return "Nothing blows air into the reservoir.\n".into() };
    let mut out = format!(
        "{:.1} L/min of air at {:.1} kPa (the pump makes {:.1} at the most).\n",
        6e4 * b.flow_m3_s(),
        1e-3 * b.pressure_pa,
        1e-3 * b.most_pa
    );
    for s in &b.stones {
        let state = if s.open { format!("{:.1} L/min", 6e4 * s.flow_m3_s) } else { "port closed".into() };
        let _ = writeln!(out, "  {}: {state}, {:.0} mm under the water", s.name, 1e3 * s.depth_m);
    }
    let k = b.transfer_m3_s.map(|k| 3.6e6 * k);
    let _ = writeln!(
        out,
        "They change {} litres of water an hour towards full ({} to {}){}.",
        round_to(k[1], 2),
        round_to(k[0], 2),
        round_to(k[2], 2),
        if b.measured { ", by your clean-water test" } else { "" }
    );
    out
}

fn needs(u: System, c: &Climate) -> String {
    let x = &c.needs;
    let words = format!(
        "The reservoir loses {:.1} W for each kelvin over its room ({} to {}). To keep it at {} asks for a heater of {:.0} W and a chiller that takes out {:.0} W in the worst hour, a third to spare; fresh water of {} comes to it in four hours with {:.0} W.",
        x.loss_w_k,
        u.temperature(x.room_k.0),
        u.temperature(x.room_k.1),
        u.temperature(x.wanted_k),
        x.heater_w,
        x.chiller_w,
        u.temperature(x.fresh_k),
        x.bring_w
    );
    wrap(&words, 0, COLUMNS)
}

fn accounts(d: &ClimateDay) -> String {
    let heat: Vec<String> = d
        .heat
        .brought
        .iter()
        .filter(|(_, j)| j.abs() > 500.0)
        .map(|(k, j)| format!("{k} {:+.0} kJ", 1e-3 * j))
        .collect();
    let oxygen: Vec<String> = d
        .oxygen
        .brought
        .iter()
        .filter(|(_, g)| g.abs() > 5e-4)
        .map(|(k, g)| format!("{k} {:+.0} mg", 1e3 * g))
        .collect();
    let mut out = String::new();
    for (name, all, error) in [("Heat", heat, d.heat.error), ("Oxygen", oxygen, d.oxygen.error)] {
        if all.is_empty() {
            continue;
        }
        let words = format!(
            "{name} of a day: {}. The account closes to {}.",
            all.join(", "),
            crate::words::power_of_ten(error)
        );
        out.push_str(&wrap(&words, 0, COLUMNS));
    }
    out
}

/// The comparison of stones and pumps as a table.
pub fn comparison(all: &[Choice], currency: &str) -> String {
    let mut out = format!(
        "Oxygen given at {COMPARED_AT_MG_L:.0} mg/L, low, likely, high; a year is running and the price of both.\n\n{:<10}{:<14}{:>8}{:>20}{:>10}{:>12}{:>14}\n",
        "pump",
        "stone",
        "L/min",
        "g/h",
        "mg/Wh",
        format!("{currency}/year"),
        format!("g/{currency}")
    );
    for c in all {
        let g = c.oxygen_g_h;
        let band = format!("{} {} {}", round_to(g[0], 2), round_to(g[1], 2), round_to(g[2], 2));
        let _ = writeln!(
            out,
            "{:<10}{:<14}{:>8.1}{:>20}{:>10.0}{:>12}{:>14}",
            c.pump,
            c.stone,
            6e4 * c.flow_m3_s,
            band,
            1e3 * c.oxygen_g_wh[1],
            c.first_year.map_or_else(|| "–".into(), |y| format!("{y:.0}")),
            c.grams_for_money.map_or_else(|| "–".into(), |g| round_to(g[1], 2)),
        );
    }
    out.push_str("\nTwo choices whose bands overlap are not told apart by anything but a test.\n");
    out
}

/// The course as CSV.
pub fn csv(rig: &Rig, c: &Climate) -> String {
    let mut out = String::from("time_s,reservoir_degc,oxygen_mg_l,oxygen_low_mg_l,oxygen_high_mg_l,saturation_mg_l");
    for i in 1..=rig.trays.len() {
        let _ = write!(out, ",tray_{i}_degc,tray_{i}_oxygen_mg_l");
    }
    out.push('\n');
    for (i, m) in c.likely.course.iter().enumerate() {
        let at = |d: &ClimateDay| d.course.get(i).map_or(f64::NAN, |m| m.oxygen_mg_l);
        let _ = write!(
            out,
            "{:.0},{:.3},{:.3},{:.3},{:.3},{:.3}",
            m.t_s,
            m.reservoir_k - 273.15,
            m.oxygen_mg_l,
            at(&c.low),
            at(&c.high),
            m.saturation_mg_l
        );
        for (k, o) in m.trays_k.iter().zip(&m.trays_mg_l) {
            let _ = write!(out, ",{:.3},{}", k - 273.15, o.map_or_else(String::new, |o| format!("{o:.3}")));
        }
        out.push('\n');
    }
    out
}

/// A figure of a moment, where it has one.
type Figure<'a> = Box<dyn Fn(&ClimateMoment) -> Option<f64> + 'a>;

/// One line of a day's chart.
struct Course<'a> {
    label: String,
    class: &'static str,
    value: Figure<'a>,
}

/// Temperature of the day: reservoir, trays, room.
pub fn temperature(rig: &Rig, c: &Climate, narrow: bool) -> String {
    let u = rig.system;
    let shown = |k: f64| if u == System::Metric { k - 273.15 } else { (k - 273.15) * 1.8 + 32.0 };
    let mut lines = vec![Course {
        label: "reservoir".into(),
        class: "curve",
        value: Box::new(move |m| Some(shown(m.reservoir_k))),
    }];
    for i in 0..rig.trays.len().min(3) {
        let label = if rig.trays.len() == 1 { "tray".to_owned() } else { rig.trays[i].name.clone() };
        lines.push(Course {
            label,
            class: "curve second",
            value: Box::new(move |m| m.trays_k.get(i).map(|k| shown(*k))),
        });
    }
    let room = rig.growing.room();
    lines.push(Course {
        label: "air".into(),
        class: "curve air",
        value: Box::new(move |m| {
            let i = room.partition_point(|r| r.from_s <= m.t_s % 86_400.0);
            room.get(if i == 0 { room.len() - 1 } else { i - 1 }).map(|r| shown(r.air_k))
        }),
    });
    let unit = if u == System::Metric { "°C" } else { "°F" };
    chart(rig, &c.likely.course, &lines, None, (unit, narrow), "Temperature of water and air through the day")
}

/// Oxygen of the day with its band.
pub fn oxygen(rig: &Rig, c: &Climate, narrow: bool) -> String {
    let mut lines = vec![
        Course { label: "could hold".into(), class: "curve air", value: Box::new(|m| Some(m.saturation_mg_l)) },
        Course { label: "reservoir".into(), class: "curve", value: Box::new(|m| Some(m.oxygen_mg_l)) },
    ];
    for i in 0..rig.trays.len().min(3) {
        let label = if rig.trays.len() == 1 { "tray".to_owned() } else { rig.trays[i].name.clone() };
        lines.push(Course {
            label,
            class: "curve second",
            value: Box::new(move |m| m.trays_mg_l.get(i).copied().flatten()),
        });
    }
    let band: Vec<(f64, f64, f64)> =
        c.low.course.iter().zip(&c.high.course).map(|(a, b)| (a.t_s, a.oxygen_mg_l, b.oxygen_mg_l)).collect();
    chart(
        rig,
        &c.likely.course,
        &lines,
        Some(&band),
        ("mg/L", narrow),
        "Dissolved oxygen through the day, with its band",
    )
}

fn chart(
    rig: &Rig,
    course: &[ClimateMoment],
    lines: &[Course<'_>],
    band: Option<&[(f64, f64, f64)]>,
    (unit, narrow): (&str, bool),
    title: &str,
) -> String {
    const DAY: f64 = 86_400.0;
    let (width, height) = if narrow { (364.0, 200.0) } else { (680.0, 190.0) };
    let (left, right, top, bottom) = (40.0, width - if narrow { 78.0 } else { 96.0 }, 26.0, height - 24.0);
    let all = || course.iter().flat_map(|m| lines.iter().filter_map(move |l| (l.value)(m)));
    let banded = || band.iter().flat_map(|b| b.iter().flat_map(|x| [x.1, x.2]));
    let (mut low, mut high) =
        all().chain(banded()).fold((f64::INFINITY, f64::NEG_INFINITY), |s, x| (s.0.min(x), s.1.max(x)));
    if unit == "mg/L" {
        low = 0.0;
    }
    let step = tick((high - low).max(0.5));
    low = (low / step).floor() * step;
    high = (high / step).ceil() * step + if high - low < 1e-9 { step } else { 0.0 };
    let x = |t: f64| left + t / DAY * (right - left);
    let y = |v: f64| bottom - (v - low) / (high - low) * (bottom - top);
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"chart-svg {}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{title}\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(height)
    ));
    let mut v = low;
    while v <= high + 1e-9 {
        svg.line("grid", (left, y(v)), (right, y(v)));
        svg.text("axt", (left - 6.0, y(v) + 4.0), Anchor::End, &round_to(v, 3));
        v += step;
    }
    svg.text("axt", (left - 34.0, top - 14.0), Anchor::Start, unit);
    for h in (0..=24).step_by(if narrow { 6 } else { 3 }) {
        let at = x(f64::from(h) * 3600.0);
        svg.line("grid", (at, top), (at, bottom));
        svg.text("axt", (at, bottom + 17.0), Anchor::Middle, &format!("{h:02}"));
    }
    for t in &rig.trays {
        for start in t.schedule.starts.borrowed() {
            let wide = (x(start + t.schedule.run.get().value) - x(*start)).max(1.5);
            svg.rect("flood-mark", (x(*start), bottom - 4.0), (wide, 4.0), &format!("data-at=\"{}\"", clock(*start)));
        }
    }
    if let Some(b) = band {
        let up = b.iter().map(|p| (x(p.0), y(p.1)));
        let down = b.iter().rev().map(|p| (x(p.0), y(p.2)));
        let outline: Vec<(f64, f64)> = up.chain(down).collect();
        svg.path("unsure", &format!("{}Z", commands(&outline)), "");
    }
    let mut labels: Vec<(f64, &str)> = Vec::new();
    for l in lines {
        let mut piece: Vec<(f64, f64)> = Vec::new();
        let mut last = None;
        for m in course {
            match (l.value)(m) {
                Some(v) => {
                    piece.push((x(m.t_s), y(v)));
                    last = piece.last().copied();
                }
                None if piece.len() > 1 => svg_piece(&mut svg, l.class, &mut piece),
                None => piece.clear(),
            }
        }
        svg_piece(&mut svg, l.class, &mut piece);
        if let Some(p) = last {
            labels.push((p.1, &l.label));
        }
    }
    labels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = top;
    for (at, label) in labels {
        let at = (at + 4.0).max(free);
        svg.text("axt", (right + 6.0, at), Anchor::Start, label);
        free = at + 14.0;
    }
    svg.raw("</svg>");
    svg.finish()
}

fn svg_piece(svg: &mut Svg, class: &str, piece: &mut Vec<(f64, f64)>) {
    if piece.len() > 1 {
        svg.path(class, &commands(piece), "");
    }
    piece.clear();
}

/// A round step of which four or five fit.
pub(crate) fn tick(most: f64) -> f64 {
    let raw = most / 4.0;
    let power = 10f64.powf(raw.log10().floor());
    [1.0, 2.0, 5.0].into_iter().map(|f| f * power).find(|t| *t >= raw).unwrap_or(10.0 * power)
}
