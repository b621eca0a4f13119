//! Rows of the data files, and what can be wrong with them.

use super::amount::{ANALYTES, Counts, analyte, parse, parse_span};
use super::{Feeding, Ion, Recipe, Salt, Target, Water, salt};
use crate::chemistry;
use crate::read::nearest;
use serde::Deserialize;
use std::collections::BTreeMap;
use tidewright_physics::chemistry::formula::molar_mass;

fn whole() -> f64 {
    1.0
}

fn yes() -> bool {
    true
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SaltRow {
    id: String,
    name: String,
    formula: String,
    gives: BTreeMap<String, f64>,
    #[serde(default = "whole")]
    share: f64,
    density: Option<f64>,
    soluble_as: Option<String>,
    #[serde(default)]
    soluble: Vec<(f64, f64)>,
    #[serde(default)]
    hazards: Vec<String>,
    #[serde(default)]
    oxidiser: bool,
    #[serde(default)]
    fuel: bool,
    chelate: Option<String>,
    #[serde(default = "yes")]
    usual: bool,
    price: Option<f64>,
    #[serde(default)]
    note: String,
    source: String,
}

impl SaltRow {
    pub(crate) fn build(self) -> Result<Salt, String> {
        let system = chemistry::shipped();
        let gives: Vec<(String, f64)> = self.gives.into_iter().collect();
        let mut faults = Vec::new();
        if !(self.fuel && gives.is_empty()) {
            faults.extend(salt::faults(&self.formula, &gives, |c| {
                let i = system.component(c)?;
                Some((system.charge(i), system.components[i].element.clone()))
            }));
        }
        if !(self.share > 0.0 && self.share <= 1.0) {
            faults.push(format!("its share is {}, and must lie between 0 and 1", self.share));
        }
        if self.density.is_some_and(|d| !(0.5..=3.0).contains(&d)) {
            faults.push("its density is that of no liquid here (kg/L)".into());
        }
        if self.price.is_some_and(|p| !(0.0..=1e6).contains(&p)) {
            faults.push("its price is no price".into());
        }
        if self.source.trim().is_empty() {
            faults.push("it has no source".into());
        }
        let rising = self.soluble.windows(2).all(|w| w[0].0 < w[1].0);
        if !rising || self.soluble.iter().any(|s| !(0.0..=2000.0).contains(&s.1) || !(-20.0..=120.0).contains(&s.0)) {
            faults.push("`soluble` needs pairs of °C and g per 100 g, warmer ones later".into());
        }
        let mass = molar_mass(&self.formula).unwrap_or(f64::NAN);
        let anhydrous = match &self.soluble_as {
            Some(f) => molar_mass(f).map_err(|e| faults.push(format!("`soluble_as`: {e}"))).unwrap_or(f64::NAN),
            None => mass,
        };
        if !faults.is_empty() {
            return Err(format!("salt \"{}\": {}", self.id, faults.join("; ")));
        }
        // 100 g of water hold s g without crystal water; of the product, whose own water dissolves it too, x g:
        // x a/p = s (100 + x w)/100, a/p the share of anhydrous in it, w = 1 − a/p.
        let share = self.share * anhydrous / mass;
        let soluble = self
            .soluble
            .iter()
            .map(|&(t, s)| {
                let left = share - s / 100.0 * (1.0 - share);
                (t, if left > 0.02 { s / left } else { 50.0 * s })
            })
            .collect();
        Ok(Salt {
            id: self.id,
            name: self.name,
            molar_mass: mass,
            formula: self.formula,
            gives,
            share: self.share,
            density: self.density,
            soluble,
            hazards: self.hazards,
            oxidiser: self.oxidiser,
            fuel: self.fuel,
            chelate: self.chelate,
            usual: self.usual,
            price: self.price,
            note: self.note,
            source: self.source,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RecipeRow {
    id: String,
    name: String,
    #[serde(default)]
    crops: Vec<String>,
    targets: BTreeMap<String, String>,
    #[serde(default)]
    weights: BTreeMap<String, f64>,
    source: String,
}

fn unknown(name: &str) -> String {
    match nearest(name, ANALYTES.iter().map(|a| a.name)) {
        Some(n) => format!("\"{name}\" is not known; did you mean \"{n}\"?"),
        None => format!("\"{name}\" is not known"),
    }
}

impl RecipeRow {
    pub(crate) fn build(self) -> Result<Recipe, String> {
        let mut faults = Vec::new();
        let mut targets: Vec<Target> = Vec::new();
        for (key, text) in &self.targets {
            let Some(what) = analyte(key) else {
                faults.push(unknown(key));
                continue;
            };
            if matches!(what.counts, Counts::Hardness | Counts::Alkalinity | Counts::Nothing) {
                faults.push(format!("{key} is nothing that a recipe can ask for"));
                continue;
            }
            match parse_span(what, text) {
                Ok((low, high)) => {
                    let weight = self.weights.get(key).copied().unwrap_or(1.0);
                    if !(0.0..=1e3).contains(&weight) {
                        faults.push(format!("the weight of {key} is {weight}"));
                    }
                    if targets.iter().any(|t| t.counts == what.counts) {
                        faults.push(format!("{key} is asked for twice, under another name"));
                    }
                    targets.push(Target { name: what.name, counts: what.counts, low, high, weight });
                }
                Err(f) => faults.push(format!("{key} is {}", f.say())),
            }
        }
        for key in self.weights.keys().filter(|k| !self.targets.contains_key(*k)) {
            faults.push(format!("there is a weight for {key} and no target"));
        }
        if targets.is_empty() && faults.is_empty() {
            faults.push("it asks for nothing".into());
        }
        if self.source.trim().is_empty() {
            faults.push("it has no source".into());
        }
        if !faults.is_empty() {
            return Err(format!("recipe \"{}\": {}", self.id, faults.join("; ")));
        }
        let order = |t: &Target| ANALYTES.iter().position(|a| a.name == t.name);
        targets.sort_by_key(order);
        Ok(Recipe { id: self.id, name: self.name, crops: self.crops, targets, source: self.source })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WaterRow {
    id: String,
    name: String,
    ions: BTreeMap<String, String>,
    ph: Option<f64>,
    ec: Option<f64>,
    source: String,
}

impl WaterRow {
    pub(crate) fn build(self) -> Result<Water, String> {
        let mut faults = Vec::new();
        let mut ions: Vec<Ion> = Vec::new();
        for (key, text) in &self.ions {
            let Some(what) = analyte(key) else {
                faults.push(unknown(key));
                continue;
            };
            match parse(what, text) {
                Ok(amount) => {
                    let twice = |i: &Ion| matches!(what.counts, Counts::Component(_)) && i.what.counts == what.counts;
                    if ions.iter().any(twice) {
                        faults.push(format!("{key} stands twice, under another name"));
                    }
                    ions.push(Ion { what, amount, text: text.clone() });
                }
                Err(f) => faults.push(format!("{key} is {}", f.say())),
            }
        }
        if self.ph.is_some_and(|p| !(3.0..=11.0).contains(&p)) {
            faults.push("the pH of a water lies between 3 and 11".into());
        }
        if self.ec.is_some_and(|e| !(0.0..=20.0).contains(&e)) {
            faults.push("the EC of a water lies between 0 and 20 mS/cm".into());
        }
        if self.source.trim().is_empty() {
            faults.push("it has no source".into());
        }
        if !faults.is_empty() {
            return Err(format!("water \"{}\": {}", self.id, faults.join("; ")));
        }
        ions.sort_by_key(|i| ANALYTES.iter().position(|a| a.name == i.what.name));
        Ok(Water { id: self.id, name: self.name, ions, ph: self.ph, ec: self.ec, source: self.source })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FeedingRow {
    crop: String,
    uptake: BTreeMap<String, String>,
    sodium: (f64, f64),
    chloride: (f64, f64),
    ec: (f64, f64),
    ph: (f64, f64),
    ammonium: f64,
    source: String,
}

impl FeedingRow {
    pub(crate) fn build(self) -> Result<Feeding, String> {
        let mut faults = Vec::new();
        let mut uptake = Vec::new();
        for (key, text) in &self.uptake {
            match analyte(key).map(|what| (what.counts, parse(what, text))) {
                Some((Counts::Component(c), Ok(x))) => uptake.push((c.to_owned(), x)),
                Some((Counts::Component(_), Err(f))) => faults.push(format!("{key} is {}", f.say())),
                Some(_) => faults.push(format!("{key} is nothing that a crop takes up")),
                None => faults.push(unknown(key)),
            }
        }
        let spans = [self.sodium, self.chloride];
        let ranges = [self.ec, self.ph];
        if spans.iter().any(|s| !(s.0 >= 0.0 && s.1 > 0.0 && s.1 <= 500.0 && s.0 <= s.1))
            || ranges.iter().any(|r| !(r.0 > 0.0 && r.1 > r.0 && r.1 <= 14.0))
            || !(0.0..=1.0).contains(&self.ammonium)
        {
            faults.push("a limit or range is upside down or beyond belief".into());
        }
        if self.source.trim().is_empty() {
            faults.push("it has no source".into());
        }
        if !faults.is_empty() {
            return Err(format!("feeding of \"{}\": {}", self.crop, faults.join("; ")));
        }
        Ok(Feeding {
            crop: self.crop,
            uptake,
            sodium: self.sodium,
            chloride: self.chloride,
            ec: self.ec,
            ph: self.ph,
            ammonium: self.ammonium,
            source: self.source,
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::parts::Library;

    fn fault(row: &str) -> String {
        match Library::default().add("t", row) {
            Ok(()) => String::new(),
            Err(f) => f.sentence,
        }
    }

    #[test]
    fn all_faults_of_a_row_are_told_at_once() {
        let water = fault(
            "[[water]]\nid='a'\nname='a'\nph=99\nsource=' '\nions={Ca='5', Xy='1 mg/L', Na='-1 mg/L', NO3='1 mg/L', 'NO3-N'='1 mg/L', Cl='1 furlong'}",
        );
        for part in ["without a unit", "Xy", "below nil", "twice", "furlong", "pH", "no source"] {
            assert!(water.contains(part), "{part}: {water}");
        }
        let recipe = fault(
            "[[recipe]]\nid='a'\nname='a'\nsource='s'\ntargets={N='x', hardness='3 degdH', K='1 mmol/L', K2O='1 mg/L'}\nweights={Q=1}",
        );
        for part in ["no number", "nothing that a recipe can ask for", "twice", "weight for Q"] {
            assert!(recipe.contains(part), "{part}: {recipe}");
        }
    }

    #[test]
    fn a_salt_must_be_neutral_and_agree_with_its_formula() {
        let salt = |gives: &str, formula: &str, more: &str| {
            fault(&format!("[[salt]]\nid='a'\nname='a'\nsource='s'\nformula='{formula}'\ngives={gives}\n{more}"))
        };
        assert_eq!(salt("{K=1, NO3=1}", "KNO3", ""), "");
        assert!(salt("{K=1}", "KNO3", "").contains("charge"));
        assert!(salt("{K=1, Cl=1}", "KNO3", "").contains("formula"));
        assert!(salt("{K=1, Foo=1}", "KNO3", "").contains("no component"));
        assert!(salt("{K=1, NO3=1}", "KNO3(", "").contains("does not read"));
        for bad in ["share=0", "share=2", "density=-1", "price=-1", "soluble=[[20,1],[10,2]]", "soluble=[[20,-1]]"] {
            assert_ne!(salt("{K=1, NO3=1}", "KNO3", bad), "", "{bad}");
        }
        assert!(salt("{K=inf, NO3=1}", "KNO3", "").contains("inf"));
    }
}
