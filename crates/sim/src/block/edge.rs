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
    /// So much would evaporate \[m/s\]; a top that has dried gives less: what the block brings up to a surface
    /// as dry as air makes it.
    Drying(f64),
}

/// Water beside open sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// Its level over the underside \[m\].
    pub level_m: f64,
    /// How it enters.
    pub entry: Entry,
}

/// How water passes open sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entry {
    /// Cells below the level stand in it at once: the quick limit.
    AtOnce,
    /// By a linear driving force over the width: β K (P − h) into each volume, P the head outside, K the mean of the
    /// cell's and the saturated one, β \[1/m²\]. A saturated cell above the level gives off as much.
    Through(f64),
}

impl Entry {
    /// β of a block of this width and length \[m\], open on all four sides: c (1/a² + 1/b²), c = 12.
    ///
    /// Source: steady seepage from a slab's middle to both sides, mean over its width (closed form; linear driving
    /// force of Glueckauf, Trans. Faraday Soc. 51 (1955) 1540–1551, from memory). How far it is from two dimensions
    /// stands in `docs/block-model.md`.
    pub fn of_block(width_m: f64, length_m: f64) -> Self {
        Self::Through(12.0 * (width_m.powi(-2) + length_m.powi(-2)))
    }
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
    /// Share ω of its demand, stress alone counted, from which roots in wet parts make up for those in dry ones \[-\]; 1 where
    /// they do not.
    pub makes_up_from: f64,
}

impl Roots {
    /// Factor on what each root takes, by which those in wet parts make up for others: 1/max(ω, ω_c), ω = Σ share · stress.
    ///
    /// Source: Jarvis, Agric. Water Manage. 15 (1989) 229–244, compensated uptake with a threshold ω_c (from memory; 0.5 is
    /// usual).
    /// Evidence: `evidence/roots/stress.toml`.
    pub fn makes_up(&self, heads_m: &[f64]) -> f64 {
        if self.makes_up_from >= 1.0 {
            return 1.0;
        }
        let index: f64 = heads_m.iter().zip(&self.shares).map(|(h, s)| s * self.stress(*h).0).sum();
        1.0 / index.max(self.makes_up_from)
    }

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
    /// Water beside open sides; none where a film keeps it off.
    pub beside: Option<Beside>,
    /// Over the block.
    pub top: Top,
    /// Roots, where there are any.
    pub roots: Option<Roots>,
}

impl Around {
    /// A block on a drained floor, without roots, under still air.
    pub fn drained() -> Self {
        Self { base: Base::Seeping, beside: None, top: Top::Evaporating(0.0), roots: None }
    }

    /// Level below which cells stand in water from one moment to the next \[m\].
    pub(super) fn held_to(&self) -> f64 {
        match self.beside {
            Some(Beside { level_m, entry: Entry::AtOnce }) => level_m,
            _ => f64::NEG_INFINITY,
        }
    }

    /// A block in a flood of this depth \[m\]; water enters open sides at once, a film around them keeps it to
    /// the underside.
    pub fn flooded(depth_m: f64, wrapped: bool) -> Self {
        Self {
            base: Base::Standing(depth_m),
            beside: (!wrapped).then_some(Beside { level_m: depth_m, entry: Entry::AtOnce }),
            ..Self::drained()
        }
    }
}
