//! Values to text: drawings, charts, the page, tables for the terminal.
//!
//! Pure functions; nothing here knows a file, a clock or a socket. [`state()`] makes everything the
//! page shows at one revision of a bench, [`first()`] the part of it that the eye is on, [`page()`]
//! the page around it; [`text`] is for the terminal.

pub mod advice;
pub mod alone;
pub mod answers;
pub mod block_chart;
pub mod book;
pub mod buy;
pub mod calendar;
pub mod chart;
pub mod climate;
pub mod dimension;
pub mod explain;
pub mod figures;
pub mod findings;
pub mod frame;
pub mod keys;
pub mod layout;
pub mod light;
pub mod medium;
pub mod more_pages;
pub mod page;
pub mod paper;
pub mod picks;
pub mod plan_view;
pub mod program;
mod program_page;
pub mod roots;
pub mod season;
pub mod section;
mod section_more;
mod section_pipes;
mod section_words;
pub mod series;
pub mod sheet;
pub mod solution;
pub mod state;
pub mod strip;
pub mod svg;
pub mod text;
pub mod words;

pub use advice::Advice;
pub use alone::alone;
pub use page::{CSS, JS, explain_page, page, workings_page};
pub use program_page::program_page;
pub use state::{Given, Meta, State, Width, first, state};
