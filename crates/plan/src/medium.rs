//! A medium fitted to weights or points, with its band, as a part.

use std::fmt::Write as _;
use tidewright_physics::media::Retention;
use tidewright_physics::media::fit::{alpha_of_drained, shape_of_drained, through_points};
use tidewright_rig::bench::Medium;
use tidewright_rig::weighed::Weighing;

/// What a weighed block loses by drips, and what its ruler misses, over its volume \[-\]. Ours, no source.
const HANDLING: f64 = 0.01;
/// Where one height tells no shape, n lies between these shares of the likened medium's n − 1. Ours, no source.
const SHAPES: [f64; 3] = [0.7, 1.0, 1.4];

/// A fitted medium.
#[derive(Clone, Debug, serde::Serialize)]
pub struct MediumFit {
    /// Name in the parts.
    pub id: String,
    /// Saturated content \[-\].
    pub theta_s: f64,
    /// Residual content \[-\].
    pub theta_r: f64,
    /// α \[1/m\]: likely, low, high.
    pub alpha_per_m: [f64; 3],
    /// n \[-\]: likely, low, high.
    pub n: [f64; 3],
    /// Dry density \[kg/m³\].
    pub dry_density_kg_m3: f64,
    /// Root mean square of what the curve misses \[-\], where points were fitted.
    pub residual: Option<f64>,
    /// Contents \[-\] that the curve misses at each point.
    pub misses: Vec<f64>,
    /// How it was fitted, in words.
    pub how: String,
    #[serde(skip)]
    retention: Retention,
    #[serde(skip)]
    like: Medium,
    #[serde(skip)]
    name: String,
}

/// Fits what was weighed; the error says in a sentence why nothing fits.
///
/// # Errors
/// A sentence where no curve goes through these weights or points.
pub fn fit(w: &Weighing) -> Result<MediumFit, String> {
    let lent = Retention { second: None, ..w.like.retention };
    let density = mean(w.blocks.iter().map(|b| b.dry_kg / b.volume_m3())).unwrap_or(w.like.dry_density);
    let base = |retention: Retention, how: String| MediumFit {
        id: w.id.clone(),
        theta_s: retention.theta_s,
        theta_r: retention.theta_r,
        alpha_per_m: [retention.alpha_per_m; 3],
        n: [retention.n; 3],
        dry_density_kg_m3: density,
        residual: None,
        misses: Vec::new(),
        how,
        retention,
        like: w.like.clone(),
        name: w.name.clone(),
    };
    if w.points.len() >= 4 {
        let f = through_points(&w.points).ok_or("no curve goes through these points")?;
        let misses: Vec<f64> =
            w.points.iter().map(|(h, c)| f.retention.water_content(tidewright_physics::quantity::m(*h)) - c).collect();
        let mut out =
            base(f.retention, format!("least squares through {} points, residual {:.3}", w.points.len(), f.residual));
        // A miss of the residual at a tenth of a metre, read as a change of α.
        let spread = (1.0 + 4.0 * f.residual).clamp(1.02, 2.0);
        out.alpha_per_m = [f.retention.alpha_per_m, f.retention.alpha_per_m / spread, f.retention.alpha_per_m * spread];
        out.residual = Some(f.residual);
        out.misses = misses;
        return Ok(out);
    }
    let theta_s = mean(w.blocks.iter().map(|b| b.content(b.saturated_kg))).ok_or("nothing was weighed")?;
    let like = Retention { theta_s, theta_r: lent.theta_r.min(0.5 * theta_s), ..lent };
    let mut drained: Vec<(f64, f64, f64)> = w
        .blocks
        .iter()
        .map(|b| {
            (
                b.size_m[2],
                b.content(b.drained_kg) * theta_s / b.content(b.saturated_kg),
                2.0 * w.scale_kg / (998.2 * b.volume_m3()) + HANDLING,
            )
        })
        .collect();
    drained.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (low, tall) = (drained[0], drained[drained.len() - 1]);
    let why = || {
        "no curve of this kind holds so much, or so little, when drained: weigh again, and let it drip longer"
            .to_owned()
    };
    if tall.0 > 1.3 * low.0 {
        let at = |a: f64, b: f64| shape_of_drained(like, (low.0, low.1 + a * low.2), (tall.0, tall.1 + b * tall.2));
        let (alpha, n) = at(0.0, 0.0).ok_or_else(why)?;
        let corners: Vec<(f64, f64)> =
            [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)].iter().filter_map(|(a, b)| at(*a, *b)).collect();
        let mut out = base(
            Retention { alpha_per_m: alpha, n, ..like },
            format!("two heights: α and n from {:.0} and {:.0} mm", low.0 * 1e3, tall.0 * 1e3),
        );
        out.alpha_per_m = span(alpha, corners.iter().map(|c| c.0));
        out.n = span(n, corners.iter().map(|c| c.1));
        return Ok(out);
    }
    let with = |share: f64| Retention { n: 1.0 + share * (like.n - 1.0), ..like };
    let alpha = alpha_of_drained(like, low.0, low.1).ok_or_else(why)?;
    let all =
        SHAPES.iter().flat_map(|s| [-1.0, 1.0].map(|e| alpha_of_drained(with(*s), low.0, low.1 + e * low.2))).flatten();
    let mut out = base(
        Retention { alpha_per_m: alpha, ..like },
        format!("one height: α from {:.0} mm, n lent by {}", low.0 * 1e3, w.like.name),
    );
    out.alpha_per_m = span(alpha, all);
    out.n = [like.n, with(SHAPES[0]).n, with(SHAPES[2]).n];
    Ok(out)
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, n) = values.fold((0.0, 0.0), |a, x| (a.0 + x, a.1 + 1.0));
    (n > 0.0).then(|| sum / n)
}

fn span(likely: f64, others: impl Iterator<Item = f64>) -> [f64; 3] {
    others.fold([likely; 3], |[m, lo, hi], x| [m, lo.min(x), hi.max(x)])
}

impl MediumFit {
    /// Mean content \[-\] of a drained block of this height \[m\], and its band by α alone.
    pub fn drained(&self, height_m: f64) -> [f64; 3] {
        let of = |alpha: f64| {
            Retention { alpha_per_m: alpha, ..self.retention }
                .container_capacity(tidewright_physics::quantity::m(height_m))
        };
        [of(self.alpha_per_m[0]), of(self.alpha_per_m[2]), of(self.alpha_per_m[1])]
    }

    /// The part, as a parts file has it.
    pub fn as_part(&self) -> String {
        let mut out = String::new();
        let l = &self.like;
        let text = |s: &str| toml_text(s);
        let _ = writeln!(out, "# {}", self.how);
        let _ = writeln!(out, "[[medium]]\nid = {}\nname = {}", text(&self.id), text(&self.name));
        let _ = writeln!(out, "theta_r = {:.4}\ntheta_s = {:.4}", self.theta_r, self.theta_s);
        let _ = writeln!(
            out,
            "alpha_per_m = {:.3}\nalpha_span = [{:.3}, {:.3}]\nn = {:.3}",
            self.alpha_per_m[0], self.alpha_per_m[1], self.alpha_per_m[2], self.n[0]
        );
        let _ = writeln!(out, "ks_m_s = {:e}\nwetting_alpha = {}", l.ks_m_s, l.wetting_alpha);
        let _ = writeln!(
            out,
            "dry_density_kg_m3 = {:.1}\ndry_content = {}",
            self.dry_density_kg_m3,
            l.dry_content.min(self.theta_s)
        );
        let _ = writeln!(out, "soak_s = {}\nrelease_s = {}\nwicks = {}", l.soak_s, l.release_s, l.wicks);
        let source = format!(
            "weighed at home, {}; α between {:.1} and {:.1} 1/m; conductivity and times lent by {}",
            self.how, self.alpha_per_m[1], self.alpha_per_m[2], l.name
        );
        let _ = writeln!(out, "source = {}", text(&source));
        out
    }
}

/// A basic string of TOML.
fn toml_text(s: &str) -> String {
    let mut out = String::from("\"");
    for c in s.chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
