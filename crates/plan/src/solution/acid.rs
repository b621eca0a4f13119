//! Acid or base for a water: at once, after the surplus of carbon dioxide has left, and in portions.

use super::system;
use tidewright_physics::chemistry::{Ask, Carbon, Hydrogen, Lens, Model, OPEN_AIR_ATM, Unsolved, alkalinity};
use tidewright_physics::quantity::ThermodynamicTemperature;
use tidewright_rig::solution::{Salt, Water};

/// A water with its carbon.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Totals \[mol/L\].
    pub totals: Vec<f64>,
    /// pH as it comes.
    pub ph: f64,
    /// Conductivity at 25 °C \[S/m\].
    pub ec_25: f64,
    /// Cations and anions \[meq/L\].
    pub sums: (f64, f64),
    /// Alkalinity \[meq/L\].
    pub alkalinity: f64,
    /// Whether the report prints it; else it is what the other ions leave.
    pub alkalinity_printed: bool,
    /// Remarks on what was taken for granted.
    pub remarks: Vec<String>,
}

/// Totals of a water report: carbon from its pH, or from the air where no pH is printed or none gives it.
///
/// # Errors
/// Where the chemistry does not converge.
pub fn source(water: &Water, temperature: ThermodynamicTemperature) -> Result<Source, Unsolved> {
    let system = system();
    let mut all = water.totals(system);
    let (alk, printed) = water.alkalinity(system);
    let mut remarks = water.components().1;
    if !printed && !water.ions.is_empty() {
        remarks.push(format!(
            "Alkalinity is not printed: {alk:.2} meq/L is what the other ions leave, the most it can be. Measure it (a drop test for carbonate hardness) before any acid."
        ));
    }
    let carbon = system.component("CO2").ok_or(Unsolved::Component)?;
    let mut lens = Lens::new(system, temperature, Model::TruesdellJones, &[&all]);
    let from_ph = water.ph.map(|ph| alkalinity::carbon_at(lens.solver(), system, &all, ph));
    all[carbon] = match from_ph {
        Some(Ok(c)) => c,
        other => {
            if other.is_some() {
                remarks.push(
                    "No amount of carbon dioxide gives this pH with this alkalinity: air is taken instead.".into(),
                );
            } else {
                remarks.push("The pH is not printed: the water is taken as it stands under air.".into());
            }
            let ask = Ask { totals: &all, hydrogen: Hydrogen::Total, carbon: Carbon::Open(OPEN_AIR_ATM) };
            lens.solver().solve(&ask)?.dissolved(carbon)
        }
    };
    let seen = lens.see(&all, Carbon::Closed)?;
    Ok(Source {
        totals: all,
        ph: seen.ph,
        ec_25: seen.ec_25,
        sums: water.sums(system),
        alkalinity: alk,
        alkalinity_printed: printed || water.ions.is_empty(),
        remarks,
    })
}

/// A dose.
#[derive(Clone, Debug, PartialEq)]
pub struct Dose {
    /// At once, before any carbon dioxide has left \[mmol/L\].
    pub at_once: f64,
    /// Once the water stands under air: the dose to give \[mmol/L\].
    pub in_the_end: f64,
    /// Portions of the dose, pH right after each and after its carbon dioxide has left.
    pub portions: Vec<Portion>,
    /// Protons that one mole of it gives at the target pH \[-\].
    pub protons: f64,
}

/// One portion.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// mmol/L.
    pub amount: f64,
    /// pH right after.
    pub ph_at_once: f64,
    /// pH when the air has taken what it takes.
    pub ph_later: f64,
}

/// Parts of a dose: half, then less each time, so that nothing overshoots. Common practice, no source.
pub const PORTIONS: [f64; 3] = [0.5, 0.3, 0.2];

/// Reckons the dose of an acid (or base) that brings totals \[mol/L\] to a pH.
///
/// What the acid brings beside protons (phosphate, sulphate, nitrate, potassium) is in the water when the pH is reckoned.
/// None where the water is on the other side of the pH already.
///
/// # Errors
/// Where the chemistry does not converge.
pub fn dose(
    from: &[f64],
    ph: f64,
    acid: &Salt,
    temperature: ThermodynamicTemperature,
) -> Result<Option<Dose>, Unsolved> {
    let system = system();
    let with = |amount: f64| -> Vec<f64> {
        let mut all = from.to_vec();
        acid.pour_into(system, &mut all, amount);
        all
    };
    let some = with(1.0);
    let mut lens = Lens::new(system, temperature, Model::TruesdellJones, &[from, &some]);
    let mut solve = |carbon: Carbon| -> Result<Option<f64>, Unsolved> {
        // Protons still wanted fall steadily as the dose grows: secant.
        let mut lacking = |a: f64| lens.protons_to(&with(a), ph, carbon).map(|p| 1e3 * p);
        let at_start = lacking(0.0)?;
        let sense = acid.spare_protons();
        if at_start * sense <= 0.0 {
            return Ok(None);
        }
        let (mut a, mut fa) = (0.0, at_start);
        let mut b = at_start / sense;
        let Ok(mut fb) = lacking(b) else { return Ok(None) };
        for _ in 0..30 {
            if fb.abs() <= 1e-12 * at_start.abs().max(1.0) || fb == fa {
                break;
            }
            let next = (b - fb * (b - a) / (fb - fa)).clamp(0.0, 10.0 * b.abs() + 1.0);
            (a, fa, b) = (b, fb, next);
            let Ok(next) = lacking(b) else { return Ok(None) };
            fb = next;
        }
        // No amount of it comes there: bicarbonate under open air stays below pH 9.
        Ok((fb.abs() <= 1e-6 * at_start.abs().max(1e-3)).then_some(b))
    };
    let at_once = solve(Carbon::Closed)?;
    let Some(in_the_end) = solve(Carbon::Open(OPEN_AIR_ATM))? else { return Ok(None) };
    let portions = portions(&mut lens, from, acid, in_the_end)?;
    let lacking = lens.protons_to(from, ph, Carbon::Open(OPEN_AIR_ATM))? * 1e3;
    Ok(Some(Dose { at_once: at_once.unwrap_or(0.0), in_the_end, portions, protons: lacking / in_the_end }))
}

/// What each portion of an amount \[mmol/L\] of an acid or base does to totals \[mol/L\], one after the other, with time
/// for carbon dioxide to leave between them.
///
/// # Errors
/// Where the chemistry does not converge.
pub(super) fn portions(lens: &mut Lens<'_>, from: &[f64], acid: &Salt, amount: f64) -> Result<Vec<Portion>, Unsolved> {
    let system = system();
    let carbon = system.component("CO2").ok_or(Unsolved::Component)?;
    let mut now = from.to_vec();
    let mut all = Vec::new();
    for part in PORTIONS {
        acid.pour_into(system, &mut now, part * amount);
        let ph_at_once = lens.see(&now, Carbon::Closed)?.ph;
        let open = Ask { totals: &now, hydrogen: Hydrogen::Total, carbon: Carbon::Open(OPEN_AIR_ATM) };
        let later = lens.solver().solve_near(&open)?;
        let (ph_later, left) = (later.ph(), later.dissolved(carbon));
        now[carbon] = left;
        all.push(Portion { amount: part * amount, ph_at_once, ph_later });
    }
    Ok(all)
}

/// Millilitres of a liquid, or grams of a solid, in so many mmol.
pub fn measure(salt: &Salt, mmol: f64) -> (f64, &'static str) {
    match salt.molarity() {
        Some(m) => (mmol / m, "mL"),
        None => (1e-3 * mmol * salt.grams_per_mol(), "g"),
    }
}
