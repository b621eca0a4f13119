//! The blocks of a tray as cells: what they are made of, and where their roots are.

use super::Branch;
use crate::block::{Column, Layer};
use std::sync::Arc;
use tidewright_physics::media::{Hydraulic, Porous, Tabulated};
use tidewright_rig::bench::{Blocks, Medium, Stage};

/// Height of a cell about the middle of a block \[m\].
const CELL_M: f64 = 0.004;

/// A tray's blocks as cells, at rest on a drained floor.
pub(super) fn column(blocks: &Blocks, branch: Branch) -> Column {
    let layers = (blocks.layers.get() as usize).max(1);
    let height = blocks.height.get().value;
    let cells = ((height / CELL_M).ceil() as usize).clamp(10, 60);
    let layer = |medium: &Medium| Layer::graded(followed(medium, branch), height, cells, 1.06);
    let mut all = vec![layer(&blocks.medium); layers];
    if let Some(lower) = &blocks.lower {
        all[0] = layer(lower);
    }
    Column::resting(&all)
}

/// A medium on one of its curves, looked up.
fn followed(medium: &Medium, branch: Branch) -> Arc<dyn Porous> {
    let retention = match branch {
        Branch::Drying => medium.retention,
        Branch::Wettest => medium.retention.with_alpha(medium.alpha_span.0),
        Branch::Wetting => medium.retention.with_alpha(medium.alpha_span.1).wetting(medium.wetting_alpha),
    };
    Arc::new(Tabulated::of(Arc::new(Hydraulic { retention, ks_m_s: medium.ks_m_s, connection: 0.5 })))
}

/// Roots spread evenly; before they leave the plug they stand in the upper half.
pub(super) fn root_shares(block: &Column, stage: Stage) -> Vec<f64> {
    let from = if stage == Stage::Rooting { 0.5 * block.height_m() } else { 0.0 };
    let sizes = block.sizes_m();
    let in_reach = |i: usize| if block.heights_m()[i] >= from { sizes[i] } else { 0.0 };
    let all: f64 = (0..sizes.len()).map(in_reach).sum();
    (0..sizes.len()).map(|i| in_reach(i) / all).collect()
}
