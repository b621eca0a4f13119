//! What to buy: windows of what would serve, then the list with quantities from the drawing, then what running costs.

pub mod card;
pub mod list;
pub mod running;
pub mod stock;

pub use card::{Card, Window, card};
pub use list::{Item, list, read_csv, total, with_prices, write_csv};
pub use running::{Running, running};
pub use stock::{Cut, Packed, pack};
