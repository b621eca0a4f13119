//! Checks of `plan::solution`: recipes, acids, mixing.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::chemistry::{Ask, Carbon, Hydrogen, Lens, Model, OPEN_AIR_ATM, Solver};
use tidewright_physics::quantity::celsius;
use tidewright_plan::solution::recipe::{Wanted, solve};
use tidewright_plan::solution::{acid, system};
use tidewright_rig::parts::Library;
use tidewright_rig::solution::{Salt, totals};

pub(crate) const CHECKS: Checks = &[("recipe", recipe), ("acid-table", table), ("mixing-laws", laws)];

fn shelf(library: &Library, names: &str) -> Result<Vec<Salt>, String> {
    names
        .split_whitespace()
        .map(|n| library.salts().iter().find(|s| s.id == n).cloned().ok_or_else(|| format!("no salt `{n}`")))
        .collect()
}

/// Salts of a published recipe, found again from what it should hold.
fn recipe(given: &Given<'_>) -> Results {
    let library = Library::shipped();
    let name = given.text("recipe")?;
    let recipe = library.recipes().iter().find(|r| r.id == name).ok_or("no such recipe")?;
    let shelf = shelf(&library, given.text("shelf")?)?;
    let t = celsius(20.0);
    let water = match given.text_if("water")? {
        None => vec![0.0; system().components.len()],
        Some(w) => {
            let row = library.waters().iter().find(|x| x.id == w).ok_or("no such water")?;
            acid::source(row, t).map_err(|e| e.to_string())?.totals
        }
    };
    let solved = solve(&Wanted {
        recipe,
        strength: given.number_if("strength")?.unwrap_or(1.0),
        water: &water,
        shelf: &shelf,
        ph: given.number_if("ph")?,
        ammonium: given.number_if("ammonium")?.unwrap_or(1.0),
        cheaper: 0.0,
        temperature: t,
    })?;
    let mg = |id: &str| {
        solved.salts.iter().filter(|(j, _)| shelf[*j].id == id).map(|(j, x)| x * shelf[*j].molar_mass).sum::<f64>()
    };
    let of = |c: &str| system().component(c).map_or(0.0, |i| 1e3 * solved.totals[i]);
    Ok(vec![
        ("calcium_nitrate_mg_l", mg("calcium-nitrate")),
        ("potassium_nitrate_mg_l", mg("potassium-nitrate")),
        ("magnesium_sulphate_mg_l", mg("magnesium-sulphate")),
        ("potassium_sulphate_mg_l", mg("potassium-sulphate")),
        ("monopotassium_phosphate_mg_l", mg("monopotassium-phosphate")),
        ("monoammonium_phosphate_mg_l", mg("monoammonium-phosphate")),
        ("boric_acid_mg_l", mg("boric-acid")),
        ("zinc_sulphate_mg_l", mg("zinc-sulphate")),
        ("copper_sulphate_mg_l", mg("copper-sulphate")),
        ("typical_miss", solved.miss),
        ("charge_mol_l", solved.charge.abs()),
        ("ph", solved.open.ph),
        ("n_mmol_l", of("NO3") + of("NH4")),
        ("nh4_share", of("NH4") / (of("NO3") + of("NH4")).max(1e-12)),
        ("ca_mmol_l", of("Ca")),
        ("p_mmol_l", of("PO4")),
    ])
}

/// What a volume of acid neutralises, or what acid for an alkalinity brings.
fn table(given: &Given<'_>) -> Results {
    let library = Library::shipped();
    let mut salt = shelf(&library, given.text("acid")?)?.remove(0);
    if let Some(p) = given.number_if("share_percent")? {
        salt.share = p / 100.0;
    }
    if let Some(d) = given.number_if("density_kg_l")? {
        salt.density = Some(d);
    }
    let molar = salt.molarity().ok_or("no liquid")?;
    let protons = salt.spare_protons();
    const CACO3: f64 = 100.086;
    let brings = |mmol_l: f64| {
        vec![
            ("n_mg_l", 14.007 * salt.gives("NO3") * mmol_l),
            ("s_mg_l", 32.06 * salt.gives("SO4") * mmol_l),
            ("p_mg_l", 30.974 * salt.gives("PO4") * mmol_l),
        ]
    };
    let mut out = vec![("mol_l", molar)];
    if let (Some(ounces), Some(gallons)) = (given.number_if("us_fl_oz")?, given.number_if("us_gal")?) {
        // 128 US fluid ounces in a gallon.
        let mmol_l = 1e3 * molar * ounces / (128.0 * gallons);
        out.push(("neutralises_mg_l_caco3", 0.5 * CACO3 * protons * mmol_l));
        out.extend(brings(mmol_l));
    }
    if let Some(alk) = given.number_if("alkalinity_mg_l_caco3")? {
        out.extend(brings(2.0 * alk / CACO3 / protons));
    }
    if let (Some(mmol), Some(litres)) = (given.number_if("mmol_l")?, given.number_if("litres")?) {
        out.push(("ml", mmol * litres / molar));
    }
    Ok(out)
}

/// Mixing is addition: order, dilution of concentrates, and acid.
fn laws(given: &Given<'_>) -> Results {
    let library = Library::shipped();
    let system = system();
    let shelf = shelf(&library, given.text("shelf")?)?;
    let amounts = given.numbers("mmol_l")?;
    if amounts.len() != shelf.len() {
        return Err("as many amounts as salts".into());
    }
    let part = |j: usize, by: f64| totals(system, shelf[j].gives.iter().map(|(c, n)| (c, 1e-3 * n * amounts[j] * by)));
    let add = |a: &mut Vec<f64>, b: Vec<f64>| a.iter_mut().zip(b).for_each(|(x, y)| *x += y);
    let n = system.components.len();
    let (mut forward, mut backward) = (vec![0.0; n], vec![0.0; n]);
    (0..shelf.len()).for_each(|j| add(&mut forward, part(j, 1.0)));
    (0..shelf.len()).rev().for_each(|j| add(&mut backward, part(j, 1.0)));
    // A hundredfold concentrates of the odd and the even salts, ten millilitres of each and water to a litre.
    let mut diluted = vec![0.0; n];
    for tank in 0..2 {
        let mut held = vec![0.0; n];
        (0..shelf.len()).filter(|j| j % 2 == tank).for_each(|j| add(&mut held, part(j, 100.0)));
        add(&mut diluted, held.iter().map(|x| 0.010 * x).collect());
    }
    let off = |a: &[f64], b: &[f64]| {
        a.iter().zip(b).map(|(x, y)| (x - y).abs() / (x.abs() + y.abs()).max(1e-12)).fold(0.0, f64::max)
    };
    let t = celsius(20.0);
    let mut solver =
        Solver::new(system, t, Model::TruesdellJones, |c| forward[c] != 0.0 || system.components[c].name == "CO2");
    let ask = Ask { totals: &forward, hydrogen: Hydrogen::Total, carbon: Carbon::Open(OPEN_AIR_ATM) };
    let answer = solver.solve(&ask).map_err(|e| e.to_string())?;
    let charge: f64 = answer.molalities().map(|(s, m)| f64::from(system.species[s].charge) * m).sum();
    let ions: f64 = answer.molalities().map(|(s, m)| f64::from(system.species[s].charge.abs()) * m).sum();
    let mut lens = Lens::new(system, t, Model::TruesdellJones, &[&forward]);
    let mut rises = 0.0;
    let mut last = f64::INFINITY;
    for k in 0..40 {
        let mut now = forward.clone();
        now[0] += 1e-4 * f64::from(k);
        if let Some(c) = system.component("NO3") {
            now[c] += 1e-4 * f64::from(k);
        }
        let ph = lens.see(&now, Carbon::Open(OPEN_AIR_ATM)).map_err(|e| e.to_string())?.ph;
        if ph >= last {
            rises += 1.0;
        }
        last = ph;
    }
    Ok(vec![
        ("order", off(&forward, &backward)),
        ("dilution", off(&forward, &diluted)),
        ("charge", charge.abs() / ions),
        ("charge_of_totals_mol_l", system.charge_of(&forward).abs()),
        ("times_that_acid_raised_the_ph", rises),
    ])
}
