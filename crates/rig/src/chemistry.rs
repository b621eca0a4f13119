//! The rows of species and solids, read into the system that physics solves.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use tidewright_physics::chemistry::activity::davies;
use tidewright_physics::chemistry::constant::LogK;
use tidewright_physics::chemistry::system::Mobility;
use tidewright_physics::chemistry::{Component, Solid, Species, System, activity};
use tidewright_physics::quantity::celsius;

/// Species and solids as they ship.
pub const SPECIES: &str = include_str!("../../../data/species.toml");

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    component: Vec<ComponentRow>,
    species: Vec<Row>,
    solid: Vec<Row>,
    gas: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ComponentRow {
    name: String,
    charge: i32,
    element: String,
    size: Option<(f64, f64)>,
    mobility: Option<Vec<f64>>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    formula: Option<String>,
    of: BTreeMap<String, f64>,
    log_k: Option<f64>,
    delta_h_kj: Option<f64>,
    analytic: Option<Vec<f64>>,
    ionic_strength: Option<f64>,
    size: Option<(f64, f64)>,
    mobility: Option<Vec<f64>>,
    #[serde(default)]
    quiet: bool,
    #[serde(default)]
    doubt: f64,
    source: String,
}

/// The system that ships.
pub fn shipped() -> &'static System {
    static SYSTEM: OnceLock<System> = OnceLock::new();
    // The shipped rows are checked by a test; a fault in them leaves a system without species, which solves nothing.
    SYSTEM.get_or_init(|| read(SPECIES).unwrap_or_default())
}

/// Reads rows of components, species, solids and the gas.
///
/// # Errors
/// What is wrong, with the row's name.
pub fn read(text: &str) -> Result<System, String> {
    let file: File = toml::from_str(text).map_err(|e| e.message().to_owned())?;
    let mut system = System::default();
    for (i, c) in file.component.iter().enumerate() {
        if c.source.is_empty() || (i == System::H) != (c.name == "H") {
            return Err(format!("component {} needs a source, and H stands first", c.name));
        }
        system.components.push(Component { name: c.name.clone(), element: c.element.clone() });
        system.species.push(Species {
            name: c.name.clone(),
            charge: c.charge,
            of: vec![(i, 1.0)],
            water: 0.0,
            steps: Vec::new(),
            size: c.size,
            mobility: mobility(c.mobility.as_deref()),
        });
    }
    for row in &file.species {
        if system.species(&row.name).is_some() {
            return Err(format!("species {} stands twice", row.name));
        }
        let made = resolve(&system, row)?;
        let charge: f64 = made.of.iter().map(|&(c, n)| n * f64::from(system.charge(c))).sum();
        if charge.fract() != 0.0 {
            return Err(format!("species {} has a broken charge", row.name));
        }
        system.species.push(Species {
            name: row.name.clone(),
            charge: charge as i32,
            of: made.of,
            water: made.water,
            steps: made.steps,
            size: row.size,
            mobility: mobility(row.mobility.as_deref()),
        });
    }
    for row in &file.solid {
        // A solid's constant is that of dissolving; the constants of species that it gives are of forming.
        let made = resolve(&system, row)?;
        let charge: f64 = made.of.iter().map(|&(c, n)| n * f64::from(system.charge(c))).sum();
        if charge != 0.0 {
            return Err(format!("solid {} is charged", row.name));
        }
        let steps = made.steps.iter().enumerate().map(|(i, &(f, k))| (if i == 0 { f } else { -f }, k)).collect();
        system.solids.push(Solid {
            name: row.name.clone(),
            formula: row.formula.clone().unwrap_or_default(),
            of: made.of,
            water: made.water,
            steps,
            quiet: row.quiet,
            doubt: row.doubt,
        });
    }
    for row in &file.gas {
        system.carbon_dioxide = resolve(&system, row)?.steps;
    }
    Ok(system)
}

fn mobility(row: Option<&[f64]>) -> Option<Mobility> {
    match *row? {
        [at_25, t] => Some(Mobility { at_25, t, apart: None }),
        [at_25, t, apart] => Some(Mobility { at_25, t, apart: Some(apart) }),
        _ => None,
    }
}

struct Made {
    of: Vec<(usize, f64)>,
    water: f64,
    steps: Vec<(f64, LogK)>,
}

/// A row in components alone: species that it is made of are followed to theirs.
fn resolve(system: &System, row: &Row) -> Result<Made, String> {
    if row.source.is_empty() {
        return Err(format!("{} has no source", row.name));
    }
    let mut own = match (&row.analytic, row.log_k) {
        (Some(a), None) if (1..=6).contains(&a.len()) => {
            let mut six = [0.0; 6];
            six[..a.len()].copy_from_slice(a);
            LogK::Analytic(six)
        }
        (None, Some(log_k)) => LogK::Enthalpy { log_k, delta_h: 1e3 * row.delta_h_kj.unwrap_or(0.0) },
        _ => return Err(format!("{} needs either log_k or analytic", row.name)),
    };
    let mut of: BTreeMap<usize, f64> = BTreeMap::new();
    let (mut water, mut later) = (0.0, Vec::new());
    // Σ z² of what it is made of, less its own: how the constant moves with ionic strength.
    let (mut squares, mut charge) = (0.0, 0.0);
    for (name, n) in &row.of {
        if name == "H2O" {
            water += n;
            continue;
        }
        let part = system
            .species(name)
            .and_then(|i| system.species.get(i))
            .ok_or_else(|| format!("{} is made of {name}, which stands nowhere before it", row.name))?;
        for &(c, k) in &part.of {
            *of.entry(c).or_default() += n * k;
        }
        water += n * part.water;
        later.extend(part.steps.iter().map(|&(f, k)| (n * f, k)));
        squares += n * f64::from(part.charge * part.charge);
        charge += n * f64::from(part.charge);
    }
    if let (Some(i), LogK::Enthalpy { log_k, .. }) = (row.ionic_strength, &mut own) {
        let (a, _) = activity::debye_huckel(celsius(25.0));
        *log_k -= a * davies(i) * (charge * charge - squares);
    }
    let mut steps = vec![(1.0, own)];
    steps.extend(later);
    Ok(Made { of: of.into_iter().filter(|(_, n)| *n != 0.0).collect(), water, steps })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_rows_read() {
        let s = read(SPECIES).unwrap_or_else(|e| panic!("{e}"));
        assert!(s.species.len() > 100 && s.solids.len() > 10);
    }
}
