use tidewright_physics::chemistry::{System, formula};

/// Something on the shelf: a salt, an acid, a base, a chelate.
#[derive(Clone, Debug, PartialEq)]
pub struct Salt {
    /// Name in data and bench files.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Formula.
    pub formula: String,
    /// Molar mass of the formula \[g/mol\].
    pub molar_mass: f64,
    /// What one formula unit gives: component and count. H counts protons given, negative where taken.
    pub gives: Vec<(String, f64)>,
    /// Mass of the formula in the product \[-\].
    pub share: f64,
    /// kg/L, of liquids.
    pub density: Option<f64>,
    /// Grams of product that 100 g of water hold, at temperatures \[°C\].
    pub soluble: Vec<(f64, f64)>,
    /// H statements.
    pub hazards: Vec<String>,
    /// Whether it feeds a fire.
    pub oxidiser: bool,
    /// Whether it burns, and must not stand beside an oxidiser.
    pub fuel: bool,
    /// The chelate it brings.
    pub chelate: Option<String>,
    /// Whether it stands on the shelf unless the bench file says otherwise.
    pub usual: bool,
    /// Price of a kilogram of product, where known.
    pub price: Option<f64>,
    /// A remark for whoever buys it.
    pub note: String,
    /// Where its numbers come from.
    pub source: String,
}

impl Salt {
    /// Grams of product in one mole of formula.
    pub fn grams_per_mol(&self) -> f64 {
        self.molar_mass / self.share
    }

    /// Count of a component in one formula unit.
    pub fn gives(&self, component: &str) -> f64 {
        self.gives.iter().filter(|(c, _)| c == component).map(|(_, n)| n).sum()
    }

    /// Protons in one formula unit beyond those that its phosphate holds as H₂PO₄⁻: less the alkalinity that it brings.
    pub fn spare_protons(&self) -> f64 {
        self.gives("H") - 2.0 * self.gives("PO4")
    }

    /// Whether it gives protons beyond those that its own phosphate holds.
    pub fn is_acid(&self) -> bool {
        self.spare_protons() > 0.0
    }

    /// Whether it takes protons.
    pub fn is_base(&self) -> bool {
        self.spare_protons() < 0.0
    }

    /// Adds so many mmol/L of it to totals \[mol/L\].
    pub fn pour_into(&self, system: &System, totals: &mut [f64], mmol_l: f64) {
        for (component, n) in &self.gives {
            if let Some(c) = system.component(component) {
                totals[c] += 1e-3 * n * mmol_l;
            }
        }
    }

    /// Moles of formula in a litre of a liquid.
    pub fn molarity(&self) -> Option<f64> {
        self.density.map(|d| 1000.0 * d * self.share / self.molar_mass)
    }

    /// Grams of product that 100 g of water hold at a temperature \[°C\], straight between the data and not beyond them: at
    /// colder or warmer the nearest.
    pub fn soluble_at(&self, celsius: f64) -> Option<f64> {
        let first = self.soluble.first()?;
        let last = self.soluble.last()?;
        if celsius <= first.0 {
            return Some(first.1);
        }
        if celsius >= last.0 {
            return Some(last.1);
        }
        let i = self.soluble.partition_point(|p| p.0 <= celsius).max(1);
        let (a, b) = (self.soluble[i - 1], self.soluble.get(i).copied().unwrap_or(*last));
        Some(a.1 + (b.1 - a.1) * (celsius - a.0) / (b.0 - a.0))
    }
}

/// What is wrong with what a salt is said to give: it must be neutral and agree with its formula.
pub(super) fn faults(
    formula_text: &str,
    gives: &[(String, f64)],
    charge: impl Fn(&str) -> Option<(i32, String)>,
) -> Vec<String> {
    let mut faults = Vec::new();
    let elements = match formula::elements(formula_text) {
        Ok(e) => e,
        Err(why) => return vec![format!("its formula \"{formula_text}\" does not read: {why}")],
    };
    let mut sum = 0.0;
    let mut counted: Vec<(String, f64)> = Vec::new();
    for (component, n) in gives {
        match charge(component) {
            None => faults.push(format!("it gives \"{component}\", which is no component")),
            Some(_) if !n.is_finite() || n.abs() > 100.0 => faults.push(format!("it gives {n} of {component}")),
            Some((z, element)) => {
                sum += f64::from(z) * n;
                match counted.iter_mut().find(|(e, _)| *e == element) {
                    Some(found) => found.1 += n,
                    None => counted.push((element, *n)),
                }
            }
        }
    }
    if sum.abs() > 1e-9 {
        faults.push(format!("what it gives has a charge of {sum}"));
    }
    for (element, n) in &counted {
        let here = elements.iter().find(|(e, _)| e == element).map_or(0.0, |(_, k)| *k);
        // Hydrogen may sit in the water or the ligand; ligands are no elements; carbon may be the ligand's.
        let ligand = formula::atomic_weight(element).is_none();
        if element != "H" && element != "C" && !ligand && (here - n).abs() > 1e-9 {
            faults.push(format!("it gives {n} {element}, its formula has {here}"));
        }
    }
    for (element, n) in &elements {
        let told = counted.iter().any(|(e, _)| e == element);
        let organic = elements.iter().any(|(e, _)| e == "C");
        if !told && !matches!(element.as_str(), "H" | "O" | "C") && !organic {
            faults.push(format!("its formula has {n} {element}, which it does not give"));
        }
    }
    faults
}
