//! Amounts of a substance in water as reports and recipes print them: "100 mg/L" of "NO3-N", "16.8 degdH" of "hardness".

use tidewright_physics::chemistry::formula::molar_mass;

/// What a name in a report or recipe stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Analyte {
    /// Name as it is written.
    pub name: &'static str,
    /// What it counts.
    pub counts: Counts,
    /// Formula whose mass a mass concentration means.
    formula: &'static str,
    /// Of what is counted in one of that formula.
    per: f64,
    /// Charge equivalents per one of what is counted; 0 where meq/L means nothing.
    pub charge: f64,
}

/// What an analyte counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counts {
    /// A component of the chemistry.
    Component(&'static str),
    /// Nitrogen as nitrate and ammonium together.
    Nitrogen,
    /// Calcium and magnesium together.
    Hardness,
    /// Equivalents of acid up to the end point.
    Alkalinity,
    /// Read, and not reckoned with.
    Nothing,
}

const fn ion(name: &'static str, component: &'static str, formula: &'static str, per: f64, charge: f64) -> Analyte {
    Analyte { name, counts: Counts::Component(component), formula, per, charge }
}

/// All names, ions first, then elements and oxides.
pub const ANALYTES: &[Analyte] = &[
    ion("Ca", "Ca", "Ca", 1.0, 2.0),
    ion("Mg", "Mg", "Mg", 1.0, 2.0),
    ion("K", "K", "K", 1.0, 1.0),
    ion("Na", "Na", "Na", 1.0, 1.0),
    ion("NH4", "NH4", "NH4", 1.0, 1.0),
    ion("NO3", "NO3", "NO3", 1.0, -1.0),
    ion("PO4", "PO4", "PO4", 1.0, -1.0),
    ion("H2PO4", "PO4", "H2PO4", 1.0, -1.0),
    ion("SO4", "SO4", "SO4", 1.0, -2.0),
    ion("Cl", "Cl", "Cl", 1.0, -1.0),
    ion("NH4-N", "NH4", "N", 1.0, 1.0),
    ion("NO3-N", "NO3", "N", 1.0, -1.0),
    Analyte { name: "N", counts: Counts::Nitrogen, formula: "N", per: 1.0, charge: 0.0 },
    ion("P", "PO4", "P", 1.0, -1.0),
    ion("S", "SO4", "S", 1.0, -2.0),
    ion("SO4-S", "SO4", "S", 1.0, -2.0),
    ion("CaO", "Ca", "CaO", 1.0, 2.0),
    ion("MgO", "Mg", "MgO", 1.0, 2.0),
    ion("K2O", "K", "K2O", 2.0, 1.0),
    ion("P2O5", "PO4", "P2O5", 2.0, -1.0),
    ion("SO3", "SO4", "SO3", 1.0, -2.0),
    ion("Fe", "Fe", "Fe", 1.0, 0.0),
    ion("Mn", "Mn", "Mn", 1.0, 2.0),
    ion("Zn", "Zn", "Zn", 1.0, 2.0),
    ion("Cu", "Cu", "Cu", 1.0, 2.0),
    ion("B", "B", "B", 1.0, 0.0),
    ion("Mo", "MoO4", "Mo", 1.0, -2.0),
    Analyte { name: "HCO3", counts: Counts::Alkalinity, formula: "HCO3", per: 1.0, charge: -1.0 },
    Analyte { name: "CO3", counts: Counts::Alkalinity, formula: "CO3", per: 2.0, charge: -1.0 },
    Analyte { name: "alkalinity", counts: Counts::Alkalinity, formula: "CaCO3", per: 2.0, charge: -1.0 },
    Analyte { name: "carbonate_hardness", counts: Counts::Alkalinity, formula: "CaCO3", per: 2.0, charge: -1.0 },
    Analyte { name: "hardness", counts: Counts::Hardness, formula: "CaCO3", per: 1.0, charge: 2.0 },
    Analyte { name: "SiO2", counts: Counts::Nothing, formula: "SiO2", per: 1.0, charge: 0.0 },
    Analyte { name: "Si", counts: Counts::Nothing, formula: "Si", per: 1.0, charge: 0.0 },
    Analyte { name: "F", counts: Counts::Nothing, formula: "F", per: 1.0, charge: -1.0 },
    Analyte { name: "Al", counts: Counts::Nothing, formula: "Al", per: 1.0, charge: 0.0 },
];

/// The analyte of a name, letter for letter, else whatever its case.
pub fn analyte(name: &str) -> Option<&'static Analyte> {
    ANALYTES.iter().find(|a| a.name == name).or_else(|| {
        let mut near = ANALYTES.iter().filter(|a| a.name.eq_ignore_ascii_case(name));
        near.next().filter(|_| near.next().is_none())
    })
}

/// Why a text is no amount.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// No number at its start, or one that is not finite.
    NoNumber,
    /// A decimal comma.
    Comma,
    /// Below nil.
    Negative,
    /// A number and no unit.
    NoUnit,
    /// A unit that is not known here.
    UnknownUnit(String),
    /// A unit that says nothing of this substance.
    WrongUnit(String),
    /// More than any water holds.
    Huge,
}

impl Fault {
    /// In words, to follow "… is".
    pub fn say(&self) -> String {
        match self {
            Self::NoNumber => "no number with a unit".into(),
            Self::Comma => "written with a comma: write a point".into(),
            Self::Negative => "below nil".into(),
            Self::NoUnit => "without a unit: mg/L, mmol/L or meq/L?".into(),
            Self::UnknownUnit(u) => format!(
                "in \"{u}\", which is not known here: mg/L, ug/L, mmol/L, umol/L, meq/L, degdH, degfH, gpg, mg/L CaCO3 are"
            ),
            Self::WrongUnit(u) => format!("in \"{u}\", which says nothing of it"),
            Self::Huge => "more than any water holds".into(),
        }
    }
}

/// Most that is believed \[mmol/L\].
const MOST: f64 = 5000.0;

/// An amount of an analyte \[mmol/L\] of what it counts (alkalinity: meq/L).
///
/// mg/L over the molar mass of the formula; meq/L over the charge; 1 °dH = 10 mg/L CaO, 1 °fH = 10 mg/L CaCO₃ of hardness or
/// alkalinity, 1 grain per US gallon = 64.79891 mg in 3.785411784 L of CaCO₃.
/// Sources: DIN 38409-6 for °dH (from memory); NIST Handbook 44 for the grain. Evidence: `evidence/solution/amounts.toml`.
///
/// # Errors
/// Where the text is no amount of this.
pub fn parse(what: &Analyte, text: &str) -> Result<f64, Fault> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|&(i, c)| {
            let exponent =
                (c == 'e' || c == 'E') && text[i + 1..].starts_with(|d: char| d.is_ascii_digit() || d == '-');
            let sign = (c == '-' || c == '+') && (i == 0 || text[..i].ends_with(['e', 'E']));
            !(c.is_ascii_digit() || c == '.' || exponent || sign)
        })
        .map_or(text.len(), |(i, _)| i);
    let number: f64 = text[..end].parse().map_err(|_| Fault::NoNumber)?;
    if text[end..].starts_with(',') {
        return Err(Fault::Comma);
    }
    if !number.is_finite() {
        return Err(Fault::NoNumber);
    }
    if number < 0.0 {
        return Err(Fault::Negative);
    }
    let amount = number * factor(what, text[end..].trim())?;
    if amount > MOST { Err(Fault::Huge) } else { Ok(amount) }
}

/// mmol/L of what is counted in one of a unit.
fn factor(what: &Analyte, unit: &str) -> Result<f64, Fault> {
    let plain = unit.replace(" as ", " ").replace('µ', "u").replace('₃', "3");
    let wrong = || Fault::WrongUnit(unit.to_owned());
    let mass = |formula: &str| molar_mass(formula).map_err(|_| wrong());
    // As calcium carbonate: hardness one for one, alkalinity two equivalents.
    let as_carbonate = |mg_l: f64| -> Result<f64, Fault> {
        let mmol = mg_l / mass("CaCO3")?;
        match what.counts {
            Counts::Hardness => Ok(mmol),
            Counts::Alkalinity => Ok(2.0 * mmol),
            Counts::Component("Ca" | "Mg") => Ok(mmol),
            _ => Err(wrong()),
        }
    };
    let per_mg = || -> Result<f64, Fault> { Ok(what.per / mass(what.formula)?) };
    let equivalents = |meq: f64| if what.charge == 0.0 { Err(wrong()) } else { Ok(meq / what.charge.abs()) };
    match plain.as_str() {
        "" => Err(Fault::NoUnit),
        "mg/L" | "mg/l" | "ppm" | "g/m3" => per_mg(),
        "g/L" | "g/l" => Ok(1e3 * per_mg()?),
        "ug/L" | "ug/l" | "ppb" => Ok(1e-3 * per_mg()?),
        "mol/L" | "mol/l" => Ok(1e3),
        "mmol/L" | "mmol/l" | "mM" => Ok(1.0),
        "umol/L" | "umol/l" | "uM" => Ok(1e-3),
        "meq/L" | "meq/l" | "mval/L" | "mval/l" | "me/L" | "mmolc/L" => equivalents(1.0),
        "ueq/L" | "ueq/l" => equivalents(1e-3),
        "mg/L CaCO3" | "mg/l CaCO3" | "ppm CaCO3" => as_carbonate(1.0),
        "degdH" | "°dH" | "dH" | "dGH" | "dKH" => as_carbonate(10.0 * mass("CaCO3")? / mass("CaO")?),
        "degfH" | "°fH" | "fH" | "°f" => as_carbonate(10.0),
        "gpg" | "grains/gal" => as_carbonate(64.798_91 / 3.785_411_784),
        _ => Err(Fault::UnknownUnit(unit.to_owned())),
    }
}

/// An amount or a span of amounts, "90-120 mg/L" \[mmol/L\].
///
/// # Errors
/// As [`parse`].
pub fn parse_span(what: &Analyte, text: &str) -> Result<(f64, f64), Fault> {
    let text = text.trim();
    let split = text.char_indices().find(|&(i, c)| {
        (c == '-' || c == '–') && i > 0 && text[..i].trim_end().ends_with(|d: char| d.is_ascii_digit() || d == '.')
    });
    let Some((i, dash)) = split else { return parse(what, text).map(|x| (x, x)) };
    let high_text = text[i + dash.len_utf8()..].trim();
    let unit_at = high_text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(high_text.len());
    let low = parse(what, &format!("{} {}", text[..i].trim(), high_text[unit_at..].trim()))?;
    let high = parse(what, high_text)?;
    Ok((low.min(high), low.max(high)))
}

/// mg/L of an analyte's formula in so many mmol/L of what it counts.
pub fn mg_l(what: &Analyte, mmol_l: f64) -> f64 {
    molar_mass(what.formula).map_or(f64::NAN, |m| mmol_l * m / what.per)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_amounts_are_refused() {
        let ca = analyte("Ca").unwrap();
        for bad in [
            "",
            "mg/L",
            "NaN mg/L",
            "inf mg/L",
            "-1 mg/L",
            "1,5 mg/L",
            "5",
            "5 furlong",
            "1e9 mg/L",
            "1e400 mg/L",
            "é",
            "5 µ",
        ] {
            assert!(parse(ca, bad).is_err(), "{bad}");
        }
        assert!(parse(analyte("Fe").unwrap(), "1 meq/L").is_err());
        assert!(parse(analyte("Na").unwrap(), "5 degdH").is_err());
        assert_eq!(parse_span(ca, "1-2 mmol/L"), Ok((1.0, 2.0)));
        assert_eq!(parse_span(ca, "2 – 1 mmol/L"), Ok((1.0, 2.0)));
        assert_eq!(parse_span(ca, "1e-1 mmol/L"), Ok((0.1, 0.1)));
    }
}
