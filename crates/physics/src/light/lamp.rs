//! Lamps in the room, and the map of their light on a level canopy.

use super::web::Web;
use std::f64::consts::{FRAC_PI_4, PI};

/// How a lamp throws its light.
#[derive(Clone, Debug, PartialEq)]
pub enum Throw {
    /// Intensity falls as cosᵐ of the angle from straight down.
    Cosine(f64),
    /// By a photometric file, scaled to the lamp's photons.
    Web(Web),
}

/// One lamp: it hangs level, its light goes down.
#[derive(Clone, Debug, PartialEq)]
pub struct Lamp {
    /// Middle along and across the tray, from the tray's middle \[m\].
    pub at_m: (f64, f64),
    /// Above the canopy \[m\].
    pub height_m: f64,
    /// Luminous length and width \[m\]; nil both for a point.
    pub size_m: (f64, f64),
    /// Photons of 400–700 nm \[µmol/s\].
    pub photons_umol_s: f64,
    /// How it throws them.
    pub throw: Throw,
}

/// The plan of a canopy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    /// Sides of the rectangle around it \[m\].
    pub size_m: (f64, f64),
    /// Whether it is the ellipse in that rectangle, as of a round tub.
    pub round: bool,
}

impl Plan {
    /// Area \[m²\].
    pub fn area_m2(&self) -> f64 {
        self.size_m.0 * self.size_m.1 * if self.round { FRAC_PI_4 } else { 1.0 }
    }

    /// Whether a place is on it, from its middle \[m\].
    pub fn holds(&self, (x, y): (f64, f64)) -> bool {
        let (l, w) = self.size_m;
        !self.round || (2.0 * x / l).powi(2) + (2.0 * y / w).powi(2) <= 1.0
    }
}

impl From<(f64, f64)> for Plan {
    fn from(size_m: (f64, f64)) -> Self {
        Self { size_m, round: false }
    }
}

/// A map of PPFD on a level canopy, row by row from the front left corner of the rectangle around it.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// Points along and across.
    pub points: (usize, usize),
    /// What is lit.
    pub plan: Plan,
    /// PPFD at all points of the rectangle \[µmol/(m² s)\].
    pub ppfd: Vec<f64>,
}

impl Map {
    /// PPFD at the points that are on the canopy.
    pub fn on_canopy(&self) -> impl Iterator<Item = f64> {
        let along = self.points.0.max(1);
        let here = move |k: usize| self.plan.holds(self.place(k % along, k / along));
        self.ppfd.iter().enumerate().filter(move |(k, _)| !self.plan.round || here(*k)).map(|(_, e)| *e)
    }

    /// Mean \[µmol/(m² s)\].
    pub fn mean(&self) -> f64 {
        let (sum, count) = self.on_canopy().fold((0.0, 0), |(s, n), e| (s + e, n + 1));
        sum / f64::from(count.max(1))
    }

    /// Least.
    pub fn least(&self) -> f64 {
        self.on_canopy().fold(f64::INFINITY, f64::min)
    }

    /// Most.
    pub fn most(&self) -> f64 {
        self.on_canopy().fold(0.0, f64::max)
    }

    /// Least over mean, and least over most \[-\].
    pub fn uniformity(&self) -> (f64, f64) {
        (self.least() / self.mean().max(1e-300), self.least() / self.most().max(1e-300))
    }

    /// Photons that land on it \[µmol/s\].
    pub fn caught_umol_s(&self) -> f64 {
        self.mean() * self.plan.area_m2()
    }

    /// Middle of a point, from the canopy's middle \[m\].
    pub fn place(&self, i: usize, j: usize) -> (f64, f64) {
        let of = |k: usize, n: usize, l: f64| (k as f64 + 0.5) / n as f64 * l - 0.5 * l;
        (of(i, self.points.0, self.plan.size_m.0), of(j, self.points.1, self.plan.size_m.1))
    }
}

/// A lamp longer than a fifth of its height is split until its parts are not (IES: five times the size is a point).
const SIZES_AWAY: f64 = 5.0;
/// At most so many parts along one side.
const MOST_PARTS: usize = 48;

/// PPFD on a level canopy, at the middles of equal parts of the rectangle around it: E = Σ I(θ, C) cos θ/d².
///
/// Walls: a share of the photons that miss the canopy comes back, evenly: `reflected` \[-\], nil for none. Common practice, no
/// source: reflective walls close around a tray give back a third to a half.
/// Evidence: `evidence/light/map.toml`.
pub fn map(lamps: &[Lamp], plan: impl Into<Plan>, points: (usize, usize), reflected: f64) -> Map {
    let plan = plan.into();
    let mut out = Map { points, plan, ppfd: vec![0.0; points.0 * points.1] };
    let mut emitted = 0.0;
    for lamp in lamps {
        emitted += lamp.photons_umol_s;
        add(&mut out, lamp);
    }
    // A lamp so near that one point stands for a bright spot would seem to give more than it has.
    let caught = out.caught_umol_s();
    if caught > emitted && caught > 0.0 {
        out.ppfd.iter_mut().for_each(|e| *e *= emitted / caught);
    }
    let missed = (emitted - out.caught_umol_s()).max(0.0);
    let back = reflected.clamp(0.0, 1.0) * missed / plan.area_m2();
    if back > 0.0 {
        out.ppfd.iter_mut().for_each(|e| *e += back);
    }
    out
}

fn parts(side: f64, height: f64) -> usize {
    ((SIZES_AWAY * side / height).ceil() as usize).clamp(1, MOST_PARTS)
}

fn add(map: &mut Map, lamp: &Lamp) {
    let h = lamp.height_m;
    if h.is_nan() || h <= 0.0 {
        return;
    }
    let (nx, ny) = (parts(lamp.size_m.0, h), parts(lamp.size_m.1, h));
    let share = lamp.photons_umol_s / (nx * ny) as f64;
    let along: Vec<f64> = (0..map.points.0).map(|i| map.place(i, 0).0).collect();
    let across: Vec<f64> = (0..map.points.1).map(|j| map.place(0, j).1).collect();
    for part in 0..nx * ny {
        let of = |k: usize, n: usize, l: f64| ((k as f64 + 0.5) / n as f64 - 0.5) * l;
        let x = lamp.at_m.0 + of(part % nx, nx, lamp.size_m.0);
        let y = lamp.at_m.1 + of(part / nx, ny, lamp.size_m.1);
        match &lamp.throw {
            Throw::Cosine(m) => add_cosine(map, (&along, &across), (x, y, h), share, *m),
            Throw::Web(web) => add_web(map, (&along, &across), (x, y, h), share, web),
        }
    }
}

fn add_cosine(map: &mut Map, (along, across): (&[f64], &[f64]), (x, y, h): (f64, f64, f64), flux: f64, m: f64) {
    let lambert = (m - 1.0).abs() < 1e-12;
    let k = (m + 1.0) * flux / (2.0 * PI);
    for (row, py) in map.ppfd.chunks_exact_mut(along.len()).zip(across) {
        let base = h * h + (py - y) * (py - y);
        for (e, px) in row.iter_mut().zip(along) {
            let d2 = base + (px - x) * (px - x);
            // cos²θ = h²/d²: a cosine to any power stays between nil and one.
            *e += if lambert { k * h * h / (d2 * d2) } else { k * (h * h / d2).powf(0.5 * (m + 1.0)) / d2 };
        }
    }
}

fn add_web(map: &mut Map, (along, across): (&[f64], &[f64]), (x, y, h): (f64, f64, f64), flux: f64, web: &Web) {
    let per_candela = flux / web.lumens().max(1e-300);
    for (row, py) in map.ppfd.chunks_exact_mut(along.len()).zip(across) {
        for (e, px) in row.iter_mut().zip(along) {
            let (dx, dy) = (px - x, py - y);
            let r2 = dx * dx + dy * dy;
            let d2 = h * h + r2;
            let vertical = r2.sqrt().atan2(h).to_degrees();
            let horizontal = dy.atan2(dx).to_degrees();
            *e += per_candela * web.candela(vertical, horizontal) * h / (d2 * d2.sqrt());
        }
    }
}
