//! A medium looked up instead of computed: powers cost more than everything else in a column.

use super::conductivity::{AtHead, Porous};
use std::sync::Arc;

/// Parts into which each doubling of suction is cut, as a power of two.
const PARTS_LOG2: u32 = 6;
/// Least and greatest suction of the table, as powers of two \[m\]: 15 µm and 1 km.
const LEAST_LOG2: i32 = -16;
const MOST_LOG2: i32 = 10;

/// Another medium as cubics between suctions that stand closer the smaller they are.
///
/// Content and conductivity are met exactly, with their slopes, at 64 suctions in each doubling; between
/// them content is within 10⁻⁸ and conductivity within 10⁻⁵ of itself (measured, see the test). Capacity is the
/// derivative of the cubic itself, so that a Newton search sees one smooth function.
#[derive(Debug)]
pub struct Tabulated {
    exact: Arc<dyn Porous>,
    wet: AtHead,
    /// From each suction to the next: where, one over how far, cubic coefficients of content and conductivity.
    parts: Vec<Part>,
}

#[derive(Clone, Copy, Debug)]
struct Part {
    from: f64,
    per_m: f64,
    content: [f64; 4],
    conductivity: [f64; 4],
}

/// Cubic in x from 0 to 1 with these ends and slopes by x.
fn cubic(y0: f64, y1: f64, d0: f64, d1: f64) -> [f64; 4] {
    [y0, d0, 3.0 * (y1 - y0) - 2.0 * d0 - d1, 2.0 * (y0 - y1) + d0 + d1]
}

impl Tabulated {
    /// Looks a medium up once and for all.
    pub fn of(exact: Arc<dyn Porous>) -> Self {
        let wet = exact.at(0.0);
        let count = ((MOST_LOG2 - LEAST_LOG2) as usize) << PARTS_LOG2;
        let node = |i: usize| {
            let (octave, part) = (i >> PARTS_LOG2, i & ((1 << PARTS_LOG2) - 1));
            2f64.powi(LEAST_LOG2 + octave as i32) * (1.0 + part as f64 / f64::from(1 << PARTS_LOG2))
        };
        let part = |from: f64, to: f64| {
            let (a, b) = (if from > 0.0 { exact.at(-from) } else { wet }, exact.at(-to));
            let d = to - from;
            // Slopes by the head are minus those by the suction.
            let slope = |y0: f64, y1: f64, s0: f64, s1: f64| {
                // From saturation a slope may be without end: the first part is straight.
                if from > 0.0 { cubic(y0, y1, -s0 * d, -s1 * d) } else { cubic(y0, y1, y1 - y0, y1 - y0) }
            };
            Part {
                from,
                per_m: 1.0 / d,
                content: slope(a.content, b.content, a.capacity, b.capacity),
                conductivity: slope(a.conductivity, b.conductivity, a.slope, b.slope),
            }
        };
        let mut parts = vec![part(0.0, node(0))];
        parts.extend((0..count).map(|i| part(node(i), node(i + 1))));
        Self { exact, wet, parts }
    }

    /// Which part a suction lies in: its exponent and the first digits of its mantissa.
    fn index(suction: f64) -> Option<usize> {
        const FIRST: u64 = ((1023 + LEAST_LOG2) as u64) << PARTS_LOG2;
        let key = suction.to_bits() >> (52 - PARTS_LOG2);
        key.checked_sub(FIRST).map(|k| k as usize + 1)
    }
}

impl Porous for Tabulated {
    fn at(&self, head_m: f64) -> AtHead {
        if head_m >= 0.0 {
            return AtHead { capacity: 0.0, slope: 0.0, ..self.wet };
        }
        let s = -head_m;
        let Some(p) = self.parts.get(Self::index(s).unwrap_or(0)) else { return self.exact.at(head_m) };
        let x = (s - p.from) * p.per_m;
        let value = |c: &[f64; 4]| c[0] + x * (c[1] + x * (c[2] + x * c[3]));
        let slope = |c: &[f64; 4]| -p.per_m * (c[1] + x * (2.0 * c[2] + 3.0 * x * c[3]));
        AtHead {
            content: value(&p.content),
            capacity: slope(&p.content),
            conductivity: value(&p.conductivity),
            slope: slope(&p.conductivity),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Hydraulic, Retention};
    use super::*;

    #[test]
    fn twin_the_table_is_the_medium() {
        for (theta_r, theta_s, alpha_per_m, n, second) in [
            (0.03, 0.95, 8.0, 4.0, None),
            (0.1, 0.92, 20.0, 1.6, None),
            (0.03, 0.93, 40.0, 3.0, None),
            (0.02, 0.7, 200.0, 2.5, Some((0.3, 1.0, 1.5))),
        ] {
            let retention = Retention { theta_r, theta_s, alpha_per_m, n, second };
            let exact = Arc::new(Hydraulic { retention, ks_m_s: 5e-4, connection: 0.5 });
            let table = Tabulated::of(exact.clone());
            for i in 0..4000 {
                let h = -1e-4 * 1.0035f64.powi(i);
                let (a, b) = (exact.at(h), table.at(h));
                assert!((a.content - b.content).abs() < 1e-8, "{h}: {a:?} {b:?}");
                assert!((a.conductivity - b.conductivity).abs() < 1e-5 * a.conductivity + 1e-20, "{h}: {a:?} {b:?}");
                assert!((a.capacity - b.capacity).abs() < 1e-4 * a.capacity + 1e-9, "{h}: {a:?} {b:?}");
            }
            assert_eq!(table.at(0.1).content, theta_s);
        }
    }
}
