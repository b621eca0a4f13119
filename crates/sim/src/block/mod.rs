//! Water inside a block of growing medium, by height: it soaks, drains, feeds roots and dries.
//!
//! Richards' equation in mixed form, ∂θ/∂t = ∂/∂z [K (∂h/∂z + 1)] − S, z upwards from the underside, h pressure
//! head \[m\]. `column` says what the block is, `edge` what surrounds it, `step` makes one implicit step,
//! `advance` goes through time.

mod advance;
mod column;
mod edge;
mod oxygen;
mod salt;
mod step;

pub use advance::{Exchange, Settings, Stuck};
pub(crate) use column::Kept;
pub use column::{Column, Layer};
pub use edge::{Around, Base, Beside, Entry, Roots, Top};
pub use oxygen::{Breath, Breathed, Oxygen};
pub use salt::{Piece, Salt, Salted, Spread};
pub(crate) use step::{Told, Work};
