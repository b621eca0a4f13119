//! Layers of the section beside the water: the stand as it is, lamps, air, cords.

use crate::layout::ReservoirStands;
use crate::section::Sheet;
use crate::svg::{Anchor, Svg, bent, n};
use tidewright_rig::bench::{Along, Stand};

/// Height that a lamp or a socket is drawn at when it is higher than the sheet, below its upper end \[m\].
const BELOW_TOP: f64 = 0.015;
/// How far a drip loop hangs below its socket \[m\].
const DRIP: f64 = 0.09;

/// The stand of one column of trays as the bench file has it, below the floors of its shelves \[m\].
pub(crate) fn stand(s: &Sheet<'_>, svg: &mut Svg, stand: &Stand, (middle, half): (f64, f64), shelves: &[f64]) {
    let k = s.paper.k;
    let (rail_w, rail_h) = (stand.rail.outer.0.value, stand.rail.outer.1.value);
    let deck = stand.deck.get().value;
    let leg = stand.leg.outer.0.value;
    let reach = if stand.along.get() == Along::Length { stand.rail_length.get().value / 2.0 } else { half };
    let legs_at = (stand.base.0.get().value / 2.0).min(reach) - leg / 2.0;
    let floor_half = s.layout.trays.first().map_or(half, |t| t.length.0 / 2.0);
    let Some(top) = shelves.iter().copied().reduce(f64::max) else { return };
    svg.raw("<g class=\"layer-stand\">");
    let under = top - deck - rail_h;
    for side in [-1.0, 1.0] {
        let x = middle + side * legs_at - leg / 2.0;
        svg.rect("wood", (s.x(x), s.y(under)), (leg * k, under * k), "");
    }
    if stand.braced.get() {
        let (a, b) = ((middle - legs_at, 0.06), (middle + legs_at, under - 0.02));
        svg.line("brace", (s.x(a.0), s.y(a.1)), (s.x(b.0), s.y(b.1)));
    }
    for shelf in shelves {
        if deck > 0.0 {
            svg.rect("wood", (s.x(middle - reach), s.y(*shelf)), (2.0 * reach * k, deck * k), "");
        }
        if stand.along.get() == Along::Length {
            svg.rect("wood", (s.x(middle - reach), s.y(shelf - deck)), (2.0 * reach * k, rail_h * k), "");
        } else {
            // Rails across are seen at their ends.
            for at in stand.rail_at.borrowed() {
                let x = middle - floor_half + at - rail_w / 2.0;
                svg.rect("wood", (s.x(x), s.y(shelf - deck)), (rail_w * k, rail_h * k), "");
            }
        }
    }
    svg.raw("</g>");
}

/// Lamps, air and cords, each a layer.
pub(crate) fn layers(s: &Sheet<'_>, svg: &mut Svg) {
    lamps(s, svg);
    let air = air(s, svg);
    cords(s, svg, air);
}

fn lamp_y(s: &Sheet<'_>, i: usize) -> Option<(f64, f64, f64)> {
    let l = s.rig.lamps.get(i)?;
    let place = s.layout.trays.get(l.tray)?;
    let wanted = place.floor + l.height.get().value;
    Some((place.middle + l.at.0.get().value, wanted, wanted.min(s.layout.heights.1 - BELOW_TOP)))
}

fn lamps(s: &Sheet<'_>, svg: &mut Svg) {
    if s.rig.lamps.is_empty() {
        return;
    }
    let k = s.paper.k;
    svg.raw("<g class=\"layer-lamp\">");
    for (i, l) in s.rig.lamps.iter().enumerate() {
        let Some((x, wanted, drawn)) = lamp_y(s, i) else { continue };
        let half = (0.5 * l.size.0.get().value).max(0.05);
        let y = s.y(drawn);
        svg.rect("lamp", (s.x(x - half), y - 7.0), (2.0 * half * k, 7.0), "rx=\"1.5\"");
        for side in [-0.7, 0.7] {
            let hook = s.x(x + side * half);
            svg.line("cord-line", (hook, y - 7.0), (hook, (y - 26.0).max(3.0)));
        }
        // A lamp that hangs higher than the sheet is drawn with a break, its height beside it.
        if wanted > drawn + 1e-6 {
            let at = s.x(x + 0.85 * half);
            svg.path("break-mark", &format!("M{},{}l5,-4l-10,-6l5,-4", n(at), n(y + 20.0)), "");
        }
        let words = format!("{} over the tray floor", s.rig.system.length(l.height.get().value));
        if !s.paper.narrow {
            svg.text("sub", (s.x(x), y - 13.0), Anchor::Middle, &words);
        }
    }
    svg.raw("</g>");
}

/// From the air pump down to its cord \[m\].
const CORD_DROP: f64 = 0.03;

/// Draws the air pump and its lines; gives the pump's place \[m\].
fn air(s: &Sheet<'_>, svg: &mut Svg) -> Option<(f64, f64)> {
    let a = s.rig.aeration.as_ref()?;
    let k = s.paper.k;
    let r = s.reservoir();
    let rim = r.floor + r.depth;
    let size = (0.10, 0.06);
    let left = s.layout.ends.0 + 0.02;
    let beside = r.middle - r.half(r.depth) - size.0 - 0.03;
    let x = beside.max(left);
    let y = a.pump.height.get().value.clamp(0.0, s.layout.heights.1 - size.1);
    svg.raw("<g class=\"layer-air\">");
    svg.rect("part", (s.x(x), s.y(y + size.1)), (size.0 * k, size.1 * k), "rx=\"3\"");
    let crown = a.pump.high_point.as_ref().map_or(y + size.1, |h| h.get().value.max(y + size.1)).max(rim + 0.03) + 0.03;
    let open = a.stones.len().max(1) as f64;
    for (i, stone) in a.stones.iter().enumerate() {
        let spread = (i as f64 + 0.5) / open - 0.5;
        // Away from the pump's own inlet, which stands in the middle or to the left.
        let at = r.middle + (0.28 + 0.3 * spread) * r.length.0;
        let floor = r.floor + stone.height.get().value;
        let up = s.x(x + 0.5 * size.0);
        let way = [(up, s.y(y + size.1)), (up, s.y(crown)), (s.x(at), s.y(crown)), (s.x(at), s.y(floor + 0.015))];
        svg.path(if stone.open.get() { "air-line" } else { "air-line shut" }, &bent(&way, 10.0), "");
        svg.rect("fit", (s.x(at - 0.025), s.y(floor + 0.018)), (0.05 * k, 0.018 * k), "rx=\"2\"");
        if stone.open.get() {
            bubbles(s, svg, at, floor + 0.03);
        }
    }
    if !s.paper.narrow {
        // Below its cord.
        let cord = if s.rig.mains.stated { CORD_DROP * k + 3.0 } else { 0.0 };
        svg.text("sub", (s.x(x), s.y(y) + 13.0 + cord), Anchor::Start, "air pump");
    }
    svg.raw("</g>");
    Some((x + 0.5 * size.0, y))
}

/// Bubbles over a stone up to the water that stands there now; always the same ones.
fn bubbles(s: &Sheet<'_>, svg: &mut Svg, at: f64, from: f64) {
    let top = s.reservoir().floor + s.now.reservoir_m - 0.012;
    let mut y = from;
    let mut i = 0_u32;
    while y < top && i < 40 {
        let aside = (f64::from(i * 7 % 5) - 2.0) * 0.006 * (1.0 + (y - from) * 3.0);
        svg.circle("bubble", (s.x(at + aside), s.y(y)), 1.6 + f64::from(i % 3) * 0.5, "");
        y += 0.017;
        i += 1;
    }
}

/// Cords from the socket, each with its drip loop.
fn cords(s: &Sheet<'_>, svg: &mut Svg, air: Option<(f64, f64)>) {
    if !s.rig.mains.stated {
        return;
    }
    let wanted = s.rig.mains.outlet_height.get().value;
    let drawn = wanted.min(s.layout.heights.1 - 0.03);
    let x = s.layout.ends.1 - 0.015;
    svg.raw("<g class=\"layer-cord\">");
    let (sx, sy) = (s.x(x), s.y(drawn));
    svg.rect("socket", (sx - 6.0, sy - 9.0), (12.0, 18.0), "rx=\"2\"");
    let mut hang = 0.0;
    let mut cord = |svg: &mut Svg, way: Vec<(f64, f64)>, from_above: bool| {
        // Down to the loop, then up to the socket: water drips off at its lowest point.
        let low = drawn - DRIP - 0.022 * hang;
        let aside = x - 0.028 - 0.014 * hang;
        hang += 1.0;
        let mut all = way;
        if let Some(last) = all.last().copied() {
            all.push((aside, if from_above { last.1 } else { last.1.min(low) }));
        }
        all.extend([(aside, low), (x - 0.006, low), (x, drawn - 0.02)]);
        let points: Vec<(f64, f64)> = all.iter().map(|p| (s.x(p.0), s.y(p.1))).collect();
        svg.path("cord-line", &bent(&points, 7.0), "");
    };
    let r = s.reservoir();
    let rim = r.floor + r.depth;
    let out = r.middle + r.half(r.depth) - 0.05;
    for i in 0..s.rig.lamps.len() {
        if let Some((lx, _, ly)) = lamp_y(s, i) {
            let half = (0.5 * s.rig.lamps[i].size.0.get().value).max(0.05);
            cord(svg, vec![((lx + half).min(x - 0.06), ly + 0.008)], true);
        }
    }
    if let Some((ax, ay)) = air {
        let along = (ay - CORD_DROP).max(rim + 0.05);
        cord(svg, vec![(ax, ay), (ax, along)], false);
    }
    if s.layout.stands != ReservoirStands::Around {
        for p in 0..s.rig.pumps.len() {
            let (px, top) = crate::section_pipes::pump_at(s, p);
            cord(svg, vec![(px + 0.03, top), (px + 0.03, rim - 0.05), (out, rim - 0.05), (out, rim + 0.03)], false);
        }
    }
    if wanted > drawn + 1e-6 && !s.paper.narrow {
        svg.path("break-mark", &format!("M{},{}l5,-4l-10,-6l5,-4", n(sx), n(sy + 30.0)), "");
    }
    if !s.paper.narrow {
        svg.text("sub", (sx + 10.0, sy - 2.0), Anchor::Start, &format!("socket {}", s.rig.system.length(wanted)));
    }
    svg.raw("</g>");
}
