//! Plants and blocks on a rectangle.

/// A count is a floor of a quotient that may miss a whole number by rounding.
const SLACK: f64 = 1e-9;

fn whole(x: f64) -> usize {
    (x + SLACK).floor().max(0.0) as usize
}

/// Plants on a square pattern of spacing s, each with its own s × s.
///
/// Evidence: `evidence/light/packing.toml`.
pub fn square(length_m: f64, width_m: f64, spacing_m: f64) -> usize {
    whole(length_m / spacing_m) * whole(width_m / spacing_m)
}

/// Plants in rows along the first side that stand s·√3/2 apart, every other row shifted by half a spacing (and so by half a
/// spacing shorter).
///
/// The ideal gain over the square is 1.1547; on a small tray it can lose. Source: hexagonal packing.
/// Evidence: `evidence/light/packing.toml`.
pub fn staggered(length_m: f64, width_m: f64, spacing_m: f64) -> usize {
    let step = spacing_m * 0.75f64.sqrt();
    // The first row needs its whole spacing across.
    let rows = if width_m + SLACK < spacing_m { 0 } else { 1 + whole((width_m - spacing_m) / step) };
    let (full, shifted) = (whole(length_m / spacing_m), whole((length_m - 0.5 * spacing_m) / spacing_m));
    rows.div_ceil(2) * full + rows / 2 * shifted
}
