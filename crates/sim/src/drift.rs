//! A reservoir's ions through weeks: water leaves through the crop, ions by their own uptake, and something is topped up.
//!
//! d(V Cᵢ)/dt = Q C_top,i − E UCᵢ, dV/dt = Q − E, by the hour; within an hour rates are constant and each ion is stepped
//! exactly. Roots give a proton for each equivalent of cation that they take beyond anions, so charge is kept.

use tidewright_physics::chemistry::{Carbon, Lens, Model, OPEN_AIR_ATM, System};
use tidewright_physics::quantity::ThermodynamicTemperature;
use tidewright_rig::solution::Feeding;

/// How an ion goes with the water that the crop takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Takes {
    /// So much with each litre, whatever the solution holds, until it is nearly gone \[mol/L\].
    Amount(f64),
    /// A share of what the solution holds \[-\].
    Share(f64),
}

/// Half of its uptake is left to an ion at this share of its uptake concentration \[-\]: roots empty a solution nearly to
/// nothing. Michaelis constants of young roots are 10–50 µmol/L for nitrate and potassium, 3–7 for phosphate (from memory): a
/// five-hundredth of what crops take up.
pub(crate) const HALF_LEFT: f64 = 0.002;

/// Whether somebody keeps the pH.
#[derive(Clone, Debug, PartialEq)]
pub enum Acidity {
    /// Left to itself.
    Free,
    /// Brought to this pH each morning, acid and base bringing these components with each mole of protons given or taken.
    Held {
        /// pH.
        ph: f64,
        /// What an acid brings beside a mole of protons.
        acid: Vec<f64>,
        /// What a base brings beside taking a mole of protons.
        base: Vec<f64>,
    },
}

/// What is asked.
#[derive(Clone, Debug)]
pub struct Drift<'a> {
    /// The chemistry.
    pub system: &'a System,
    /// What the reservoir starts with \[mol/L\].
    pub start: Vec<f64>,
    /// Its volume when full \[L\].
    pub litres: f64,
    /// What the crop drinks on each day \[L\]; the last goes on.
    pub drinks_l: Vec<f64>,
    /// Uptake by component.
    pub takes: Vec<Takes>,
    /// What is topped up with \[mol/L\].
    pub top_up: Vec<f64>,
    /// Whether a float valve tops up all the time, or somebody does each morning.
    pub always: bool,
    /// pH.
    pub acidity: Acidity,
    /// Days.
    pub days: u32,
    /// Temperature of the solution.
    pub temperature: ThermodynamicTemperature,
    /// Speciations a day: 24, 1 …
    pub looks_a_day: u32,
}

/// One look.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Days from the start.
    pub day: f64,
    /// Volume \[L\].
    pub litres: f64,
    /// mol/L by component.
    pub totals: Vec<f64>,
    /// pH under open air.
    pub ph: f64,
    /// Conductivity at 25 °C \[S/m\].
    pub ec_25: f64,
    /// Protons given as acid and taken as base so far \[mol\].
    pub acid_base_mol: (f64, f64),
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drifted {
    /// Looks in time, the first at the start.
    pub looks: Vec<Look>,
    /// Water taken and topped up \[L\].
    pub water_l: (f64, f64),
    /// Protons given as acid and taken as base to keep the pH \[mol\].
    pub acid_base_mol: (f64, f64),
    /// What the account of ions does not explain, over all that was there: the worst of all components \[-\].
    pub ledger_error: f64,
    /// Charge at the end over that of all ions \[-\]: what the water report did not balance.
    pub charge: f64,
}

const HOURS: u32 = 24;

/// Uptake by component from a crop's row; what it does not name is not taken. Sodium and chloride go with what is there.
pub fn takes(system: &System, feeding: &Feeding) -> Vec<Takes> {
    system
        .components
        .iter()
        .map(|c| match c.name.as_str() {
            "Na" => Takes::Share(feeding.sodium.0 / feeding.sodium.1),
            "Cl" => Takes::Share(feeding.chloride.0 / feeding.chloride.1),
            other => Takes::Amount(1e-3 * feeding.uptake_of(other)),
        })
        .collect()
}

/// Follows a reservoir.
///
/// # Errors
/// Where the chemistry does not converge, with the day.
pub fn drift(ask: &Drift<'_>) -> Result<Drifted, String> {
    let system = ask.system;
    let carbon = Carbon::Open(OPEN_AIR_ATM);
    let fresh: Vec<f64> = ask.start.iter().zip(&ask.top_up).map(|(a, b)| a.abs() + b.abs() + 1e-9).collect();
    let mut lens = Lens::new(system, ask.temperature, Model::TruesdellJones, &[&fresh]);
    let co2 = system.component("CO2");
    let n = system.components.len();
    let mut amount: Vec<f64> = ask.start.iter().map(|c| c * ask.litres).collect();
    let mut volume = ask.litres;
    // The account: what came in and what was taken, apart from what is there.
    let (mut came, mut gone) = (amount.clone(), vec![0.0; n]);
    let mut out =
        Drifted { looks: Vec::new(), water_l: (0.0, 0.0), acid_base_mol: (0.0, 0.0), ledger_error: 0.0, charge: 0.0 };
    let every = HOURS / ask.looks_a_day.clamp(1, HOURS);
    for hour in 0..=ask.days * HOURS {
        let day = f64::from(hour) / f64::from(HOURS);
        if hour % HOURS == 0 && hour > 0 && !ask.always {
            let litres = (ask.litres - volume).max(0.0);
            pour(litres, &ask.top_up, &mut amount, &mut came);
            out.water_l.1 += litres;
            volume += litres;
        }
        if hour % HOURS == 0
            && let Acidity::Held { ph, acid, base } = &ask.acidity
        {
            let totals: Vec<f64> = amount.iter().map(|a| a / volume).collect();
            let lacking = lens.protons_to(&totals, *ph, carbon).map_err(|e| format!("day {day:.0}: {e}"))?;
            let (protons, brings) = (lacking * volume, if lacking > 0.0 { acid } else { base });
            for c in 0..n {
                let x = brings[c] * protons.abs();
                amount[c] += x;
                came[c] += x;
            }
            amount[System::H] += protons;
            came[System::H] += protons;
            if protons > 0.0 { out.acid_base_mol.0 += protons } else { out.acid_base_mol.1 -= protons }
        }
        if hour % every == 0 {
            let totals: Vec<f64> = amount.iter().map(|a| a / volume).collect();
            let seen = lens.see(&totals, carbon).map_err(|e| format!("day {day:.0}: {e}"))?;
            out.looks.push(Look {
                day,
                litres: volume,
                totals,
                ph: seen.ph,
                ec_25: seen.ec_25,
                acid_base_mol: out.acid_base_mol,
            });
        }
        if hour == ask.days * HOURS {
            break;
        }
        let today = (hour / HOURS) as usize;
        let drinks = ask.drinks_l.get(today).or(ask.drinks_l.last()).copied().unwrap_or(0.0) / f64::from(HOURS);
        // A reservoir that is nearly empty gives no more.
        let drinks = drinks.min(0.9 * volume).max(0.0);
        let brought = if ask.always { drinks } else { 0.0 };
        for c in 0..n {
            if c == System::H || Some(c) == co2 {
                continue;
            }
            let taken = taken(ask.takes[c], amount[c], volume, drinks, brought, brought * ask.top_up[c]);
            amount[c] -= taken;
            gone[c] += taken;
            // Charge that the roots take leaves as protons.
            let protons = f64::from(system.charge(c)) * taken;
            amount[System::H] += protons;
            gone[System::H] -= protons;
        }
        pour(brought, &ask.top_up, &mut amount, &mut came);
        volume += brought - drinks;
        out.water_l = (out.water_l.0 + drinks, out.water_l.1 + brought);
    }
    for c in (0..n).filter(|c| Some(*c) != co2) {
        let all = came[c].abs() + gone[c].abs() + amount[c].abs();
        if all > 0.0 {
            out.ledger_error = out.ledger_error.max((came[c] - gone[c] - amount[c]).abs() / all);
        }
    }
    let ions: f64 = (1..n).map(|c| (f64::from(system.charge(c)) * amount[c]).abs()).sum();
    out.charge = system.charge_of(&amount) / ions.max(1e-30);
    Ok(out)
}

fn pour(litres: f64, with: &[f64], amount: &mut [f64], came: &mut [f64]) {
    for ((a, k), c) in amount.iter_mut().zip(came).zip(with) {
        *a += litres * c;
        *k += litres * c;
    }
}

/// What is taken of an ion in an hour \[mol\] while water comes and goes at constant rates; `brings` comes with the water.
fn taken(takes: Takes, amount: f64, volume: f64, drinks: f64, brought: f64, brings: f64) -> f64 {
    if amount <= 0.0 || drinks <= 0.0 {
        return 0.0;
    }
    match takes {
        Takes::Amount(uc) if uc > 0.0 => {
            let holds = amount / volume;
            (uc * drinks * holds / (holds + HALF_LEFT * uc)).min(0.9 * amount)
        }
        Takes::Amount(_) => 0.0,
        Takes::Share(k) => {
            // dn/dt = brings − k E n/V. Volume constant (float valve): exponential; else n (V₁/V₀)^k.
            if brought > 0.0 {
                let rate = k * drinks / volume;
                let steady = if rate > 0.0 { brings / rate } else { 0.0 };
                let end = if rate > 0.0 { steady + (amount - steady) * (-rate).exp() } else { amount + brings };
                amount + brings - end
            } else {
                amount * (1.0 - (1.0 - drinks / volume).powf(k))
            }
        }
    }
}

/// Why a reservoir should be changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// Sodium at the crop's limit.
    Sodium,
    /// Chloride at the crop's limit.
    Chloride,
    /// EC above the crop's range.
    TooStrong,
    /// EC below the crop's range.
    TooWeak,
    /// Potassium over calcium more than half off what it was.
    Balance,
    /// Phosphorus more than half off what it was.
    Phosphorus,
    /// Sodium and chloride carry a third of the charge.
    Ballast,
}

/// Reasons to change a reservoir and the day on which each first stands, in their order of time.
///
/// Sodium or chloride at the crop's limit; EC out of its range; K/Ca or P more than half off the start; sodium and chloride above a
/// third of all charge. Common practice, no source, but for the limits, which are the crop's row.
pub fn change_out(system: &System, drifted: &Drifted, feeding: &Feeding) -> Vec<(Reason, f64)> {
    const OFF: f64 = 0.5;
    const BALLAST: f64 = 1.0 / 3.0;
    let of = |l: &Look, c: &str| system.component(c).map_or(0.0, |i| l.totals[i]);
    let Some(first) = drifted.looks.first() else { return Vec::new() };
    let ratio = |l: &Look| of(l, "K") / of(l, "Ca").max(1e-9);
    let off = |now: f64, then: f64| then > 0.0 && (now > then * (1.0 + OFF) || now < then * (1.0 - OFF));
    let charge = |l: &Look| -> f64 {
        (1..system.components.len()).map(|i| f64::from(system.charge(i).abs()) * l.totals[i]).sum::<f64>().max(1e-12)
    };
    type Test<'a> = Box<dyn Fn(&Look) -> bool + 'a>;
    let tests: [(Reason, Test<'_>); 7] = [
        (Reason::Sodium, Box::new(|l| 1e3 * of(l, "Na") >= feeding.sodium.1)),
        (Reason::Chloride, Box::new(|l| 1e3 * of(l, "Cl") >= feeding.chloride.1)),
        (Reason::TooStrong, Box::new(|l| 10.0 * l.ec_25 > feeding.ec.1.max(1.2 * 10.0 * first.ec_25))),
        (Reason::TooWeak, Box::new(|l| 10.0 * l.ec_25 < feeding.ec.0.min(0.6 * 10.0 * first.ec_25))),
        (Reason::Balance, Box::new(|l| off(ratio(l), ratio(first)))),
        (Reason::Phosphorus, Box::new(|l| off(of(l, "PO4"), of(first, "PO4")))),
        (Reason::Ballast, Box::new(|l| of(l, "Na") + of(l, "Cl") > BALLAST * charge(l))),
    ];
    let mut all: Vec<(Reason, f64)> = tests
        .iter()
        .filter_map(|(reason, test)| drifted.looks.iter().find(|l| test(l)).map(|l| (*reason, l.day)))
        .collect();
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    all
}

/// Share of the water taken that must be let go so that an ion stays at a limit: b = (C_in − UC)/(C_max − C_in).
///
/// All \[mmol/L\]; nil where the crop takes what comes, infinite where what comes is at the limit already.
/// Source: steady mass balance of a closed system. Evidence: `evidence/solution/drift.toml`.
pub fn bleed_share(comes: f64, taken: f64, limit: f64) -> f64 {
    if comes <= taken {
        0.0
    } else if comes >= limit {
        f64::INFINITY
    } else {
        (comes - taken) / (limit - comes)
    }
}
