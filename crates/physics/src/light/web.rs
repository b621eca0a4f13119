//! Luminous intensity over directions, as a photometric file has it: type C, nadir at 0°.

use std::f64::consts::PI;

/// Candela over vertical angle γ (0 below, 180 above) and horizontal angle C.
#[derive(Clone, Debug, PartialEq)]
pub struct Web {
    vertical_deg: Vec<f64>,
    horizontal_deg: Vec<f64>,
    /// Row by row: one horizontal plane, all its vertical angles.
    candela: Vec<f64>,
    /// All light \[lm\].
    lumens: f64,
}

/// How much of the round a file tells; the rest mirrors it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Symmetry {
    /// One plane: the same all round.
    Round,
    /// 0–90°: four quarters alike.
    Quarter,
    /// 0–180°: both halves alike.
    Half,
    /// 0–360°.
    None,
}

impl Web {
    /// From angles \[degrees\], rising, and intensities plane by plane; none where the shape is not that of a type C web.
    ///
    /// Vertical: from 0 or 90 up to 90 or 180. Horizontal: 0 alone, 0 to 90, 180 or 360; 90 to 270 is not read.
    /// Source: ANSI/IES LM-63 (from memory).
    pub fn new(vertical_deg: Vec<f64>, horizontal_deg: Vec<f64>, candela: Vec<f64>) -> Option<Self> {
        let rising = |x: &[f64]| x.windows(2).all(|w| w[1] > w[0]) && x.iter().all(|a| a.is_finite());
        let (first, last) = (*vertical_deg.first()?, *vertical_deg.last()?);
        let (from, to) = (*horizontal_deg.first()?, *horizontal_deg.last()?);
        let near = |a: f64, b: f64| (a - b).abs() < 0.01;
        let fits = vertical_deg.len() >= 2
            && rising(&vertical_deg)
            && rising(&horizontal_deg)
            && (near(first, 0.0) || near(first, 90.0))
            && (near(last, 90.0) || near(last, 180.0))
            && near(from, 0.0)
            && [0.0, 90.0, 180.0, 360.0].iter().any(|x| near(to, *x))
            && candela.len() == vertical_deg.len() * horizontal_deg.len()
            && candela.iter().all(|c| c.is_finite() && *c >= 0.0);
        if !fits {
            return None;
        }
        let mut web = Self { vertical_deg, horizontal_deg, candela, lumens: 0.0 };
        web.lumens = web.summed();
        Some(web)
    }

    /// How much of the round it tells.
    pub fn symmetry(&self) -> Symmetry {
        match self.horizontal_deg.last().copied().unwrap_or(0.0) {
            x if x < 45.0 => Symmetry::Round,
            x if x < 135.0 => Symmetry::Quarter,
            x if x < 270.0 => Symmetry::Half,
            _ => Symmetry::None,
        }
    }

    /// Intensity \[cd\] in a direction, straight between the angles beside it; nil outside of what the file tells.
    ///
    /// Evidence: `evidence/light/photometry.toml`.
    pub fn candela(&self, vertical_deg: f64, horizontal_deg: f64) -> f64 {
        let h = horizontal_deg.rem_euclid(360.0);
        let folded = match self.symmetry() {
            Symmetry::Round => 0.0,
            Symmetry::Quarter => {
                let half = if h > 180.0 { 360.0 - h } else { h };
                if half > 90.0 { 180.0 - half } else { half }
            }
            Symmetry::Half => {
                if h > 180.0 {
                    360.0 - h
                } else {
                    h
                }
            }
            Symmetry::None => h,
        };
        let (Some(v), Some(h)) = (between(&self.vertical_deg, vertical_deg), between(&self.horizontal_deg, folded))
        else {
            return 0.0;
        };
        let row = |j: usize| {
            let at = |i: usize| self.candela[j * self.vertical_deg.len() + i];
            at(v.0) + v.2 * (at(v.1) - at(v.0))
        };
        row(h.0) + h.2 * (row(h.1) - row(h.0))
    }

    /// All light \[lm\].
    ///
    /// Evidence: `evidence/light/photometry.toml`.
    pub fn lumens(&self) -> f64 {
        self.lumens
    }

    /// ∫ I dΩ, by zones of half a degree, and planes of five.
    fn summed(&self) -> f64 {
        const ZONES: usize = 360;
        const PLANES: usize = 72;
        let mut sum = 0.0;
        for i in 0..ZONES {
            let (from, to) = (PI * i as f64 / ZONES as f64, PI * (i + 1) as f64 / ZONES as f64);
            let middle = (0.5 * (from + to)).to_degrees();
            let planes = if self.symmetry() == Symmetry::Round { 1 } else { PLANES };
            let mean = (0..planes).map(|j| self.candela(middle, (j as f64 + 0.5) * 360.0 / planes as f64)).sum::<f64>()
                / planes as f64;
            sum += 2.0 * PI * (from.cos() - to.cos()) * mean;
        }
        sum
    }
}

/// Neighbours of a value in a rising list and how far it lies between them.
fn between(all: &[f64], x: f64) -> Option<(usize, usize, f64)> {
    let (first, last) = (*all.first()?, *all.last()?);
    if x < first - 1e-9 || x > last + 1e-9 {
        return None;
    }
    let j = all.partition_point(|a| *a <= x).min(all.len() - 1);
    let i = j.saturating_sub(1);
    let gap = all[j] - all[i];
    Some((i, j, if gap > 0.0 { ((x - all[i]) / gap).clamp(0.0, 1.0) } else { 0.0 }))
}
