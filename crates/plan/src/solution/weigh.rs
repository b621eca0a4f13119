//! What a scale, a cylinder and a syringe can measure out, and the dilutions by which they can measure less.

use super::acid;
use super::tanks::Tank;
use tidewright_rig::solution::Salt;

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// Place on the shelf.
    pub salt: usize,
    /// Where it goes.
    pub tank: Tank,
    /// As reckoned \[g, or mL of a liquid\].
    pub exact: f64,
    /// As the scale or a measuring cylinder can give it.
    pub amount: f64,
    /// "g" or "mL".
    pub unit: &'static str,
    /// Too little to measure: dilute this first.
    pub dilution: Option<Dilution>,
}

/// A dilution by which a small amount can be measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dilution {
    /// How much to dissolve, in the line's unit.
    pub of: f64,
    /// In so much water in all \[mL\].
    pub into_ml: f64,
    /// How often 100 mL of it are then made up to a litre.
    pub tenfold: u32,
    /// Of which this is taken \[mL\].
    pub take_ml: f64,
}

/// Below so many divisions a scale's step is too coarse: one in twenty.
pub const DIVISIONS: f64 = 20.0;
/// A cylinder measures this well enough, and less only badly \[mL\].
const LEAST_TAKE_ML: f64 = 5.0;
/// Less of a liquid than this is measured by dilution \[mL\].
const LEAST_LIQUID_ML: f64 = 5.0;
/// Share of its solubility to which a stock is made.
const EASILY: f64 = 0.8;
/// Stocks dissolve and keep at this \[°C\].
const COOL: f64 = 10.0;

/// A line for so many mmol, by a scale of this step \[g\].
pub(super) fn weigh(salt_at: usize, salt: &Salt, tank: Tank, mmol: f64, step: f64) -> Weighed {
    let (exact, unit) = acid::measure(salt, mmol);
    let line = |amount: f64, dilution| Weighed { salt: salt_at, tank, exact, amount, unit, dilution };
    if unit == "mL" {
        if exact >= LEAST_LIQUID_ML {
            // Downwards: what is missing is given by the meter, what is too much cannot be taken out.
            let fine = if exact < 20.0 { 0.5 } else { 1.0 };
            return line((exact / fine).floor() * fine, None);
        }
        return diluted(line, exact, 10.0, f64::INFINITY);
    }
    if exact >= DIVISIONS * step {
        return line((exact / step).round() * step, None);
    }
    let most = salt.soluble_at(COOL).map_or(f64::INFINITY, |s| EASILY * s);
    let least = round_up((1.05 * exact).max(DIVISIONS * step));
    diluted(line, exact, (least / step).round().max(1.0) * step, most)
}

/// A stock of `of` in a small bottle, in a litre, or in a litre made thinner; `most` of it dissolves in 100 mL.
fn diluted(line: impl Fn(f64, Option<Dilution>) -> Weighed, exact: f64, of: f64, most: f64) -> Weighed {
    const MOST_TENFOLD: u32 = 4;
    let small = exact / of * 100.0;
    let (into_ml, mut take, mut tenfold) =
        if small >= LEAST_TAKE_ML && of <= most { (100.0, small, 0) } else { (1000.0, 10.0 * small, 0) };
    while take < LEAST_TAKE_ML && tenfold < MOST_TENFOLD {
        take *= 10.0;
        tenfold += 1;
    }
    let fine = if take < 20.0 { 0.5 } else { 1.0 };
    let take_ml = (take / fine).round().max(1.0) * fine;
    let amount = take_ml * of / into_ml / 10f64.powi(tenfold as i32);
    line(amount, Some(Dilution { of, into_ml, tenfold, take_ml }))
}

/// Up to 1, 2 or 5 times a power of ten.
fn round_up(x: f64) -> f64 {
    let power = 10f64.powf(x.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|f| f * power).find(|r| *r >= x * (1.0 - 1e-9)).unwrap_or(x)
}

/// mmol in a line as weighed.
pub(super) fn in_mmol(salt: &Salt, line: &Weighed) -> f64 {
    match salt.molarity().filter(|_| line.unit == "mL") {
        Some(m) => line.amount * m,
        None => 1e3 * line.amount / salt.grams_per_mol(),
    }
}

/// Error of the EC by half a division of the scale in every weighing \[-\].
pub(super) fn weighing_error(shelf: &[Salt], lines: &[Weighed], step: f64) -> f64 {
    let moles = |l: &Weighed| l.exact / shelf[l.salt].grams_per_mol();
    let all: f64 = lines.iter().map(moles).sum();
    if all <= 0.0 {
        return 0.0;
    }
    let sum: f64 = lines
        .iter()
        .map(|l| {
            let weighed = l.dilution.map_or(l.exact, |d| d.of);
            let own = if weighed > 0.0 { 0.5 * step / weighed } else { 0.0 };
            (own * moles(l) / all).powi(2)
        })
        .sum();
    sum.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use tidewright_rig::parts::Library;

    /// Whatever is asked for, the sheet measures it to a tenth and asks for nothing that cannot be measured.
    #[test]
    fn law_small_amounts_are_measured_within_a_tenth() {
        let library = Library::shipped();
        for salt in library.salts().iter().filter(|s| !s.gives.is_empty()) {
            for step in [1e-3, 0.01, 0.1, 1.0, 10.0] {
                for k in -40..=40 {
                    let mmol = 10f64.powf(f64::from(k) / 10.0);
                    let line = weigh(0, salt, Tank::B, mmol, step);
                    let (exact, _) = acid::measure(salt, mmol);
                    let in_reach = exact > 2e-5 * step;
                    let off = (line.amount / exact - 1.0).abs();
                    assert!(!in_reach || off <= 0.1, "{} {exact} by {step}: {line:?}", salt.id);
                    if let Some(d) = line.dilution.filter(|_| in_reach) {
                        assert!(d.take_ml >= LEAST_TAKE_ML - 0.5 && d.take_ml <= d.into_ml, "{} {line:?}", salt.id);
                    }
                }
            }
        }
    }
}
