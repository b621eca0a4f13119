//! Writes the cases for `evidence/twin/flood_twin.py` to standard output.

use std::io::Write;

fn main() -> std::io::Result<()> {
    let count = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(200);
    writeln!(std::io::stdout(), "{}", tidewright_evidence::twin::cases(count))
}
