//! Pieces packed onto the lengths that a shop sells.

use serde::Serialize;

/// Width of a saw's cut \[m\]. Common practice: 3 mm.
pub const KERF_M: f64 = 0.003;
/// Pieces up to which the least number of lengths is looked for exactly.
const EXACT: usize = 14;

/// A piece to cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cut {
    /// What it is.
    pub what: String,
    /// Length \[m\].
    pub length_m: f64,
}

/// Pieces on stock lengths.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Packed {
    /// Stock length \[m\].
    pub stock_m: f64,
    /// Each length with its pieces and what is left of it \[m\].
    pub lengths: Vec<(Vec<Cut>, f64)>,
    /// Pieces longer than any length.
    pub too_long: Vec<Cut>,
    /// Whether no packing takes fewer lengths.
    pub least: bool,
}

/// Packs pieces onto stock lengths with a kerf between them: the longest first into the fullest that has room, then, for few
/// pieces, a search whether fewer lengths would do.
///
/// Source: best fit, decreasing; Martello & Toth, *Knapsack Problems* (1990), ch. 8 (from memory).
pub fn pack(cuts: &[Cut], stock_m: f64) -> Packed {
    let mut out = Packed { stock_m, ..Packed::default() };
    let (mut fit, too_long): (Vec<Cut>, Vec<Cut>) = cuts.iter().cloned().partition(|c| c.length_m <= stock_m + 1e-9);
    out.too_long = too_long;
    fit.sort_by(|a, b| b.length_m.total_cmp(&a.length_m).then(a.what.cmp(&b.what)));
    let lengths: Vec<f64> = fit.iter().map(|c| c.length_m).collect();
    let mut bins = best_fit(&lengths, stock_m);
    // A length holds L + kerf of pieces that each bring a kerf.
    let bound = (lengths.iter().map(|l| l + KERF_M).sum::<f64>() / (stock_m + KERF_M) - 1e-9).ceil().max(0.0) as usize;
    let mut proven = bins.len() <= bound;
    if !proven && lengths.len() <= EXACT {
        let mut fewer = bins.len() - 1;
        proven = true;
        while fewer >= bound.max(1) {
            match into(&lengths, stock_m, fewer) {
                Some(better) => bins = better,
                None => break,
            }
            fewer -= 1;
        }
    }
    out.least = proven;
    out.lengths = bins
        .into_iter()
        .map(|bin| {
            let used: f64 = bin.iter().map(|i| lengths[*i]).sum::<f64>() + KERF_M * (bin.len() as f64 - 1.0).max(0.0);
            (bin.iter().map(|i| fit[*i].clone()).collect(), (stock_m - used).max(0.0))
        })
        .collect();
    out
}

fn room(bin: &[usize], lengths: &[f64], stock: f64) -> f64 {
    stock - bin.iter().map(|i| lengths[*i] + KERF_M).sum::<f64>()
}

fn best_fit(lengths: &[f64], stock: f64) -> Vec<Vec<usize>> {
    let mut bins: Vec<Vec<usize>> = Vec::new();
    for (i, l) in lengths.iter().enumerate() {
        let best = (0..bins.len())
            .filter(|b| room(&bins[*b], lengths, stock) >= l - 1e-9)
            .min_by(|a, b| room(&bins[*a], lengths, stock).total_cmp(&room(&bins[*b], lengths, stock)));
        match best {
            Some(b) => bins[b].push(i),
            None => bins.push(vec![i]),
        }
    }
    bins
}

/// All pieces into so many lengths, if they go.
fn into(lengths: &[f64], stock: f64, count: usize) -> Option<Vec<Vec<usize>>> {
    fn go(i: usize, lengths: &[f64], stock: f64, bins: &mut Vec<Vec<usize>>) -> bool {
        if i == lengths.len() {
            return true;
        }
        let mut tried_empty = false;
        for b in 0..bins.len() {
            if bins[b].is_empty() {
                if tried_empty {
                    break;
                }
                tried_empty = true;
            }
            if room(&bins[b], lengths, stock) >= lengths[i] - 1e-9 {
                bins[b].push(i);
                if go(i + 1, lengths, stock, bins) {
                    return true;
                }
                bins[b].pop();
            }
        }
        false
    }
    let mut bins = vec![Vec::new(); count];
    go(0, lengths, stock, &mut bins).then_some(bins)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cuts(lengths: &[f64]) -> Vec<Cut> {
        lengths.iter().map(|l| Cut { what: "piece".into(), length_m: *l }).collect()
    }

    #[test]
    fn packs_with_kerfs_and_finds_the_least() {
        let p = pack(&cuts(&[1.2, 1.2, 0.7, 0.7, 0.5, 0.5]), 2.4);
        assert_eq!(p.lengths.len(), 3, "two of 1.2 and a kerf are longer than 2.4: {p:?}");
        assert!(p.least);
        // Best fit takes three here, a search finds two.
        let tricky = pack(&cuts(&[0.497, 0.397, 0.297, 0.297, 0.247, 0.247]), 1.0);
        assert_eq!((tricky.lengths.len(), tricky.least), (2, true), "{tricky:?}");
        assert_eq!(pack(&cuts(&[3.0]), 2.4).too_long.len(), 1);
        assert!(pack(&[], 2.4).lengths.is_empty());
        for (bin, left) in &p.lengths {
            let used: f64 = bin.iter().map(|c| c.length_m).sum::<f64>() + KERF_M * (bin.len() as f64 - 1.0);
            assert!((used + left - 2.4).abs() < 1e-9 && *left >= 0.0);
        }
    }
}
