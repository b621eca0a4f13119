//! Salt in a block: it goes where the water goes, spreads, and is left where water leaves without it.
//!
//! Per cell, c the concentration in its water over that of the reservoir:
//! d(Δz θ c) = what the water over its faces and sides carries + dispersion − what roots take. One implicit upwind step for
//! each piece of the water's way, so that nothing falls below nil. Water that evaporates carries none.

use crate::drift::{HALF_LEFT, Takes};

/// A piece of the water's way through a block, cell by cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// How long \[s\].
    pub dt_s: f64,
    /// Contents before and after \[-\].
    pub content: (Vec<f64>, Vec<f64>),
    /// Up over the face under each cell, and over the top \[m\].
    pub face_m: Vec<f64>,
    /// To the roots of each cell \[m\].
    pub drunk_m: Vec<f64>,
    /// In through the sides of each cell \[m\].
    pub entered_m: Vec<f64>,
}

/// How salt spreads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Diffusivity in free water \[m²/s\].
    pub free_m2_s: f64,
    /// Dispersivity \[m\].
    pub along_m: f64,
}

impl Default for Spread {
    /// 1.6·10⁻⁹ m²/s, about that of KNO₃ at 20 °C, and 5 mm, of the order of a tenth of a block's height. From memory.
    fn default() -> Self {
        Self { free_m2_s: 1.6e-9, along_m: 0.005 }
    }
}

/// What salt moved \[m of reservoir water's worth\]; into the block is positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Salted {
    /// With water through underside and sides.
    pub with_water: f64,
    /// With water poured on from above.
    pub from_above: f64,
    /// Taken by roots; negative.
    pub taken: f64,
}

/// Salt in the cells of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Salt {
    /// Concentration over that of the reservoir \[-\].
    pub over: Vec<f64>,
    rows: Vec<[f64; 4]>,
}

/// No cell is drier than this to salt \[-\].
const DRY: f64 = 1e-6;

impl Salt {
    /// Everywhere as in the reservoir.
    pub fn even(cells: usize) -> Self {
        Self { over: vec![1.0; cells], rows: Vec::new() }
    }

    /// All of it \[m of reservoir water's worth\].
    pub fn total_m(&self, sizes_m: &[f64], content: &[f64]) -> f64 {
        self.over.iter().zip(sizes_m).zip(content).map(|((c, d), t)| c * d * t).sum()
    }

    /// Goes along with a piece of water; `reservoir` and `poured` are the concentrations of what floods and what is poured on.
    ///
    /// Dispersion over a face: θ D₀ θ^(7/3)/φ² + α |q|, less what the upwind step spreads by itself.
    /// Sources: advection–dispersion, Bear, Dynamics of Fluids in Porous Media (1972), ch. 10; tortuosity of Millington & Quirk (1961).
    /// Evidence: `evidence/solution/salt.toml`.
    pub fn advance(
        &mut self,
        piece: &Piece,
        sizes_m: &[f64],
        pores: &[f64],
        spread: Spread,
        takes: Takes,
        (reservoir, poured): (f64, f64),
    ) -> Salted {
        let n = self.over.len();
        let mut rows = std::mem::take(&mut self.rows);
        rows.clear();
        rows.resize(n, [0.0; 4]);
        let (old, new) = (&piece.content.0, &piece.content.1);
        let tortuous = |i: usize| {
            let t = new[i].max(DRY);
            t.powf(10.0 / 3.0) / (pores[i] * pores[i])
        };
        for i in 0..n {
            let dz = sizes_m[i];
            rows[i][1] += dz * new[i].max(DRY);
            rows[i][3] += dz * old[i].max(DRY) * self.over[i];
            // What roots take of salt with their water.
            rows[i][1] += match takes {
                Takes::Share(k) => k * piece.drunk_m[i],
                Takes::Amount(u) if u > 0.0 => u * piece.drunk_m[i] / (self.over[i] + HALF_LEFT * u),
                Takes::Amount(_) => 0.0,
            };
            let side = piece.entered_m[i];
            if side > 0.0 {
                rows[i][3] += side * reservoir;
            } else {
                rows[i][1] -= side;
            }
            // The face below.
            let up = piece.face_m[i];
            if i == 0 {
                if up > 0.0 {
                    rows[0][3] += up * reservoir;
                } else {
                    rows[0][1] -= up;
                }
                continue;
            }
            if up > 0.0 {
                rows[i - 1][1] += up;
                rows[i][0] -= up;
            } else {
                rows[i][1] -= up;
                rows[i - 1][2] += up;
            }
            let apart = 0.5 * (sizes_m[i - 1] + dz);
            let diffuses = piece.dt_s * spread.free_m2_s * 2.0
                / (sizes_m[i - 1] / tortuous(i - 1).max(1e-12) + dz / tortuous(i).max(1e-12));
            let disperses = (spread.along_m - 0.5 * apart).max(0.0) * up.abs() / apart;
            let g = diffuses + disperses;
            rows[i][1] += g;
            rows[i][0] -= g;
            rows[i - 1][1] += g;
            rows[i - 1][2] -= g;
        }
        let top = piece.face_m[n];
        if top < 0.0 {
            rows[n - 1][3] -= top * poured;
        }
        let before = self.over.clone();
        super::oxygen::solve(&mut rows, &mut self.over);
        let mut moved = Salted::default();
        for (i, (c, was)) in self.over.iter().copied().zip(before).enumerate() {
            moved.taken -= c * match takes {
                Takes::Share(k) => k * piece.drunk_m[i],
                Takes::Amount(u) if u > 0.0 => u * piece.drunk_m[i] / (was + HALF_LEFT * u),
                Takes::Amount(_) => 0.0,
            };
            let side = piece.entered_m[i];
            moved.with_water += side * if side > 0.0 { reservoir } else { c };
        }
        let base = piece.face_m[0];
        moved.with_water += base * if base > 0.0 { reservoir } else { self.over[0] };
        moved.from_above = (-top).max(0.0) * poured;
        self.rows = rows;
        moved
    }
}
