//! Checks of `physics::chemistry` with the rows that ship, and of `rig::solution`.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::chemistry::activity::{debye_huckel, relative_permittivity};
use tidewright_physics::chemistry::conductivity::Conductivity;
use tidewright_physics::chemistry::formula::molar_mass;
use tidewright_physics::chemistry::{Answer, Ask, Carbon, Hydrogen, Model, Solver, System, alkalinity};
use tidewright_physics::quantity::{ThermodynamicTemperature, celsius};
use tidewright_rig::chemistry::shipped;
use tidewright_rig::solution::amount;
use tidewright_rig::solution::totals;

pub(crate) const CHECKS: Checks = &[
    ("speciation", speciation),
    ("titration", titration),
    ("solubility", solubility),
    ("stock", stock),
    ("water-conductivity", conductivity),
    ("equilibrium-constant", constant),
    ("molar-mass", mass),
    ("amount", printed),
];

/// Macro ions of a published formulation [mmol/L]: NO3, NH4, P, S, K, Ca, Mg.
///
/// Sources: Hoagland & Arnon (1950), Steiner (1961, 1984), as in data/recipes.toml.
fn formulation(name: &str) -> Result<[f64; 7], String> {
    match name {
        "hoagland-1" => Ok([15.0, 0.0, 1.0, 2.0, 6.0, 5.0, 2.0]),
        "hoagland-2" => Ok([14.0, 1.0, 1.0, 2.0, 6.0, 4.0, 2.0]),
        "steiner" => Ok([12.0, 0.0, 1.0, 3.5, 7.0, 4.5, 2.0]),
        other => Err(format!("no formulation `{other}`")),
    }
}

/// Hoagland and Arnon's micronutrients, 1 mL/L of the stock in g/L: 2.86 H3BO3, 1.81 MnCl2·4H2O, 0.22 ZnSO4·7H2O, 0.08
/// CuSO4·5H2O, 0.02 molybdic acid of 85 %; and 50 µmol/L of Na-Fe-EDTA [mmol/L].
fn micronutrients(system: &System) -> Vec<f64> {
    let (mn, zn, cu) = (1.81 / 197.902, 0.22 / 287.541, 0.08 / 249.677);
    let mo = 0.02 * 0.85 / 161.964;
    totals(
        system,
        [
            ("B", 2.86 / 61.831),
            ("Mn", mn),
            ("Cl", 2.0 * mn),
            ("Zn", zn),
            ("Cu", cu),
            ("SO4", zn + cu),
            ("MoO4", mo),
            ("H", 2.0 * mo),
            ("Fe", 0.05),
            ("EDTA", 0.05),
            ("Na", 0.05),
        ],
    )
}

/// A hard tap water, made up [mmol/kg].
const HARD_TAP: [(&str, f64); 9] = [
    ("Ca", 2.5),
    ("Mg", 0.5),
    ("Na", 1.0),
    ("K", 0.1),
    ("SO4", 0.6),
    ("Cl", 1.2),
    ("NO3", 0.2),
    ("H", -4.5),
    ("CO2", 4.83559),
];

/// Totals [mol/kg] that a case describes: `base` and its `strength`, `micro`, `water`, and single amounts in mmol/kg.
fn described(given: &Given<'_>, system: &System) -> Result<Vec<f64>, String> {
    let mut all = vec![0.0; system.components.len()];
    let mut add = |name: &str, mmol: f64| match system.component(name) {
        Some(c) => {
            all[c] += 1e-3 * mmol;
            Ok(())
        }
        None => Err(format!("no component `{name}`")),
    };
    if let Some(base) = given.text_if("base")? {
        let strength = given.number_if("strength")?.unwrap_or(1.0);
        let macros = formulation(base)?;
        for (name, x) in ["NO3", "NH4", "PO4", "SO4", "K", "Ca", "Mg"].iter().zip(macros) {
            add(name, strength * x)?;
        }
        add("H", 2.0 * strength * macros[2])?;
        if given.number_if("micro")?.unwrap_or(0.0) > 0.0 {
            for (c, x) in system.components.iter().zip(micronutrients(system)) {
                add(&c.name, strength * x)?;
            }
        }
    }
    if given.number_if("hard_tap")?.unwrap_or(0.0) > 0.0 {
        for (name, x) in HARD_TAP {
            add(name, x)?;
        }
    }
    for name in system.components.iter().map(|c| c.name.clone()) {
        if let Some(x) = given.number_if(&format!("{}_mmol_kg", name.to_lowercase()))? {
            add(&name, x)?;
        }
    }
    Ok(all)
}

/// Model, temperature and carbon of a case.
fn manner(given: &Given<'_>) -> Result<(Model, ThermodynamicTemperature, Carbon), String> {
    let model = match given.text_if("model")? {
        None | Some("truesdell-jones") => Model::TruesdellJones,
        Some("davies") => Model::Davies,
        Some(other) => return Err(format!("no model `{other}`")),
    };
    let carbon = given.number_if("pco2_atm")?.map_or(Carbon::Closed, Carbon::Open);
    Ok((model, celsius(given.number("degc")?), carbon))
}

fn solver(system: &System, t: ThermodynamicTemperature, model: Model, all: &[f64]) -> Solver {
    let co2 = system.component("CO2");
    Solver::new(system, t, model, |c| all[c] != 0.0 || Some(c) == co2)
}

const SOLIDS: [(&str, &str); 8] = [
    ("gypsum", "si_gypsum"),
    ("calcite", "si_calcite"),
    ("brushite", "si_brushite"),
    ("octacalcium phosphate", "si_ocp"),
    ("hydroxyapatite", "si_hydroxyapatite"),
    ("struvite", "si_struvite"),
    ("iron hydroxide", "si_iron_hydroxide"),
    ("syngenite", "si_syngenite"),
];

const SPECIES: [(&str, &str); 12] = [
    ("Ca", "ca_mol_kg"),
    ("CaSO4", "caso4_mol_kg"),
    ("CaH2PO4", "cah2po4_mol_kg"),
    ("Mg", "mg_mol_kg"),
    ("MgSO4", "mgso4_mol_kg"),
    ("SO4", "so4_mol_kg"),
    ("KSO4", "kso4_mol_kg"),
    ("H2PO4", "h2po4_mol_kg"),
    ("HPO4", "hpo4_mol_kg"),
    ("NH4", "nh4_mol_kg"),
    ("NH3", "nh3_mol_kg"),
    ("FeEDTA", "feedta_mol_kg"),
];

fn seen(system: &System, answer: &Answer<'_>, conducts: &Conductivity) -> Vec<(&'static str, f64)> {
    let mut out = vec![
        ("ph", answer.ph()),
        ("ionic_strength_mol_kg", answer.ionic_strength()),
        ("ec_us_cm", 1e4 * conducts.of(answer)),
        ("log_pco2_atm", answer.carbon_dioxide_atm().log10()),
    ];
    if let Some(c) = system.component("CO2") {
        out.push(("dic_umol_kg", 1e6 * answer.dissolved(c)));
    }
    for (solid, name) in SOLIDS {
        if let Some(si) = system.solid(solid).and_then(|s| answer.saturation(s)) {
            out.push((name, si));
        }
    }
    for (species, name) in SPECIES {
        if let Some(s) = system.species(species) {
            out.push((name, answer.molality(s)));
        }
    }
    if let (Some(fe), Some(y)) = (system.component("Fe"), system.species("FeEDTA")) {
        out.push(("feedta_share", answer.molality(y) / answer.dissolved(fe).max(1e-30)));
    }
    out
}

/// A solution as described, or at a given pH.
fn speciation(given: &Given<'_>) -> Results {
    let system = shipped();
    let all = described(given, system)?;
    let (model, t, carbon) = manner(given)?;
    let hydrogen = given.number_if("ph")?.map_or(Hydrogen::Total, Hydrogen::Ph);
    let mut solver = solver(system, t, model, &all);
    let answer = solver.solve(&Ask { totals: &all, hydrogen, carbon }).map_err(|e| e.to_string())?;
    let mut out = seen(system, &answer, &Conductivity::new(system, t));
    let (at, protons) = (answer.ph(), 1e3 * (answer.dissolved(System::H) - all[System::H]));
    let buffer = alkalinity::buffer_capacity(&mut solver, &all, at, carbon).map_err(|e| e.to_string())?;
    out.push(("buffer_mol_kg_ph", buffer));
    out.push(("protons_mmol_kg", protons));
    Ok(out)
}

/// An acid or base [mmol/kg] that brings a water to a pH, or the pH after an amount of it.
fn titration(given: &Given<'_>) -> Results {
    let system = shipped();
    let mut all = described(given, system)?;
    let (model, t, carbon) = manner(given)?;
    let (per, beside): (f64, Option<&str>) = match given.text("by")? {
        "HNO3" => (1.0, Some("NO3")),
        "H2SO4" => (2.0, Some("SO4")),
        "H3PO4" => (3.0, Some("PO4")),
        "KOH" => (-1.0, Some("K")),
        "nitrification" => (2.0, None),
        other => return Err(format!("no acid `{other}`")),
    };
    let with = |all: &[f64], mmol: f64| {
        let mut now = all.to_vec();
        now[System::H] += 1e-3 * per * mmol;
        if let Some(c) = beside.and_then(|b| system.component(b)) {
            now[c] += 1e-3 * mmol;
        } else if let (Some(nh4), Some(no3)) = (system.component("NH4"), system.component("NO3")) {
            // NH4+ + 2 O2 -> NO3- + 2 H+ + H2O.
            now[nh4] -= 1e-3 * mmol;
            now[no3] += 1e-3 * mmol;
        }
        now
    };
    let mut solver = Solver::new(system, t, model, |c| {
        all[c] != 0.0 || ["CO2", "NO3", "SO4", "PO4", "K"].iter().any(|n| system.component(n) == Some(c))
    });
    if let Some(mmol) = given.number_if("mmol_kg")? {
        all = with(&all, mmol);
        let answer =
            solver.solve(&Ask { totals: &all, hydrogen: Hydrogen::Total, carbon }).map_err(|e| e.to_string())?;
        return Ok(seen(system, &answer, &Conductivity::new(system, t)));
    }
    let ph = given.number("ph")?;
    let mut lacking =
        |x: f64| alkalinity::protons_to(&mut solver, &with(&all, x), ph, carbon).map_err(|e| e.to_string());
    let (mut low, mut high) = (0.0, 50.0);
    let sense = lacking(0.0)?.signum();
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if lacking(mid)? * sense > 0.0 { low = mid } else { high = mid }
    }
    let mmol = 0.5 * (low + high);
    let now = with(&all, mmol);
    let answer = solver.solve(&Ask { totals: &now, hydrogen: Hydrogen::Total, carbon }).map_err(|e| e.to_string())?;
    let mut out = vec![("mmol_kg", mmol)];
    out.extend(seen(system, &answer, &Conductivity::new(system, t)));
    Ok(out)
}

/// How much of a solid water takes up, alone, or what is left of a mixture when one has fallen out.
fn solubility(given: &Given<'_>) -> Results {
    let system = shipped();
    let (model, t, carbon) = manner(given)?;
    let mut all = described(given, system)?;
    let mut names = vec![given.text("solid")?];
    names.extend(given.text_if("and_solid")?);
    let solids: Vec<usize> =
        names.iter().map(|n| system.solid(n).ok_or_else(|| format!("no solid `{n}`"))).collect::<Result<_, _>>()?;
    if let Some(mmol) = given.number_if("excess_mmol_kg")? {
        for &(c, n) in &system.solids[solids[0]].of {
            all[c] += 1e-3 * mmol * n;
        }
    }
    let hydrogen = given.number_if("ph")?.map_or(Hydrogen::Total, Hydrogen::Ph);
    let mut solver = solver(system, t, model, &all);
    let answer = solver.settle(&Ask { totals: &all, hydrogen, carbon }, &solids).map_err(|e| e.to_string())?;
    let mut out = seen(system, &answer, &Conductivity::new(system, t));
    let of = |name: &str| system.component(name).map_or(0.0, |c| 1e3 * answer.dissolved(c));
    out.extend([
        ("dissolved_ca_mmol_kg", of("Ca")),
        ("dissolved_p_mmol_kg", of("PO4")),
        ("dissolved_fe_umol_kg", 1e3 * of("Fe")),
    ]);
    let gone: f64 = answer.precipitated().iter().filter(|p| p.0 == solids[0]).map(|p| p.1).sum();
    out.push(("precipitated_mol_kg", gone));
    Ok(out)
}

/// A concentrate: a formulation or its halves A and B many times over, in pure water.
fn stock(given: &Given<'_>) -> Results {
    let system = shipped();
    let all = described(given, system)?;
    let (model, t, carbon) = manner(given)?;
    let mut solver = solver(system, t, model, &all);
    let answer = solver.solve(&Ask { totals: &all, hydrogen: Hydrogen::Total, carbon }).map_err(|e| e.to_string())?;
    Ok(seen(system, &answer, &Conductivity::new(system, t)))
}

/// Conductivity of a salt in water under no air.
fn conductivity(given: &Given<'_>) -> Results {
    speciation(given)
}

/// A constant at a temperature, and Debye and Hückel's.
fn constant(given: &Given<'_>) -> Results {
    let t = celsius(given.number("degc")?);
    let (a, b) = debye_huckel(t);
    let mut out = vec![("a_debye_huckel", a), ("b_debye_huckel", b), ("permittivity", relative_permittivity(t))];
    let system = shipped();
    let sum = |steps: &[(f64, tidewright_physics::chemistry::constant::LogK)]| -> f64 {
        steps.iter().map(|(f, k)| f * k.at(t)).sum()
    };
    if let Some(name) = given.text_if("species")? {
        let s = system.species(name).ok_or_else(|| format!("no species `{name}`"))?;
        out.push(("log_k", sum(&system.species[s].steps)));
    }
    if let Some(name) = given.text_if("solid")? {
        let s = system.solid(name).ok_or_else(|| format!("no solid `{name}`"))?;
        out.push(("log_k", sum(&system.solids[s].steps)));
    }
    Ok(out)
}

/// Molar mass of a formula and the mass share of an element; mg/L in so many mmol/L.
fn mass(given: &Given<'_>) -> Results {
    let formula = given.text("formula")?;
    let m = molar_mass(formula)?;
    let mut out = vec![("g_per_mol", m)];
    if let Some(element) = given.text_if("element")? {
        let elements = tidewright_physics::chemistry::formula::elements(formula)?;
        let n: f64 = elements.iter().filter(|(e, _)| e == element).map(|(_, n)| n).sum();
        out.push(("mass_percent", 100.0 * n * molar_mass(element)? / m));
    }
    if let Some(mmol) = given.number_if("mmol_l")? {
        out.push(("mg_l", mmol * m));
    }
    Ok(out)
}

/// An amount as a report prints it.
fn printed(given: &Given<'_>) -> Results {
    let name = given.text("what")?;
    let what = amount::analyte(name).ok_or_else(|| format!("no analyte `{name}`"))?;
    let mmol = amount::parse(what, given.text("text")?).map_err(|f| f.say())?;
    Ok(vec![("mmol_l", mmol), ("mg_l", amount::mg_l(what, mmol))])
}
