//! Units in both systems: reading "1 1/2 in", and saying a number back in the user's own units.

use serde::Serialize;
use tidewright_physics::quantity as q;

/// A kind of quantity that a bench file can hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// Metres inside.
    Length,
    /// Cubic metres inside.
    Volume,
    /// Cubic metres a second inside.
    Flow,
    /// Seconds inside.
    Time,
    /// Kelvins inside.
    Temperature,
    /// Watts inside.
    Power,
    /// Hertz inside.
    Frequency,
    /// A pure number inside; read from a percentage too.
    Ratio,
    /// Kilograms per cubic metre inside.
    Density,
    /// Kilograms inside.
    Mass,
    /// Metres a second inside.
    Speed,
    /// Moles of photons a square metre and second inside.
    Photons,
}

/// One unit: how it may be written, what it measures, and its size in SI.
struct Unit {
    names: &'static [&'static str],
    dimension: Dimension,
    factor: f64,
    offset: f64,
}

const fn unit(names: &'static [&'static str], dimension: Dimension, factor: f64) -> Unit {
    Unit { names, dimension, factor, offset: 0.0 }
}

const PER_HOUR: f64 = 1.0 / 3600.0;
const PER_MINUTE: f64 = 1.0 / 60.0;
const PER_DAY: f64 = 1.0 / 86_400.0;

/// First name of each row is the one used when speaking of the unit.
const UNITS: &[Unit] = &[
    unit(&["mm"], Dimension::Length, 1e-3),
    unit(&["cm"], Dimension::Length, 1e-2),
    unit(&["m", "metre", "meter", "metres", "meters"], Dimension::Length, 1.0),
    unit(&["um", "µm", "micron", "microns"], Dimension::Length, 1e-6),
    unit(&["in", "inch", "inches", "\""], Dimension::Length, q::INCH_M),
    unit(&["ft", "foot", "feet"], Dimension::Length, 12.0 * q::INCH_M),
    unit(&["L", "l", "litre", "liter", "litres", "liters"], Dimension::Volume, 1e-3),
    unit(&["mL", "ml"], Dimension::Volume, 1e-6),
    unit(&["m3", "m³"], Dimension::Volume, 1.0),
    unit(&["US gal", "gal", "gallon", "gallons", "US gallon", "US gallons"], Dimension::Volume, q::US_GALLON_M3),
    unit(&["imp gal", "UK gal", "imperial gallon", "imperial gallons"], Dimension::Volume, q::IMPERIAL_GALLON_M3),
    unit(&["US qt", "qt", "quart", "quarts"], Dimension::Volume, q::US_GALLON_M3 / 4.0),
    unit(&["L/h", "l/h", "L/hr", "lph"], Dimension::Flow, 1e-3 * PER_HOUR),
    unit(&["L/day", "l/day", "L/d"], Dimension::Flow, 1e-3 * PER_DAY),
    unit(&["mL/day", "ml/day", "mL/d"], Dimension::Flow, 1e-6 * PER_DAY),
    unit(&["US gal/day", "gal/day", "US gal/d"], Dimension::Flow, q::US_GALLON_M3 * PER_DAY),
    unit(&["US fl oz/day", "fl oz/day", "oz/day"], Dimension::Flow, q::US_GALLON_M3 / 128.0 * PER_DAY),
    unit(&["L/min", "l/min", "lpm"], Dimension::Flow, 1e-3 * PER_MINUTE),
    unit(&["L/s", "l/s"], Dimension::Flow, 1e-3),
    unit(&["m3/h", "m³/h"], Dimension::Flow, PER_HOUR),
    unit(&["US gal/h", "gal/h", "gph", "US gph"], Dimension::Flow, q::US_GALLON_M3 * PER_HOUR),
    unit(&["US gal/min", "gal/min", "gpm", "US gpm"], Dimension::Flow, q::US_GALLON_M3 * PER_MINUTE),
    unit(&["imp gal/h", "UK gal/h"], Dimension::Flow, q::IMPERIAL_GALLON_M3 * PER_HOUR),
    unit(&["s", "sec", "second", "seconds"], Dimension::Time, 1.0),
    unit(&["min", "minute", "minutes"], Dimension::Time, 60.0),
    unit(&["h", "hr", "hour", "hours"], Dimension::Time, 3600.0),
    unit(&["d", "day", "days"], Dimension::Time, 86_400.0),
    Unit { names: &["degC", "°C", "C"], dimension: Dimension::Temperature, factor: 1.0, offset: 273.15 },
    Unit {
        names: &["degF", "°F", "F"],
        dimension: Dimension::Temperature,
        factor: 5.0 / 9.0,
        offset: 273.15 - 32.0 * 5.0 / 9.0,
    },
    unit(&["K"], Dimension::Temperature, 1.0),
    unit(&["W", "watt", "watts"], Dimension::Power, 1.0),
    unit(&["kW"], Dimension::Power, 1e3),
    unit(&["Hz"], Dimension::Frequency, 1.0),
    unit(&["%", "percent"], Dimension::Ratio, 0.01),
    unit(&["umol/m2/s", "µmol/m²/s", "umol/m²/s", "µmol/m2/s"], Dimension::Photons, 1e-6),
    unit(&["m/s"], Dimension::Speed, 1.0),
    unit(&["km/h", "kph"], Dimension::Speed, 1.0 / 3.6),
    unit(&["mph"], Dimension::Speed, 5280.0 * 12.0 * q::INCH_M * PER_HOUR),
    unit(&["kg"], Dimension::Mass, 1.0),
    unit(&["mg"], Dimension::Mass, 1e-6),
    unit(&["g", "gram", "grams"], Dimension::Mass, 1e-3),
    unit(&["oz", "ounce", "ounces"], Dimension::Mass, q::POUND_KG / 16.0),
    unit(&["lb", "lbs", "pound", "pounds"], Dimension::Mass, q::POUND_KG),
    unit(&["kg/m3", "kg/m³"], Dimension::Density, 1.0),
    unit(&["kg/L", "g/cm3", "g/cm³"], Dimension::Density, 1e3),
];

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

impl Dimension {
    /// What it is called in a sentence, with an example.
    pub fn describe(self) -> (&'static str, &'static str) {
        match self {
            Self::Length => ("a length", "\"200 mm\" or \"8 in\""),
            Self::Volume => ("a volume", "\"70 L\" or \"18 US gal\""),
            Self::Flow => ("a flow", "\"830 L/h\" or \"220 US gal/h\""),
            Self::Time => ("a time", "\"15 min\" or \"30 s\""),
            Self::Temperature => ("a temperature", "\"20 degC\" or \"68 degF\""),
            Self::Power => ("a power", "\"25 W\""),
            Self::Frequency => ("a frequency", "\"50 Hz\""),
            Self::Ratio => ("a share", "\"75 %\" or 0.75"),
            Self::Density => ("a density", "\"70 kg/m3\""),
            Self::Speed => ("a speed", "\"2 m/s\" or \"5 mph\""),
            Self::Mass => ("a weight", "\"960 g\" or \"2.1 lb\""),
            Self::Photons => ("a photon flux", "\"200 umol/m2/s\""),
        }
    }

    /// The unit that a bare number of this size most likely had.
    pub fn likely_unit(self, number: f64) -> &'static str {
        let n = number.abs();
        match self {
            Self::Length if n < 4.0 => "m",
            Self::Length if n < 100.0 => "cm",
            Self::Length => "mm",
            Self::Volume => "L",
            Self::Flow if n <= 30.0 => "L/min",
            Self::Flow => "L/h",
            Self::Time => "min",
            Self::Temperature if n > 45.0 => "degF",
            Self::Temperature => "degC",
            Self::Power => "W",
            Self::Frequency => "Hz",
            Self::Ratio => "%",
            Self::Density => "kg/m3",
            Self::Speed => "m/s",
            Self::Mass => "g",
            Self::Photons => "umol/m2/s",
        }
    }
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

/// The system that a person measures in; sentences speak it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// Millimetres, litres, litres an hour.
    #[default]
    Metric,
    /// Inches, US gallons, US gallons an hour.
    UsCustomary,
}

/// Rounds to `digits` significant digits and prints without a needless tail.
pub fn round_to(x: f64, digits: i32) -> String {
    if x == 0.0 || !x.is_finite() {
        return if x == 0.0 { "0".into() } else { "—".into() };
    }
    let places = (digits - 1 - x.abs().log10().floor() as i32).max(0) as usize;
    let scale = 10f64.powi(digits - 1 - x.abs().log10().floor() as i32);
    let s = format!("{:.places$}", (x * scale).round() / scale);
    if s.contains('.') { s.trim_end_matches('0').trim_end_matches('.').to_owned() } else { s }
}

impl System {
    /// A depth or a part's size: whole millimetres, or inches to a sixteenth's worth of decimals.
    pub fn length(self, metres: f64) -> String {
        match self {
            Self::Metric => {
                let mm = metres * 1e3;
                if mm.abs() < 9.95 { format!("{} mm", round_to(mm, 2)) } else { format!("{mm:.0} mm") }
            }
            Self::UsCustomary => format!("{:.2} in", metres / q::INCH_M),
        }
    }

    /// A distance: metres or feet.
    pub fn distance(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{metres:.2} m"),
            Self::UsCustomary => format!("{:.1} ft", metres / (12.0 * q::INCH_M)),
        }
    }

    /// A volume: litres or US gallons.
    pub fn volume(self, m3: f64) -> String {
        let (n, name) = match self {
            Self::Metric => (m3 * 1e3, "L"),
            Self::UsCustomary => (m3 / q::US_GALLON_M3, "US gal"),
        };
        if n.abs() < 10.0 { format!("{n:.1} {name}") } else { format!("{n:.0} {name}") }
    }

    /// A plant's share of water: millilitres or US fluid ounces, litres or gallons from there on.
    pub fn sip(self, m3: f64) -> String {
        match self {
            Self::Metric if m3.abs() < 9.95e-6 && m3 != 0.0 => format!("{:.1} mL", m3 * 1e6),
            Self::Metric if m3.abs() < 9.95e-4 => format!("{:.0} mL", m3 * 1e6),
            Self::UsCustomary if m3.abs() < 0.5 * q::US_GALLON_M3 => {
                format!("{} fl oz", round_to(m3 / q::US_GALLON_M3 * 128.0, 2))
            }
            _ => self.volume(m3),
        }
    }

    /// A flow: litres or US gallons an hour.
    pub fn flow(self, m3_s: f64) -> String {
        match self {
            Self::Metric => format!("{:.0} L/h", m3_s * q::LITRES_PER_HOUR),
            Self::UsCustomary => format!("{:.0} US gal/h", m3_s * 3600.0 / q::US_GALLON_M3),
        }
    }

    /// A speed: metres or feet a second.
    pub fn velocity(self, m_s: f64) -> String {
        match self {
            Self::Metric => format!("{m_s:.1} m/s"),
            Self::UsCustomary => format!("{:.1} ft/s", m_s / (12.0 * q::INCH_M)),
        }
    }

    /// A temperature.
    pub fn temperature(self, kelvin: f64) -> String {
        match self {
            Self::Metric => format!("{:.0} °C", kelvin - 273.15),
            Self::UsCustomary => format!("{:.0} °F", (kelvin - 273.15) * 1.8 + 32.0),
        }
    }
}

/// A duration as a person says it: "45 s", "2 min 28 s", "1 h 5 min".
pub fn duration(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "never".into();
    }
    if seconds < 1.0 && seconds > 0.0 {
        return "under 1 s".into();
    }
    let s = seconds.round() as i64;
    match s {
        ..60 => format!("{s} s"),
        60..3600 if s % 60 == 0 => format!("{} min", s / 60),
        60..3600 => format!("{} min {} s", s / 60, s % 60),
        _ => {
            let minutes = (seconds / 60.0).round() as i64;
            if minutes % 60 == 0 {
                format!("{} h", minutes / 60)
            } else {
                format!("{} h {} min", minutes / 60, minutes % 60)
            }
        }
    }
}

/// A duration as a stopwatch shows it: "2:28".
pub fn stopwatch(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "never".into();
    }
    let s = seconds.round() as i64;
    if s >= 3600 {
        format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
    } else {
        format!("{}:{:02}", s / 60, s % 60)
    }
}

/// A time of day, "07:15".
pub fn clock(seconds: f64) -> String {
    let m = (seconds / 60.0).round() as i64;
    format!("{:02}:{:02}", m / 60 % 24, m % 60)
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
