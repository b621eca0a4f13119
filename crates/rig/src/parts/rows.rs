//! Rows of parts data as they are written.

use crate::bench::{Crop, Habit, Medium};
use serde::Deserialize;
use std::collections::BTreeMap;
use tidewright_physics::media::Retention;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CropRow {
    id: String,
    name: String,
    days: [f64; 5],
    leaf_area: f64,
    late: f64,
    kcb: f64,
    #[serde(default)]
    habit: Habit,
    source: String,
}

impl CropRow {
    pub(super) fn build(self) -> Result<Crop, String> {
        let sane = self.days.iter().all(|d| (0.0..=1000.0).contains(d))
            && self.days.iter().sum::<f64>() >= 1.0
            && (0.01..=12.0).contains(&self.leaf_area)
            && (0.0..=1.5).contains(&self.late)
            && (0.1..=1.5).contains(&self.kcb)
            && (0.01..=5.0).contains(&self.habit.height_m)
            && (0.01..=3.0).contains(&self.habit.across_m)
            && self.habit.dli[0] > 0.0
            && self.habit.dli[1] >= self.habit.dli[0]
            && self.habit.dli[1] < 100.0
            && self.habit.root_degc[1] > self.habit.root_degc[0];
        if !sane {
            return Err(format!("crop \"{}\" has values that no crop has", self.id));
        }
        Ok(Crop {
            id: self.id,
            name: self.name,
            days: self.days,
            leaf_area: self.leaf_area,
            late: self.late,
            kcb: self.kcb,
            habit: self.habit,
            source: self.source,
        })
    }
}

#[derive(Deserialize)]
pub(super) struct PartRow {
    pub(super) id: String,
    pub(super) kind: String,
    pub(super) name: String,
    pub(super) source: String,
    #[serde(flatten)]
    pub(super) values: BTreeMap<String, toml::Value>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MediumRow {
    id: String,
    name: String,
    theta_r: f64,
    theta_s: f64,
    alpha_per_m: f64,
    /// Span of α where it was measured: low, high.
    alpha_span: Option<[f64; 2]>,
    n: f64,
    second_share: Option<f64>,
    second_alpha_per_m: Option<f64>,
    second_n: Option<f64>,
    /// Left out of a part of one's own it is taken as that of fibres and coir.
    #[serde(default = "usual_ks")]
    ks_m_s: f64,
    /// Left out it is that of soils on the average.
    #[serde(default = "usual_wetting")]
    wetting_alpha: f64,
    dry_density_kg_m3: f64,
    dry_content: f64,
    soak_s: f64,
    release_s: f64,
    wicks: bool,
    /// Floods a day that growers give: seedlings, growing, full stand; low and high.
    usual_floods: Option<[[f64; 2]; 3]>,
    source: String,
}

fn usual_wetting() -> f64 {
    2.0
}

fn usual_ks() -> f64 {
    5e-4
}

impl MediumRow {
    pub(super) fn build(self) -> Result<Medium, String> {
        let sane = self.theta_r >= 0.0
            && self.theta_s > self.theta_r
            && self.theta_s <= 1.0
            && self.alpha_per_m > 0.0
            && self
                .alpha_span
                .is_none_or(|[lo, hi]| lo > 0.0 && lo <= self.alpha_per_m && hi >= self.alpha_per_m && hi < 1e4)
            && self.n > 1.0
            && self.ks_m_s > 0.0
            && self.ks_m_s < 1.0
            && (1.0..=10.0).contains(&self.wetting_alpha)
            && self.dry_density_kg_m3 > 0.0
            && (0.0..=self.theta_s).contains(&self.dry_content)
            && self.soak_s > 0.0
            && self.release_s > 0.0;
        if !sane {
            return Err(format!("medium \"{}\" has values that no medium has", self.id));
        }
        let second = match (self.second_share, self.second_alpha_per_m, self.second_n) {
            (Some(share), Some(alpha), Some(n)) if n > 1.0 && alpha > 0.0 && (0.0..=1.0).contains(&share) => {
                Some((share, alpha, n))
            }
            (None, None, None) => None,
            _ => return Err(format!("medium \"{}\" has half a second pore domain", self.id)),
        };
        Ok(Medium {
            retention: Retention {
                theta_r: self.theta_r,
                theta_s: self.theta_s,
                alpha_per_m: self.alpha_per_m,
                n: self.n,
                second,
            },
            id: self.id,
            name: self.name,
            alpha_span: self.alpha_span.map_or((self.alpha_per_m, self.alpha_per_m), |[lo, hi]| (lo, hi)),
            ks_m_s: self.ks_m_s,
            wetting_alpha: self.wetting_alpha,
            dry_density: self.dry_density_kg_m3,
            dry_content: self.dry_content,
            soak_s: self.soak_s,
            release_s: self.release_s,
            wicks: self.wicks,
            usual_floods: self.usual_floods,
            source: self.source,
        })
    }
}
