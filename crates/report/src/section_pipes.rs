//! Pump, hoses, fittings and risers of the section.

use crate::keys;
use crate::layout::{PLANK, ReservoirStands};
use crate::section::{Sheet, Vessel};
use crate::svg::{Svg, bent, n};
use tidewright_rig::bench::Entry;

/// Width and least height that a pump is drawn with \[m\].
const PUMP: (f64, f64) = (0.075, 0.075);

/// Middle and top of a pump \[m\].
pub(crate) fn pump_at(s: &Sheet<'_>, pump: usize) -> (f64, f64) {
    let r = s.reservoir();
    let count = s.rig.pumps.len().max(1) as f64;
    let room = (r.length.0 - PUMP.0 - 0.03).max(0.0);
    let share = (pump as f64 + 0.5) / count;
    // A single pump stands below the flood fitting that it feeds, as near as the reservoir allows.
    let x = match s.rig.trays_of(pump).next() {
        Some((i, _)) if s.rig.pumps.len() == 1 && s.rig.trays.len() == 1 => {
            s.layout.trays[i].feed.0.clamp(r.middle - room / 2.0, r.middle + room / 2.0)
        }
        _ => {
            r.middle + (share - 0.5) * room * if count > 1.0 { 1.0 } else { 0.0 }
                - if count > 1.0 { 0.0 } else { room * 0.3 }
        }
    };
    let height = (2.2 * s.rig.pumps[pump].inlet_height.get().value).clamp(PUMP.1 * 0.7, PUMP.1 * 1.6);
    (x, r.floor + height.min(0.6 * r.depth))
}

/// The way of a feed hose \[m\].
pub(crate) fn feed_way(s: &Sheet<'_>, tray: usize) -> Vec<(f64, f64)> {
    let t = &s.rig.trays[tray];
    let place = &s.layout.trays[tray];
    let v = Vessel::of(place);
    let r = s.reservoir();
    let (px, top) = pump_at(s, t.pump);
    let rim = r.floor + r.depth;
    let below = place.floor - PLANK;
    let header = match s.layout.stands {
        ReservoirStands::Under => rim + (0.3 + 0.12 * t.pump as f64).min(0.6) * (lowest(s) - PLANK - rim).max(0.0),
        ReservoirStands::Around => below - 0.02,
        ReservoirStands::Beside => rim + 0.04,
    };
    let mut way = vec![(px, top), (px, header)];
    let over = match &t.entry {
        Entry::OverRim { end, bend, .. } => Some((end.get().value, bend.get().value)),
        Entry::Floor => None,
    };
    if s.layout.stands == ReservoirStands::Beside {
        let gap = r.middle + r.half(r.depth) + 0.05;
        way.push((gap, header));
        if over.is_none() && below < header {
            let under = (below - 0.04).max(0.012);
            way.push((gap, under));
            way.push((place.feed.0, under));
        }
    }
    match over {
        None if passes_a_tray(s, tray) => {
            let outside = s.layout.columns.get(place.column).map_or(place.middle, |c| c.0 - c.1) - 0.035;
            way.push((outside, header));
            way.push((outside, below - 0.035));
            way.push((place.feed.0, below - 0.035));
            way.push((place.feed.0, place.floor));
        }
        None => {
            if s.layout.stands != ReservoirStands::Beside || below >= header {
                way.push((place.feed.0, header));
            }
            way.push((place.feed.0, place.floor));
        }
        Some((end, bend)) => {
            let outside = place.middle - v.half(v.depth) - 0.03;
            let inside = place.middle - v.half(end) + 0.05;
            way.push((outside, header));
            way.push((outside, place.floor + bend));
            way.push((inside, place.floor + bend));
            way.push((inside, place.floor + end));
        }
    }
    way.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6);
    way
}

/// Whether another tray stands below this one in its column.
fn passes_a_tray(s: &Sheet<'_>, tray: usize) -> bool {
    s.layout.in_column(s.layout.trays[tray].column).last() != Some(&tray)
}

fn lowest(s: &Sheet<'_>) -> f64 {
    s.layout.trays.iter().map(|t| t.floor).fold(f64::INFINITY, f64::min)
}

/// The way of a return \[m\], and whether it ends over the reservoir (else over which tray).
pub(crate) fn return_way(s: &Sheet<'_>, tray: usize) -> (Vec<(f64, f64)>, Option<usize>) {
    let t = &s.rig.trays[tray];
    let place = &s.layout.trays[tray];
    let r = s.reservoir();
    let x = place.drain.0;
    let target = match t.drains_into {
        Some(j) => Vessel::of(&s.layout.trays[j]),
        None => r,
    };
    let top = target.floor + target.depth;
    let wanted = place.floor - t.drain.back.drop.get().value;
    let end = wanted.clamp(target.floor + 0.02, (place.floor - 0.03).max(target.floor + 0.02));
    let end = if t.drains_into.is_some() { end.max(top - 0.02).min(place.floor - 0.01) } else { end };
    let half = target.half(target.depth) - 0.04;
    let mut way = vec![(x, place.floor)];
    let inside = x.clamp(target.middle - half, target.middle + half);
    if (inside - x).abs() > 1e-6 {
        let header = if place.floor - PLANK > top {
            top + 0.62 * (place.floor - PLANK - top)
        } else {
            (place.floor - 0.05).max(0.012)
        };
        // A return falls a little along its way.
        let fall = (0.02 * (inside - x).abs()).min(0.03);
        way.push((x, header));
        way.push((inside, (header - fall).max(top.min(header))));
    }
    let last = way.last().map_or(end, |p| p.1);
    way.push((inside, end.min(last - 0.005)));
    (way, t.drains_into)
}

fn drawn(s: &Sheet<'_>, way: &[(f64, f64)]) -> Vec<(f64, f64)> {
    way.iter().map(|p| (s.x(p.0), s.y(p.1))).collect()
}

/// Stroke of a hose or pipe of a true bore \[units\].
fn stroke(s: &Sheet<'_>, bore: f64) -> f64 {
    (bore * s.paper.k).clamp(2.6, 14.0)
}

/// One run of hose or pipe, ready to be drawn.
struct Run {
    d: String,
    width: f64,
    class: &'static str,
    flow: String,
    path: Option<String>,
    spoken: &'static str,
}

/// Pumps and hoses, behind the trays. Hoses that meet are drawn as one: all edges first, then all insides.
pub(crate) fn behind(s: &Sheet<'_>, svg: &mut Svg) {
    let mut falls = Svg::new();
    let mut runs: Vec<Run> = Vec::new();
    for (i, tray) in s.rig.trays.iter().enumerate().filter(|(_, t)| t.drain.riser.is_some()) {
        let (way, into) = return_way(s, i);
        let points = drawn(s, &way);
        let width = stroke(s, tray.drain.back.bore.get().value);
        if let Some(end) = points.last() {
            fall(s, &mut falls, i, into, *end, width);
        }
        runs.push(Run {
            d: bent(&points, 10.0),
            width,
            class: "pipe",
            flow: format!("riser-{i}"),
            path: keys::of_tray(s.rig, i, "drain.return_bore"),
            spoken: "return: change its bore",
        });
    }
    for (i, tray) in s.rig.trays.iter().enumerate() {
        let way = feed_way(s, i);
        let hose = tray.branch.as_ref().map_or(&s.rig.pumps[tray.pump].feed, |b| &b.hose);
        let single =
            s.rig.trays.len() == 1 && matches!(tray.entry, Entry::Floor) && s.layout.stands == ReservoirStands::Under;
        runs.push(Run {
            d: if single { slack(&drawn(s, &way)) } else { bent(&drawn(s, &way), 12.0) },
            width: stroke(s, hose.bore.get().value),
            class: "hose",
            flow: format!("feed-{i}"),
            path: keys::of_feed(s.rig, tray.pump, "bore"),
            spoken: "feed hose: change its bore",
        });
    }
    svg.raw(&falls.finish());
    // Returns first, so that a feed passes in front of them.
    for class in ["pipe", "hose"] {
        let mine = || runs.iter().filter(|r| r.class == class);
        for r in mine() {
            svg.path("halo", &r.d, &format!("stroke-width=\"{}\"", n(r.width + 4.0)));
        }
        for r in mine() {
            svg.path(class, &r.d, &format!("stroke-width=\"{}\"", n(r.width + 1.5)));
        }
        for r in mine() {
            svg.path("inner", &r.d, &format!("stroke-width=\"{}\"", n((r.width - 1.2).max(1.2))));
        }
        for r in mine() {
            let mut inner = Svg::new();
            inner.path("reach", &r.d, "fill=\"none\"");
            inner.path(
                "bore",
                &r.d,
                &format!("stroke-width=\"{}\" data-flow=\"{}\"", n((r.width - 1.2).max(1.2)), r.flow),
            );
            svg.raw(&keys::linked(r.path.as_deref(), r.spoken, &inner.finish()));
        }
    }
    for i in 0..s.rig.pumps.len() {
        pump(s, svg, i);
    }
}

/// Water that falls from the end of a return.
fn fall(s: &Sheet<'_>, svg: &mut Svg, i: usize, into: Option<usize>, end: (f64, f64), width: f64) {
    let (target, floor, level) = match into {
        Some(j) => (format!("tray-{j}"), s.layout.trays[j].floor, s.now.trays_m.get(j).copied()),
        None => ("reservoir".to_owned(), s.reservoir().floor, Some(s.now.reservoir_m)),
    };
    let y0 = s.y(floor);
    let surface = y0 - level.unwrap_or(0.0).max(0.0) * s.paper.k;
    svg.raw(&format!(
        "<line class=\"fall\" data-fall=\"{i}\" data-into=\"{target}\" data-y0=\"{}\" data-k=\"{:.4}\" x1=\"{x}\" \
         y1=\"{}\" x2=\"{x}\" y2=\"{}\" stroke-width=\"{}\"/>",
        n(y0),
        s.paper.k,
        n(end.1),
        n(surface.max(end.1)),
        n(width * 0.6),
        x = n(end.0),
    ));
}

/// A loose hose between two ends, as it hangs.
fn slack(points: &[(f64, f64)]) -> String {
    let (Some(a), Some(b)) = (points.first(), points.last()) else { return String::new() };
    let third = (a.1 - b.1) * 0.42;
    format!("M{},{} C{},{} {},{} {},{}", n(a.0), n(a.1), n(a.0), n(a.1 - third), n(b.0), n(b.1 + third), n(b.0), n(b.1))
}

fn pump(s: &Sheet<'_>, svg: &mut Svg, i: usize) {
    let r = s.reservoir();
    let p = &s.rig.pumps[i];
    let (x, top) = pump_at(s, i);
    let feet = 0.006;
    let mut inner = Svg::new();
    let (w, h) = (PUMP.0 * s.paper.k, (top - r.floor - feet) * s.paper.k);
    inner.rect("part", (s.x(x) - w / 2.0, s.y(top)), (w, h), "rx=\"2\"");
    // The inlet: three slots at its true height.
    let inlet = s.y(r.floor + p.inlet_height.get().value.min(top - r.floor));
    for k in [-1.0, 0.0, 1.0] {
        inner.line("slot", (s.x(x) - w / 2.0 + 1.5, inlet + 2.2 * k), (s.x(x) - w / 6.0, inlet + 2.2 * k));
    }
    for side in [-1.0, 1.0] {
        let fx = s.x(x) + side * w * 0.32;
        inner.line("foot", (fx, s.y(r.floor + feet)), (fx, s.y(r.floor)));
    }
    let path = keys::of_pump(s.rig, i, "open_flow").or_else(|| keys::of_pump(s.rig, i, "power"));
    svg.raw(&keys::linked(path.as_deref(), &format!("{}: change its open flow", p.name), &inner.finish()));
    // The level at which it draws air.
    let prime = s.y(r.floor + p.prime_depth.get().value);
    let path = keys::of_pump(s.rig, i, "prime_depth");
    let mut line = Svg::new();
    line.line("prime", (s.x(x) - w, prime), (s.x(x) + w, prime));
    svg.raw(&keys::linked(path.as_deref(), "depth at which the pump draws air", &line.finish()));
}

/// Flood fittings and risers, in front of the water.
pub(crate) fn fittings(s: &Sheet<'_>, svg: &mut Svg) {
    for (i, tray) in s.rig.trays.iter().enumerate() {
        let place = &s.layout.trays[i];
        let k = s.paper.k;
        if matches!(tray.entry, Entry::Floor) {
            let mut inner = Svg::new();
            let w = ((s.rig.pumps[tray.pump].feed.bore.get().value + 0.022) * k).max(7.0);
            let lip = (tray.lip.get().value * k).max(1.5);
            inner.rect("fit", (s.x(place.feed.0) - w / 2.0, s.y(place.floor) - lip), (w, lip), "");
            inner.rect("fit", (s.x(place.feed.0) - w * 0.4, s.y(place.floor)), (w * 0.8, (0.02 * k).max(4.0)), "");
            let path = keys::of_tray(s.rig, i, "feed_x");
            svg.raw(&keys::linked(path.as_deref(), "flood fitting: change its place", &inner.finish()));
        }
        if let Some(riser) = &tray.drain.riser {
            let mut inner = Svg::new();
            let bore = riser.bore.get().value;
            let wall = 0.003;
            let w = ((bore + 2.0 * wall) * k).max(5.0);
            let crest = riser.crest.height.get().value;
            let count = (riser.count.get() as usize).clamp(1, 4);
            for c in 0..count {
                let x = s.x(place.drain.0) + (c as f64 - (count - 1) as f64 / 2.0) * w * 1.3;
                inner.rect("riser", (x - w / 2.0, s.y(place.floor + crest)), (w, crest * k), "");
                let seat = (riser.seat.get().value * k).max(2.0);
                inner.rect("fit", (x - w * 0.8, s.y(place.floor) - seat), (w * 1.6, seat), "");
                inner.rect("fit", (x - w * 0.65, s.y(place.floor)), (w * 1.3, (0.02 * k).max(4.0)), "");
                // Water that stands in the mouth while it runs over.
                inner.line("mouth", (x - w / 2.0, s.y(place.floor + crest)), (x + w / 2.0, s.y(place.floor + crest)));
            }
            let path = keys::of_tray(s.rig, i, "drain.crest");
            let spoken = format!("riser of {}: change its crest", tray.name);
            svg.raw(&keys::linked(path.as_deref(), &spoken, &inner.finish()));
        }
    }
}
