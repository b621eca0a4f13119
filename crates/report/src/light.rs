//! Light over a tray: the map as a drawing, the rest as text.

use crate::svg::{Anchor, Svg, n};
use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_physics::quantity::Length;
use tidewright_plan::light::{Light, Map, map_now};
use tidewright_plan::space::{Closure, Packed, Pattern, closure, pack};
use tidewright_rig::Rig;
use tidewright_rig::units::System;

/// Answer of `light`.
pub fn answer(rig: &Rig, all: &[Light]) -> String {
    let u = rig.system;
    let mut out = format!("{}: light\n", rig.name);
    if all.is_empty() {
        out.push_str("No lamp hangs over any tray: write [[lamp]] with its power and height.\n");
    }
    for l in all {
        let _ = writeln!(
            out,
            "\n{}: {:.0} W of lamps, {:.0} h a day, {:.2} kWh",
            rig.trays[l.tray].name, l.power_w, l.hours, l.energy_kwh_d
        );
        let _ = writeln!(
            out,
            "{:<10}{:>12}{:>14}{:>22}{:>12}",
            "stage", "leaves at", "lamp over", "PPFD least/mean/most", "mol/(m² d)"
        );
        for (i, s) in l.stages.iter().enumerate() {
            let band = format!("{:.0} / {:.0} / {:.0}", s.least, s.mean, s.most);
            let _ = writeln!(
                out,
                "{}{:<9}{:>12}{:>14}{:>22}{:>12.1}",
                if i == l.now { ">" } else { " " },
                s.stage.word(),
                u.length(s.canopy_m),
                if s.over_m < 0.02 { "in the leaves".into() } else { u.length(s.over_m) },
                band,
                s.dli
            );
        }
        out.push_str(&wrap(&hanging(rig, l), 0, COLUMNS));
        let _ = writeln!(
            out,
            "Of {:.0} µmol/s that the lamps give, {:.0} land on the tray ({:.0} %); walls give back {:.0} % of what misses.",
            l.emitted_umol_s,
            l.caught_umol_s,
            100.0 * l.caught_umol_s / l.emitted_umol_s.max(1e-9),
            100.0 * rig.walls.get()
        );
    }
    out.push_str(&wrap(
        "PPFD in µmol/(m² s) at the height of the leaves. A lamp's photons from its power are good to a tenth at best; a light meter at nine points of the tray is better. Lamps are hot, bright and over water: guard them, hang them on two points, residual-current device, plugs up.",
        0,
        COLUMNS,
    ));
    out
}

/// At which height the lamps should hang.
pub fn hanging(rig: &Rig, l: &Light) -> String {
    let [low, high] = l.liked_dli;
    let liked = format!("For {} {low:.0} to {high:.0} mol/(m² d) are right", rig.growing.crop.name);
    match l.hanging {
        Some(h) => match h.over_m {
            Some(over) => format!(
                "{liked}: {:.0} µmol/(m² s) for the middle of it, with the lamps {} over the leaves (darkest point {:.0} % of the mean).",
                h.wanted,
                rig.system.length(over),
                100.0 * h.uniformity
            ),
            None => format!(
                "{liked}: {:.0} µmol/(m² s) for the middle of it, which no height gives: {:.0} near by, {:.0} far off.",
                h.wanted, h.reach.0, h.reach.1
            ),
        },
        None => liked,
    }
}

/// Answer of `space`.
pub fn space(rig: &Rig, spacing_m: Option<f64>) -> String {
    let u = rig.system;
    let mut out = format!("{}: blocks on the floor\n", rig.name);
    for (i, t) in rig.trays.iter().enumerate() {
        let Some(b) = &t.blocks else {
            let _ = writeln!(out, "\n{}: a bed of grains; plants stand where you put them.", t.name);
            continue;
        };
        let own = b.length.get().value.max(b.width.get().value);
        let s = spacing_m.unwrap_or(own);
        let _ = writeln!(
            out,
            "\n{}: blocks of {} × {}, {} from middle to middle; fittings, their flanges and the wall's curve kept free",
            t.name,
            u.length(b.length.get().value),
            u.length(b.width.get().value),
            u.length(s)
        );
        if s < own {
            let _ = writeln!(out, "  they would overlap: a block is {} long", u.length(own));
        }
        for p in pack(t, s).into_iter().filter(|_| s >= own) {
            let _ = writeln!(out, "  {:<28}{:>4}", pattern(p.pattern), p.count);
        }
        let _ = writeln!(out, "  {:<28}{:>4.0}", "now", b.count.get());
        let over = tidewright_plan::fit::blocks_on_fittings(t);
        if over > 0 {
            let _ = writeln!(out, "  spread evenly, {over} of them stand on a fitting");
        }
        let free = (t.shape.area_at(Length::default()) - b.plan_area()).value;
        let crest = t.crest().map_or(0.0, |c| c.value);
        let _ = writeln!(out, "  free water at the crest: {}", u.volume((free * crest).max(0.0)));
        if let Some(c) = closure(rig, i) {
            out.push_str(&wrap(&closing(u, &rig.growing.crop.name, &c), 2, COLUMNS));
        }
    }
    out
}

/// When plants touch, in words.
pub fn closing(u: System, crop: &str, c: &Closure) -> String {
    let head = format!(
        "{:.0} plants have a square of {} each; a full plant of {crop} is {} across",
        c.plants,
        u.length(c.room_m),
        u.length(c.across_m)
    );
    match c.day {
        Some(d) => format!("{head}: leaves meet about day {d:.0}."),
        None => format!("{head}: they never touch."),
    }
}

fn pattern(p: Pattern) -> &'static str {
    match p {
        Pattern::Square => "rows and columns",
        Pattern::StaggeredAlong => "staggered, rows along",
        Pattern::StaggeredAcross => "staggered, rows across",
    }
}

/// The map of one tray as a drawing: the brighter, the paler the ink; blocks and lamps as outlines; numbers at nine points.
pub fn map(rig: &Rig, tray: usize, narrow: bool) -> Option<String> {
    let points = if narrow { (30, 18) } else { (60, 36) };
    let m = map_now(rig, tray, points)?;
    let t = &rig.trays[tray];
    let width = if narrow { 364.0 } else { 680.0 };
    let (left, top) = (10.0, 10.0);
    let (length, across) = m.plan.size_m;
    let k = (width - 2.0 * left) / length;
    let high = across * k;
    let most = m.most();
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"light-map {}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Light on the leaves of {}: {:.0} at the least, {:.0} in the mean, {:.0} at the most\">",
        if narrow { "narrow" } else { "wide" },
        n(width),
        n(high + 2.0 * top + 18.0),
        crate::svg::escape(&t.name),
        m.least(),
        m.mean(),
        most
    ));
    let (cw, ch) = (length * k / points.0 as f64, high / points.1 as f64);
    for j in 0..points.1 {
        // Neighbours of one step are one rectangle: a map is then some hundred of them.
        let step = |i: usize| {
            let shade = (10.0 * at(&m, i, j) / most.max(1e-9)).floor().min(9.0);
            m.plan.holds(m.place(i, j)).then_some(shade)
        };
        let mut i = 0;
        while i < points.0 {
            let begin = i;
            while i < points.0 && step(i) == step(begin) {
                i += 1;
            }
            let Some(shade) = step(begin) else { continue };
            let y = top + (points.1 - 1 - j) as f64 * ch;
            let size = ((i - begin) as f64 * cw, ch);
            svg.rect(
                "lux",
                (left + begin as f64 * cw, y),
                size,
                &format!("fill-opacity=\"{}\"", n(0.06 + 0.09 * shade)),
            );
        }
    }
    let middle = (left + 0.5 * length * k, top + 0.5 * high);
    if m.plan.round {
        svg.circle("outline", middle, 0.5 * length * k, "");
    }
    if let Some(b) = &t.blocks {
        let (l, w) = (b.length.get().value * k, b.width.get().value * k);
        let half = 0.5 * t.floor().1.value;
        for (x, y) in t.block_places() {
            svg.rect("outline", (middle.0 + x * k - 0.5 * l, middle.1 - (y - half) * k - 0.5 * w), (l, w), "");
        }
    }
    for l in rig.lamps.iter().filter(|l| l.tray == tray) {
        let (x, y) = (middle.0 + l.at.0.get().value * k, middle.1 - l.at.1.get().value * k);
        let size = ((l.size.0.get().value * k).max(6.0), (l.size.1.get().value * k).max(6.0));
        svg.rect("lamp-line", (x - 0.5 * size.0, y - 0.5 * size.1), size, "");
    }
    for fy in [0.08, 0.5, 0.92] {
        for fx in [0.06, 0.5, 0.94] {
            let (i, j) = ((fx * points.0 as f64) as usize, (fy * points.1 as f64) as usize);
            if !m.plan.holds(m.place(i, j)) {
                continue;
            }
            let value = format!("{:.0}", at(&m, i, j));
            svg.text("lux-number", (left + fx * length * k, top + (1.0 - fy) * high + 4.0), Anchor::Middle, &value);
        }
    }
    svg.text(
        "axt",
        (left, high + 2.0 * top + 10.0),
        Anchor::Start,
        "µmol/(m² s) on the leaves; outlines: blocks; dashed: lamps",
    );
    svg.raw("</svg>");
    Some(svg.finish())
}

fn at(m: &Map, i: usize, j: usize) -> f64 {
    m.ppfd[j * m.points.0 + i]
}

/// A pattern of blocks on the floor as a drawing.
pub fn packing(rig: &Rig, tray: usize, p: &Packed) -> Option<String> {
    let t = rig.trays.get(tray)?;
    let b = t.blocks.as_ref()?;
    let (l, w) = (t.floor().0.value, t.floor().1.value);
    let width = 340.0;
    let k = (width - 12.0) / l;
    let mut svg = Svg::new();
    svg.raw(&format!(
        "<svg class=\"packing\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{} blocks, {}\">",
        n(width),
        n(w * k + 12.0),
        p.count,
        pattern(p.pattern)
    ));
    let at = |x: f64, y: f64| (6.0 + x * k, 6.0 + (w - y) * k);
    if t.shape.is_round() {
        svg.circle("floor-line", at(0.5 * l, 0.5 * w), 0.5 * l * k, "");
    } else {
        svg.rect("floor-line", (6.0, 6.0), (l * k, w * k), "");
    }
    // More are not told apart.
    for (x, y) in p.places.iter().take(3600) {
        let (cx, cy) = at(*x, *y);
        let size = (b.length.get().value * k, b.width.get().value * k);
        svg.rect("outline", (cx - 0.5 * size.0, cy - 0.5 * size.1), size, "");
    }
    for ((x, y), r) in tidewright_plan::space::keep_outs(t) {
        svg.circle("keep-out", at(x, y), r * k, "");
    }
    svg.raw("</svg>");
    Some(svg.finish())
}
