//! What surrounds a block: floor, flood, air above, roots inside.

/// Under the block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Base {
    /// It stands on a drained floor: what is in excess seeps out, nothing comes in.
    Seeping,
    /// Water stands this high over its underside \[m\] and enters or leaves there.
    Standing(f64),
    /// A head is kept there \[m\].
    Head(f64),
    /// So much enters \[m/s\].
    Flow(f64),
}

/// Over the block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Top {
    /// So much evaporates \[m/s\]; negative where water comes from above.
    Evaporating(f64),
    /// A head is kept there \[m\].
    Head(f64),
}

/// Roots that drink.
#[derive(Clone, Debug, PartialEq)]
pub struct Roots {
    /// What the crop asks for, per plan area of the block \[m/s\].
    pub demand_m_s: f64,
    /// Share of the roots in each cell; they sum to 1.
    pub shares: Vec<f64>,
    /// Heads h₁ … h₄ of the stress function \[m\]: none above h₁, all from h₂ to h₃, none below h₄.
    pub stress_m: [f64; 4],
}

impl Roots {
    /// Share of its demand that a root at this head gets, and its slope \[1/m\].
    ///
    /// 0 above h₁, rising to 1 at h₂, 1 to h₃, falling to 0 at h₄, straight between.
    /// Source: Feddes, Kowalik & Zaradny, *Simulation of Field Water Use and Crop Yield*, 1978 (from memory).
    /// Evidence: `evidence/roots/stress.toml`.
    pub fn stress(&self, head_m: f64) -> (f64, f64) {
        let [h1, h2, h3, h4] = self.stress_m;
        if head_m >= h1 || head_m <= h4 {
            (0.0, 0.0)
        } else if head_m > h2 {
            ((h1 - head_m) / (h1 - h2), -1.0 / (h1 - h2))
        } else if head_m >= h3 {
            (1.0, 0.0)
        } else {
            ((head_m - h4) / (h3 - h4), 1.0 / (h3 - h4))
        }
    }
}

/// All of it, for a while.
#[derive(Clone, Debug, PartialEq)]
pub struct Around {
    /// Under the block.
    pub base: Base,
    /// Level of the water beside open sides, over the underside \[m\]: cells below it stand in it.
    pub beside_m: Option<f64>,
    /// Over the block.
    pub top: Top,
    /// Roots, where there are any.
    pub roots: Option<Roots>,
}

impl Around {
    /// A block on a drained floor, without roots, under still air.
    pub fn drained() -> Self {
        Self { base: Base::Seeping, beside_m: None, top: Top::Evaporating(0.0), roots: None }
    }

    /// Level below which cells stand in water \[m\].
    pub(super) fn held_to(&self) -> f64 {
        self.beside_m.unwrap_or(f64::NEG_INFINITY)
    }

    /// A block in a flood of this depth \[m\]; water enters open sides at once, a film around them keeps it to
    /// the underside.
    pub fn flooded(depth_m: f64, wrapped: bool) -> Self {
        Self { base: Base::Standing(depth_m), beside_m: (!wrapped).then_some(depth_m), ..Self::drained() }
    }
}
