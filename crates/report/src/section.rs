//! The bench in section, to scale, with the water where it is.

use crate::layout::{Layout, PLANK, ReservoirStands, TrayPlace, front_row, plan_sizes, plant_height};
use crate::paper::Paper;
use crate::svg::{Svg, commands, n};
use crate::{keys, section_more, section_pipes, section_words};
use tidewright_plan::Survey;
use tidewright_plan::advice::FillLines;
use tidewright_rig::Rig;
use tidewright_rig::bench::Tray;

/// Depths at the moment that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Now {
    /// In the reservoir \[m\].
    pub reservoir_m: f64,
    /// In each tray \[m\].
    pub trays_m: Vec<f64>,
    /// Pores of each tray's blocks that water fills, from the base up \[-\]; none where they were not followed.
    pub blocks: Vec<Option<Vec<f64>>>,
}

/// What every part of the section needs.
pub(crate) struct Sheet<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) survey: &'a Survey,
    pub(crate) layout: &'a Layout,
    pub(crate) paper: &'a Paper,
    pub(crate) lines: &'a FillLines,
    pub(crate) now: &'a Now,
}

impl Sheet<'_> {
    pub(crate) fn x(&self, metres: f64) -> f64 {
        self.paper.section.left + (metres - self.layout.ends.0) * self.paper.k
    }

    pub(crate) fn y(&self, metres: f64) -> f64 {
        self.paper.section.above + (self.layout.heights.1 - metres) * self.paper.k
    }

    pub(crate) fn size(&self) -> (f64, f64) {
        let m = self.paper.section;
        (
            m.left + self.layout.length() * self.paper.k + m.right,
            m.above + self.layout.height() * self.paper.k + m.below,
        )
    }

    pub(crate) fn reservoir(&self) -> Vessel {
        let r = &self.rig.reservoir;
        let (length, _) = plan_sizes(&r.shape);
        Vessel { middle: self.layout.reservoir, floor: r.elevation.get().value, depth: r.shape.depth().value, length }
    }

    /// Height of the room's floor line or of the lowest thing that stands on it.
    fn floor_line(&self) -> f64 {
        0.0
    }
}

/// The outline of a vessel.
#[derive(Clone, Copy)]
pub(crate) struct Vessel {
    pub(crate) middle: f64,
    pub(crate) floor: f64,
    pub(crate) depth: f64,
    pub(crate) length: (f64, f64),
}

impl Vessel {
    pub(crate) fn of(place: &TrayPlace) -> Self {
        Self { middle: place.middle, floor: place.floor, depth: place.depth, length: place.length }
    }

    /// Half its length at a height above its floor.
    pub(crate) fn half(&self, y: f64) -> f64 {
        let t = if self.depth > 0.0 { (y / self.depth).clamp(0.0, 1.0) } else { 0.0 };
        (self.length.0 + (self.length.1 - self.length.0) * t) / 2.0
    }

    fn outline(&self, s: &Sheet<'_>) -> Vec<(f64, f64)> {
        let (top, bottom) = (s.y(self.floor + self.depth), s.y(self.floor));
        vec![
            (s.x(self.middle - self.length.1 / 2.0), top),
            (s.x(self.middle - self.length.0 / 2.0), bottom),
            (s.x(self.middle + self.length.0 / 2.0), bottom),
            (s.x(self.middle + self.length.1 / 2.0), top),
        ]
    }
}

/// The section as one SVG.
pub fn section(survey: &Survey, layout: &Layout, paper: &Paper, lines: &FillLines, now: &Now) -> String {
    let s = Sheet { rig: &survey.rig, survey, layout, paper, lines, now };
    let mut svg = Svg::new();
    svg.raw(&paper.open(s.size(), "section", &format!("Section of {}, to scale", survey.rig.name)));
    clips(&s, &mut svg);
    room_floor(&s, &mut svg);
    stands(&s, &mut svg);
    reservoir(&s, &mut svg);
    section_pipes::behind(&s, &mut svg);
    for (i, tray) in survey.rig.trays.iter().enumerate() {
        tray_and_crop(&s, &mut svg, i, tray);
    }
    section_pipes::fittings(&s, &mut svg);
    section_more::layers(&s, &mut svg);
    section_words::write(&s, &mut svg);
    svg.raw("</svg>");
    svg.finish()
}

/// Room that the words of a wide section need: width at the left, at the right, and height \[units\].
pub fn lanes(survey: &Survey, layout: &Layout, lines: &FillLines, now: &Now) -> (f64, f64, f64) {
    let paper = Paper::wide(layout, (100.0, 120.0, 0.0));
    section_words::lanes(&Sheet { rig: &survey.rig, survey, layout, paper: &paper, lines, now })
}

fn clips(s: &Sheet<'_>, svg: &mut Svg) {
    let p = s.paper.prefix;
    svg.raw("<defs>");
    let mut clip = |id: &str, v: &Vessel| {
        svg.raw(&format!("<clipPath id=\"{p}-clip-{id}\">"));
        svg.path("", &format!("{} Z", commands(&v.outline(s))), "");
        svg.raw("</clipPath>");
    };
    clip("reservoir", &s.reservoir());
    for (i, t) in s.layout.trays.iter().enumerate() {
        clip(&format!("tray-{i}"), &Vessel::of(t));
    }
    for (i, (tray, place)) in s.rig.trays.iter().zip(&s.layout.trays).enumerate() {
        let Some(b) = &tray.blocks else { continue };
        svg.raw(&format!("<clipPath id=\"{p}-clip-blocks-{i}\">"));
        let (w, h) = (b.length.get().value * s.paper.k, b.total_height().value * s.paper.k);
        for x in front_row(tray) {
            let at = (s.x(place.middle + x) - w / 2.0, s.y(place.floor + b.base.get().value) - h);
            svg.rect("", at, (w, h), "");
        }
        svg.raw("</clipPath>");
    }
    svg.raw("</defs>");
}

/// Left and right end of the floor line \[units\]: it stays clear of the words.
pub(crate) fn floor_ends(s: &Sheet<'_>) -> (f64, f64) {
    let m = s.paper.section;
    if s.paper.narrow {
        return (4.0, s.size().0 - 4.0);
    }
    (m.left - crate::paper::LEFT_LANE + 8.0, s.size().0 - m.right + crate::paper::RIGHT_LANE - 22.0)
}

fn room_floor(s: &Sheet<'_>, svg: &mut Svg) {
    let y = s.y(s.floor_line());
    let (edge, right) = floor_ends(s);
    let mut d = String::new();
    let mut x = edge + 4.0;
    while x < right {
        d.push_str(&format!("M{},{}l-8,8", n(x), n(y)));
        x += 12.0;
    }
    svg.path("hatch", &d, "");
    svg.line("heavy", (edge, y), (right, y));
}

fn stands(s: &Sheet<'_>, svg: &mut Svg) {
    for (c, (middle, half)) in s.layout.columns.iter().enumerate() {
        let trays = s.layout.in_column(c);
        let shelves: Vec<f64> = trays.iter().map(|i| s.layout.trays[*i].floor).filter(|f| *f > 0.12).collect();
        let Some(top) = shelves.iter().copied().fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.max(b)))) else {
            continue;
        };
        if s.layout.stands == ReservoirStands::Around {
            continue;
        }
        if let Some(stand) = &s.rig.stand {
            section_more::stand(s, svg, stand, (*middle, *half), &shelves);
            continue;
        }
        let leg = (0.045_f64).min(0.12 * half);
        let floor = s.floor_line();
        for side in [-1.0, 1.0] {
            let x = middle + side * (half - leg * 0.5) - leg / 2.0;
            svg.rect("wood", (s.x(x), s.y(top - PLANK)), (leg * s.paper.k, (top - PLANK - floor) * s.paper.k), "");
        }
        for shelf in shelves {
            svg.rect("wood", (s.x(middle - half), s.y(shelf)), (2.0 * half * s.paper.k, PLANK * s.paper.k), "");
        }
    }
}

/// The moving water of one vessel: body and surface, both cut to its outline.
fn water(s: &Sheet<'_>, svg: &mut Svg, id: &str, clip: &str, v: &Vessel, depth: f64, body: &str) {
    let p = s.paper.prefix;
    let depth = if depth.is_finite() { depth.max(0.0) } else { 0.0 };
    let y0 = s.y(v.floor);
    let half = v.length.0.max(v.length.1) / 2.0;
    let (x, w) = (s.x(v.middle - half), 2.0 * half * s.paper.k);
    let h = depth * s.paper.k;
    let moves = format!("data-y0=\"{}\" data-k=\"{:.4}\"", n(y0), s.paper.k);
    svg.raw(&format!("<g clip-path=\"url(#{p}-clip-{clip})\">"));
    svg.rect(body, (x, y0 - h), (w, h), &format!("data-water=\"{id}\" {moves}"));
    if body == "water" {
        svg.rect(
            "surf",
            (x, y0 - h),
            (w, if depth > 0.0 { 2.0 } else { 0.0 }),
            &format!("data-surface=\"{id}\" {moves}"),
        );
    }
    svg.raw("</g>");
}

/// Water in the blocks by height: bands that darken as pores fill.
fn moisture(s: &Sheet<'_>, svg: &mut Svg, i: usize, (v, base, height): (&Vessel, f64, f64), wet: &[f64]) {
    let half = v.length.0.max(v.length.1) / 2.0;
    let (x, w) = (s.x(v.middle - half), 2.0 * half * s.paper.k);
    let step = height / wet.len() as f64;
    svg.raw(&format!("<g clip-path=\"url(#{}-clip-blocks-{i})\">", s.paper.prefix));
    for (k, share) in wet.iter().enumerate() {
        let top = s.y(v.floor + base + step * (k + 1) as f64);
        let band = format!("data-moist=\"{i} {k}\" fill-opacity=\"{:.2}\"", shade(*share));
        // A hair of overlap, so that no light shows between two bands.
        svg.rect("moist", (x, top), (w, step * s.paper.k + 0.3), &band);
    }
    svg.raw("</g>");
}

/// How dark a band is at a share of its pores filled \[-\].
fn shade(share: f64) -> f64 {
    0.85 * share.clamp(0.0, 1.0).powi(2)
}

fn reservoir(s: &Sheet<'_>, svg: &mut Svg) {
    let v = s.reservoir();
    let mut inner = Svg::new();
    water(s, &mut inner, "reservoir", "reservoir", &v, s.now.reservoir_m, "water");
    let outline = v.outline(s);
    inner.path("vessel", &commands(&outline), "");
    if s.rig.reservoir.lid.get() && s.layout.stands != ReservoirStands::Around {
        let (l, r) = (outline[0], outline[3]);
        inner.line("lid", (l.0 - 5.0, l.1 - 2.0), (r.0 + 5.0, r.1 - 2.0));
    }
    let path = keys::plain(s.rig, "reservoir.fill").or_else(|| keys::plain(s.rig, "reservoir.fill_depth"));
    svg.raw(&keys::linked(path.as_deref(), "reservoir: change its fill", &inner.finish()));
}

fn tray_and_crop(s: &Sheet<'_>, svg: &mut Svg, i: usize, tray: &Tray) {
    let place = &s.layout.trays[i];
    let v = Vessel::of(place);
    let depth = s.now.trays_m.get(i).copied().unwrap_or(0.0);
    let id = format!("tray-{i}");
    let mut vessel = Svg::new();
    water(s, &mut vessel, &id, &id, &v, depth, "water");
    if let Some(bed) = &tray.bed {
        let top = bed.depth.get().value;
        vessel.raw(&format!("<g clip-path=\"url(#{}-clip-tray-{i})\">", s.paper.prefix));
        let half = v.half(top);
        let at = (s.x(v.middle - half), s.y(v.floor + top));
        vessel.rect("bed", at, (2.0 * half * s.paper.k, top * s.paper.k), "");
        vessel.path("grains", &grains(s, &v, top), "");
        vessel.raw("</g>");
    }
    vessel.path("vessel", &commands(&v.outline(s)), "");
    let path = keys::of_tray(s.rig, i, "depth").or_else(|| keys::of_tray(s.rig, i, "elevation"));
    let spoken = format!("{}: change its depth", tray.name);
    svg.raw(&keys::linked(path.as_deref(), &spoken, &vessel.finish()));
    if let Some(b) = &tray.blocks {
        let mut inner = Svg::new();
        let (w, h) = (b.length.get().value * s.paper.k, b.total_height().value * s.paper.k);
        for x in front_row(tray) {
            let (cx, base) = (s.x(place.middle + x), s.y(place.floor + b.base.get().value));
            inner.rect("block", (cx - w / 2.0, base - h), (w, h), "");
            for layer in 1..(b.layers.get() as usize) {
                let y = base - h * layer as f64 / b.layers.get();
                inner.line("block", (cx - w / 2.0, y), (cx + w / 2.0, y));
            }
            inner.path("plant", &sprig(cx, base - h, plant_height(tray) * s.paper.k), "");
        }
        match s.now.blocks.get(i).and_then(Option::as_ref) {
            Some(wet) => moisture(s, &mut inner, i, (&v, b.base.get().value, b.total_height().value), wet),
            None => water(s, &mut inner, &id, &format!("blocks-{i}"), &v, depth, "soak"),
        }
        let path = keys::of_tray(s.rig, i, "blocks.height").or_else(|| keys::of_tray(s.rig, i, "blocks.count"));
        svg.raw(&keys::linked(path.as_deref(), "blocks: change their size", &inner.finish()));
    }
}

/// Grains of a loose bed, always the same ones.
fn grains(s: &Sheet<'_>, v: &Vessel, top: f64) -> String {
    let mut d = String::new();
    let step = (11.0 / s.paper.k).max(v.length.0 / 90.0);
    let rows = ((top / step) as usize).min(40);
    for row in 0..rows {
        let y = (row as f64 + 0.5) * step;
        let half = v.half(y) - step * 0.4;
        let count = ((2.0 * half / step) as usize).min(120);
        for i in 0..count {
            let x = v.middle - half + (i as f64 + if row % 2 == 0 { 0.5 } else { 1.0 }) * step;
            let r = step * s.paper.k * (0.26 + 0.03 * ((i * 7 + row * 3) % 4) as f64);
            let (cx, cy) = (s.x(x), s.y(v.floor + y));
            d.push_str(&format!(
                "M{},{}a{r:.1},{r:.1} 0 1 0 {:.1},0a{r:.1},{r:.1} 0 1 0 {:.1},0",
                n(cx - r),
                n(cy),
                2.0 * r,
                -2.0 * r
            ));
        }
    }
    d
}

/// A sprig that says where a plant stands; its size means nothing.
fn sprig(x: f64, base: f64, height: f64) -> String {
    let h = height;
    let leaf = |y: f64, w: f64, up: f64| {
        format!(
            "M{x},{y}q{a},{b} {c},{d}q{e},{f} {w},{up}M{x},{y}q{na},{b} {nc},{d}q{ne},{f} {nw},{up}",
            x = n(x),
            y = n(base - y),
            a = n(-0.85 * w),
            b = n(-0.2 * up),
            c = n(-w),
            d = n(-up),
            e = n(0.75 * w),
            f = n(-0.1 * up),
            w = n(w),
            up = n(up),
            na = n(0.85 * w),
            nc = n(w),
            ne = n(-0.75 * w),
            nw = n(-w),
        )
    };
    format!(
        "M{},{}v{}{}{}",
        n(x),
        n(base),
        n(-h),
        leaf(0.42 * h, 0.34 * h, 0.26 * h),
        leaf(0.74 * h, 0.24 * h, 0.24 * h)
    )
}
