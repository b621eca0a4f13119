//! What dissolved salts become: species, acidity, solids, conductivity.
//!
//! A [`System`] holds components, the species and solids they form, and their constants: rows of data that this crate knows
//! nothing about. At one temperature and activity model a [`Solver`] is made from it, which then answers any number of
//! [`Ask`]s. Everything is counted in mol per kg of water; for solutions up to 5 g/L that is mol per litre to 0.5 %.
//!
//! The bookkeeping of charge: the total of the component H is the *excess of protons*, what was added as acid less what was
//! added as base, counted against the components as they stand (CO₂, PO₄³⁻, NH₄⁺, B(OH)₃ …). Every salt brings components
//! and protons whose charges cancel, so a mixture of salts, acids and water is neutral by construction, mixing is addition,
//! and gaining or losing CO₂ changes no total but that of carbon.

pub mod activity;
pub mod alkalinity;
mod answer;
pub mod conductivity;
pub mod constant;
pub mod formula;
mod guess;
mod initial;
pub mod lens;
mod linear;
mod newton;
mod patient;
pub mod solids;
pub mod solver;
pub mod system;

pub use activity::Model;
pub use answer::Answer;
pub use lens::{Lens, OPEN_AIR_ATM, Seen};
pub use solver::{Ask, Carbon, Hydrogen, Solver, Unsolved};
pub use system::{Component, Solid, Species, System};
