use super::amount::{Analyte, Counts, mg_l};
use super::totals;
use tidewright_physics::chemistry::{System, alkalinity};

/// One line of a water report.
#[derive(Clone, Debug, PartialEq)]
pub struct Ion {
    /// What it is.
    pub what: &'static Analyte,
    /// mmol/L of what it counts (alkalinity: meq/L).
    pub amount: f64,
    /// As printed.
    pub text: String,
}

/// A water report.
#[derive(Clone, Debug, PartialEq)]
pub struct Water {
    /// Name in data and bench files.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Its lines.
    pub ions: Vec<Ion>,
    /// pH, where printed.
    pub ph: Option<f64>,
    /// Conductivity at 25 °C, where printed \[mS/cm\].
    pub ec: Option<f64>,
    /// Where it comes from.
    pub source: String,
}

/// Share of the hardness that is calcium where a report does not tell them apart. Common practice, no source.
const CALCIUM_SHARE: f64 = 0.8;

impl Water {
    /// Components \[mmol/L\], hardness shared out where calcium or magnesium is not printed, and remarks on that.
    pub fn components(&self) -> (Vec<(&'static str, f64)>, Vec<String>) {
        let mut all: Vec<(&'static str, f64)> = Vec::new();
        let mut remarks = Vec::new();
        for ion in &self.ions {
            match ion.what.counts {
                Counts::Component(c) => all.push((c, ion.amount)),
                Counts::Nitrogen => {
                    all.push(("NO3", ion.amount));
                    remarks.push("Nitrogen without its form is taken as nitrate.".into());
                }
                Counts::Nothing if ion.amount > 0.0 => remarks.push(format!("{} is not reckoned with.", ion.what.name)),
                _ => {}
            }
        }
        let printed = |n: &str| self.ions.iter().find(|i| i.what.name == n);
        if let (Some(a), Some(h)) = (printed("alkalinity"), printed("HCO3"))
            && (a.amount - h.amount).abs() > 0.1 * a.amount.max(0.2)
        {
            remarks.push(format!(
                "Alkalinity makes {:.2} meq/L, hydrogen carbonate {:.2}: one of them is off; alkalinity is taken.",
                a.amount, h.amount
            ));
        }
        if let Some(a) = printed("alkalinity").filter(|a| a.text.contains("mg/") && !a.text.contains("CaCO3")) {
            remarks.push(format!(
                "Alkalinity of {} is taken as CaCO3: {:.2} meq/L. As HCO3 it would be {:.2}; write it as HCO3 then.",
                a.text,
                a.amount,
                a.amount * 50.043 / 61.017
            ));
        }
        let Some(hard) = self.ions.iter().find(|i| i.what.counts == Counts::Hardness) else { return (all, remarks) };
        let of = |all: &[(&str, f64)], c: &str| all.iter().find(|(n, _)| *n == c).map(|(_, x)| *x);
        match (of(&all, "Ca"), of(&all, "Mg")) {
            (Some(ca), None) if ca > 1.02 * hard.amount => {
                remarks.push(format!(
                    "Calcium alone makes {ca:.2} mmol/L, the hardness printed is {:.2} mmol/L: one of them is off.",
                    hard.amount
                ));
            }
            (Some(ca), None) => {
                all.push(("Mg", (hard.amount - ca).max(0.0)));
                remarks.push("Magnesium is what the hardness leaves beside calcium.".into());
            }
            (None, Some(mg)) => {
                all.push(("Ca", (hard.amount - mg).max(0.0)));
                remarks.push("Calcium is what the hardness leaves beside magnesium.".into());
            }
            (None, None) => {
                all.push(("Ca", CALCIUM_SHARE * hard.amount));
                all.push(("Mg", (1.0 - CALCIUM_SHARE) * hard.amount));
                remarks.push("Hardness is taken as four fifths calcium and one fifth magnesium: common practice.".into());
            }
            (Some(ca), Some(mg)) if (ca + mg - hard.amount).abs() > 0.1 * hard.amount.max(0.1) => remarks.push(format!(
                "Calcium and magnesium make {:.2} mmol/L, the hardness printed is {:.2} mmol/L: one of them is off.",
                ca + mg,
                hard.amount
            )),
            _ => {}
        }
        (all, remarks)
    }

    /// Alkalinity \[meq/L\]: as printed, else what the balance of charge leaves.
    pub fn alkalinity(&self, system: &System) -> (f64, bool) {
        // A report that prints both alkalinity and bicarbonate prints the same thing twice.
        let one = |names: &[&str]| {
            let found: Vec<f64> = self.ions.iter().filter(|i| names.contains(&i.what.name)).map(|i| i.amount).collect();
            if found.is_empty() { None } else { Some(found.iter().sum::<f64>()) }
        };
        let printed = one(&["alkalinity"]).or_else(|| one(&["HCO3", "CO3"])).or_else(|| one(&["carbonate_hardness"]));
        match printed {
            Some(a) => (a, true),
            None => (self.balance(system).0.max(0.0), false),
        }
    }

    /// Cations less anions without alkalinity, and the sum of both \[meq/L\].
    fn balance(&self, system: &System) -> (f64, f64) {
        self.components().0.iter().fold((0.0, 0.0), |(net, all), &(c, x)| {
            // Phosphate near neutral, and metals at their own charge.
            let z = match c {
                "PO4" => -1.0,
                _ => system.component(c).map_or(0.0, |i| f64::from(system.charge(i))),
            };
            (net + z * x, all + (z * x).abs())
        })
    }

    /// Cations, anions with alkalinity \[meq/L\].
    pub fn sums(&self, system: &System) -> (f64, f64) {
        let (net, all) = self.balance(system);
        let (cations, anions) = (0.5 * (all + net), 0.5 * (all - net));
        (cations, anions + self.alkalinity(system).0)
    }

    /// Totals \[mol/L\]; the protons are those of its alkalinity, carbon is left to the caller.
    pub fn totals(&self, system: &System) -> Vec<f64> {
        let mut all = totals(system, self.components().0.iter().map(|&(c, x)| (c, 1e-3 * x)));
        alkalinity::set(system, &mut all, 1e-3 * self.alkalinity(system).0);
        all
    }

    /// mg/L of a component as an ion, for limits that are printed so.
    pub fn mg_l(&self, name: &str) -> f64 {
        let what = super::amount::analyte(name);
        let found = self.components().0.iter().filter(|(c, _)| *c == name).map(|(_, x)| x).sum::<f64>();
        what.map_or(0.0, |w| mg_l(w, found))
    }
}
