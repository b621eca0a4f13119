//! The block as a column of cells, from its underside up.

use std::sync::Arc;
use tidewright_physics::media::{AtHead, Porous};

/// Compressibility of a saturated cell \[1/m\]: without any its head would be free. It stores a
/// millilitre a cubic metre and centimetre of head.
const STORAGE_PER_M: f64 = 1e-6;

/// One medium over a height.
#[derive(Clone, Debug)]
pub struct Layer {
    /// What it is.
    pub medium: Arc<dyn Porous>,
    /// Heights of its cells \[m\], from below.
    pub cells_m: Vec<f64>,
}

impl Layer {
    /// Equal cells.
    pub fn even(medium: Arc<dyn Porous>, height_m: f64, cells: usize) -> Self {
        Self { medium, cells_m: vec![height_m / cells as f64; cells] }
    }

    /// Cells that grow from both ends to the middle by `ratio` from one to the next: water moves most where
    /// the block stands and where it meets the air.
    pub fn graded(medium: Arc<dyn Porous>, height_m: f64, cells: usize, ratio: f64) -> Self {
        let weight = |i: usize| ratio.powi(i.min(cells - 1 - i) as i32);
        let sum: f64 = (0..cells).map(weight).sum();
        Self { medium, cells_m: (0..cells).map(|i| height_m * weight(i) / sum).collect() }
    }
}

/// A block: layers of media one on the other, and the pressure head in each cell.
#[derive(Clone, Debug)]
pub struct Column {
    media: Vec<Arc<dyn Porous>>,
    medium_of: Vec<usize>,
    /// Saturated conductivity of each medium \[m/s\].
    wet: Vec<f64>,
    /// Its pore space \[-\], taken as the saturated content.
    pores: Vec<f64>,
    /// Heights of the cells \[m\].
    pub(super) dz: Vec<f64>,
    /// Middles of the cells over the underside \[m\].
    pub(super) z: Vec<f64>,
    /// One over the way from each middle to the next \[1/m\].
    pub(super) per_m: Vec<f64>,
    /// Pressure head \[m\].
    pub(super) head: Vec<f64>,
    /// Water content \[-\]: what the fluxes brought, which is the head's own to within the search for it.
    pub(super) content: Vec<f64>,
    height: f64,
}

/// What changes in a column.
#[derive(Clone, Debug, Default)]
pub(crate) struct Kept {
    head: Vec<f64>,
    content: Vec<f64>,
}

impl Column {
    /// Layers from below, in equilibrium with water at the underside: h = −z.
    pub fn resting(layers: &[Layer]) -> Self {
        let media: Vec<Arc<dyn Porous>> = layers.iter().map(|l| Arc::clone(&l.medium)).collect();
        let wet = media.iter().map(|m| m.at(0.0).conductivity).collect();
        let pores = media.iter().map(|m| m.at(0.0).content).collect();
        let medium_of = layers.iter().enumerate().flat_map(|(i, l)| l.cells_m.iter().map(move |_| i)).collect();
        let dz: Vec<f64> = layers.iter().flat_map(|l| l.cells_m.iter().copied()).collect();
        let mut height = 0.0;
        let z: Vec<f64> = dz
            .iter()
            .map(|d| {
                height += d;
                height - 0.5 * d
            })
            .collect();
        let per_m = z.windows(2).map(|w| 1.0 / (w[1] - w[0])).collect();
        let empty = Self { media, medium_of, wet, pores, per_m, head: Vec::new(), content: Vec::new(), dz, z, height };
        empty.with_heads(|z| -z)
    }

    /// The same block with this head \[m\] at each height.
    #[must_use]
    pub fn with_heads(mut self, head_at: impl Fn(f64) -> f64) -> Self {
        self.head = self.z.iter().map(|z| head_at(*z)).collect();
        self.content = (0..self.dz.len()).map(|i| self.at(i, self.head[i]).content).collect();
        self
    }

    /// Writes heads and contents down …
    pub(crate) fn keep(&self, kept: &mut Kept) {
        kept.head.clone_from(&self.head);
        kept.content.clone_from(&self.content);
    }

    /// … and goes back to them.
    pub(crate) fn go_back(&mut self, kept: &Kept) {
        self.head.clone_from(&kept.head);
        self.content.clone_from(&kept.content);
    }

    /// Height of the block \[m\].
    pub fn height_m(&self) -> f64 {
        self.height
    }

    /// Middles of the cells over the underside \[m\].
    pub fn heights_m(&self) -> &[f64] {
        &self.z
    }

    /// Heights of the cells themselves \[m\].
    pub fn sizes_m(&self) -> &[f64] {
        &self.dz
    }

    /// Pressure head in each cell \[m\].
    pub fn heads_m(&self) -> &[f64] {
        &self.head
    }

    /// Water content of each cell \[-\].
    pub fn contents(&self) -> &[f64] {
        &self.content
    }

    /// Air-filled porosity of each cell \[-\], the pore space taken as the saturated content.
    pub fn air(&self) -> Vec<f64> {
        (0..self.dz.len()).map(|i| (self.pores(i) - self.content[i]).max(0.0)).collect()
    }

    /// Water over the whole height \[m³ per m² of plan\].
    pub fn water_m(&self) -> f64 {
        self.dz.iter().zip(&self.content).map(|(d, c)| d * c).sum()
    }

    /// Mean water content over the whole height \[-\].
    pub fn mean_content(&self) -> f64 {
        self.water_m() / self.height
    }

    /// The medium of a cell.
    pub(super) fn medium(&self, cell: usize) -> &dyn Porous {
        &*self.media[self.medium_of[cell]]
    }

    /// Conductivity of a cell's medium when saturated \[m/s\].
    pub(super) fn wet_conductivity(&self, cell: usize) -> f64 {
        self.wet[self.medium_of[cell]]
    }

    /// Pore space of a cell \[-\].
    pub(crate) fn pores(&self, cell: usize) -> f64 {
        self.pores[self.medium_of[cell]]
    }

    /// Every cell at its head.
    pub(super) fn at_each(&self, heads: &[f64], out: &mut [AtHead]) {
        let mut from = 0;
        while from < heads.len() {
            let medium = self.medium_of[from];
            let to = from + self.medium_of[from..].partition_point(|m| *m == medium);
            self.media[medium].at_each(&heads[from..to], &mut out[from..to]);
            from = to;
        }
        for (h, a) in heads.iter().zip(out).filter(|(h, _)| **h > 0.0) {
            a.content += STORAGE_PER_M * h;
            a.capacity += STORAGE_PER_M;
        }
    }

    /// A cell at a head; above saturation it takes a little more by its compressibility.
    pub(super) fn at(&self, cell: usize, head: f64) -> AtHead {
        let mut a = self.medium(cell).at(head);
        a.content += STORAGE_PER_M * head.max(0.0);
        a.capacity += if head > 0.0 { STORAGE_PER_M } else { 0.0 };
        a
    }
}
