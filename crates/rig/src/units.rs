//! Units in both systems: reading "1 1/2 in", and saying a number back in the user's own units.

mod say;
mod table;

pub use say::{System, clock, duration, round_to, stopwatch};
pub use table::Dimension;

use table::UNITS;
use tidewright_physics::quantity as q;

/// A number read with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Read {
    /// In SI base units.
    pub si: f64,
    /// A gallon without saying whose.
    pub bare_gallon: bool,
    /// Written in US customary units.
    pub customary: bool,
}

/// Why a text is no quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// No number at its start.
    NoNumber,
    /// A number, and no unit.
    NoUnit,
    /// A unit that is not known; the nearest known one, if any is near.
    UnknownUnit(String, Option<&'static str>),
    /// A known unit of something else.
    WrongDimension(&'static str, Dimension),
    /// A decimal comma.
    Comma(String),
    /// Not a finite number.
    NotFinite,
}

/// Reads a number with its unit. A pure ratio may stand without a unit.
///
/// # Errors
/// [`Fault`] says which part of the text is missing or strange.
pub fn parse(text: &str, wanted: Dimension) -> Result<Read, Fault> {
    let text = text.trim();
    if wanted == Dimension::Time
        && let Some(si) = stopwatch_reading(text)
    {
        return Ok(Read { si, bare_gallon: false, customary: false });
    }
    let (number, rest) = split_number(text)?;
    if !number.is_finite() {
        return Err(Fault::NotFinite);
    }
    let name = rest.trim();
    if name.is_empty() {
        if wanted == Dimension::Ratio {
            return Ok(Read { si: number, bare_gallon: false, customary: false });
        }
        return Err(Fault::NoUnit);
    }
    // Feet and inches are one length in two units.
    if wanted == Dimension::Length
        && let Some((feet_unit, inches)) = name.split_once(char::is_whitespace)
        && ["ft", "'"].contains(&feet_unit)
        && let Ok(r) = parse(inches, Dimension::Length)
    {
        let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
        return Ok(Read { si: number * 12.0 * q::INCH_M + sign * r.si, bare_gallon: false, customary: true });
    }
    let found = UNITS
        .iter()
        .find(|u| u.names.contains(&name))
        .or_else(|| UNITS.iter().find(|u| u.names.iter().any(|n| n.eq_ignore_ascii_case(name) && n.len() > 1)));
    let Some(found) = found else {
        return Err(Fault::UnknownUnit(name.to_owned(), nearest_unit(name, wanted)));
    };
    if found.dimension != wanted {
        return Err(Fault::WrongDimension(found.names[0], found.dimension));
    }
    let si = number * found.factor + found.offset;
    if !si.is_finite() {
        return Err(Fault::NotFinite);
    }
    let first = found.names[0];
    Ok(Read {
        si,
        bare_gallon: first.starts_with("US gal") && !name.to_ascii_lowercase().starts_with("us"),
        customary: first.starts_with("US") || ["in", "ft", "degF"].contains(&first),
    })
}

/// "4:20" or "4 min 20 s", as a stopwatch is read.
fn stopwatch_reading(text: &str) -> Option<f64> {
    let whole = |t: &str| t.trim().parse::<u32>().ok().map(f64::from);
    if let Some((m, s)) = text.split_once(':') {
        return whole(s).filter(|s| *s < 60.0).and_then(|s| Some(60.0 * whole(m)? + s));
    }
    let (m, s) = text.split_once("min")?;
    let s = s.trim().strip_suffix('s')?;
    Some(60.0 * whole(m)? + whole(s).filter(|s| *s < 60.0)?)
}

fn nearest_unit(name: &str, wanted: Dimension) -> Option<&'static str> {
    UNITS
        .iter()
        .filter(|u| u.dimension == wanted)
        .flat_map(|u| u.names.iter().map(move |n| (strsim::damerau_levenshtein(n, name), u.names[0])))
        .filter(|(d, _)| *d <= 2)
        .min_by_key(|(d, _)| *d)
        .map(|(_, n)| n)
}

/// The leading decimal number of a text and what follows it.
fn decimal(t: &str) -> Option<(f64, &str)> {
    let mut end = 0;
    for (i, c) in t.char_indices() {
        let exponent = (c == 'e' || c == 'E')
            && i > 0
            && t[i + 1..].starts_with(|d: char| d.is_ascii_digit() || d == '-' || d == '+');
        let sign = (c == '-' || c == '+') && (i == 0 || t[..i].ends_with(['e', 'E']));
        if !(c.is_ascii_digit() || c == '.' || c == '_' || exponent || sign) {
            break;
        }
        end = i + c.len_utf8();
    }
    t[..end].replace('_', "").parse::<f64>().ok().map(|n| (n, &t[end..]))
}

/// The leading number: "2", "0.5", "1/2", "1 1/2", "1-1/2", "2e-3".
fn split_number(text: &str) -> Result<(f64, &str), Fault> {
    let lower = text.to_ascii_lowercase();
    if ["nan", "inf", "-inf", "+inf"].iter().any(|w| lower.starts_with(w)) && !lower.starts_with("inch") {
        return Err(Fault::NotFinite);
    }
    let (first, rest) = decimal(text).ok_or(Fault::NoNumber)?;
    if rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        let group = rest[1..].chars().take_while(char::is_ascii_digit).count();
        // Three digits behind a comma may be thousands as well as decimals.
        return Err(Fault::Comma(text.replacen(',', if group == 3 { "" } else { "." }, 1)));
    }
    if let Some(below) = rest.strip_prefix('/')
        && let Some((b, rest)) = decimal(below)
    {
        return Ok((first / b, rest));
    }
    let joint = rest.trim_start_matches([' ', '-']);
    if joint.len() < rest.len()
        && let Some((above, after)) = decimal(joint)
        && let Some(below) = after.strip_prefix('/')
        && let Some((b, rest)) = decimal(below)
    {
        let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
        return Ok((first + sign * above / b, rest));
    }
    Ok((first, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_people_write() {
        let ok = |t, d| parse(t, d).unwrap().si;
        for (text, want) in [
            ("200 mm", 0.2),
            ("8 in", 0.2032),
            ("1/2 in", 0.0127),
            ("1 1/2 in", 0.0381),
            ("1-1/2 in", 0.0381),
            ("5 ft 3 in", 1.6002),
            ("20 cm", 0.2),
        ] {
            assert!((ok(text, Dimension::Length) - want).abs() < 1e-12, "{text}");
        }
        assert!((ok("28 US gal", Dimension::Volume) - 0.105_991_529_952).abs() < 1e-12);
        assert!((ok("220 US gal/h", Dimension::Flow) * 3.6e6 - 832.790_592_48).abs() < 1e-6);
        assert!((ok("68 degF", Dimension::Temperature) - 293.15).abs() < 1e-9);
        assert_eq!(ok("4 min 20 s", Dimension::Time), 260.0);
        assert_eq!(ok("4:20", Dimension::Time), 260.0);
        assert!((ok("-2 ft 6 in", Dimension::Length) + 0.762).abs() < 1e-12);
        assert!((ok("-1 1/2 ft", Dimension::Length) + 0.4572).abs() < 1e-12);
        assert!((ok("75 %", Dimension::Ratio) - 0.75).abs() < 1e-15);
        assert!(parse("28 gal", Dimension::Volume).unwrap().bare_gallon);
    }

    #[test]
    fn names_what_is_wrong() {
        let fault = |t, d| parse(t, d).unwrap_err();
        assert_eq!(fault("200", Dimension::Length), Fault::NoUnit);
        assert_eq!(fault("", Dimension::Length), Fault::NoNumber);
        assert_eq!(fault("0,86 m", Dimension::Length), Fault::Comma("0.86 m".into()));
        assert_eq!(fault("NaN m", Dimension::Length), Fault::NotFinite);
        assert_eq!(fault("1e400 m", Dimension::Length), Fault::NotFinite);
        assert_eq!(fault("3 L", Dimension::Length), Fault::WrongDimension("L", Dimension::Volume));
        assert_eq!(fault("3 mmm", Dimension::Length), Fault::UnknownUnit("mmm".into(), Some("mm")));
        assert_eq!(fault("1/0 in", Dimension::Length), Fault::NotFinite);
    }

    #[test]
    fn says_durations_as_people_do() {
        assert_eq!(duration(148.2), "2 min 28 s");
        assert_eq!(duration(900.0), "15 min");
        assert_eq!(duration(3900.0), "1 h 5 min");
        assert_eq!(stopwatch(148.2), "2:28");
    }
}
