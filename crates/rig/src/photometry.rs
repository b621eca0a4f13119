//! Photometric files of lamps: ANSI/IES LM-63, type C. Hostile ones give findings, never a panic.

use crate::finding::{Finding, Place, Severity};
use tidewright_physics::light::web::Web;

/// What a photometric file tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Photometry {
    /// Intensity over directions \[cd\].
    pub web: Web,
    /// Input power \[W\], where the file says.
    pub watts: Option<f64>,
    /// Luminous length and width \[m\].
    pub size_m: (f64, f64),
    /// Keyword lines, as they stand.
    pub keywords: Vec<(String, String)>,
}

/// A file larger than this is none that a lamp's maker writes \[bytes\].
const LARGEST: usize = 4 << 20;
/// More angles than this no goniometer gives.
const MOST_ANGLES: usize = 2000;
const FOOT_M: f64 = 0.3048;

/// Reads the text of a photometric file.
///
/// The standard's form: a line with its version, keyword lines, `TILT=`, then numbers apart by blanks, commas or line ends: lamps,
/// lumens, multiplier, vertical and horizontal angles, type (1 is C), units (1 feet, 2 metres), width, length, height; ballast
/// factor, a factor of later use, watts; vertical angles, horizontal angles, candela plane by plane. A negative width or length
/// is a round lamp.
/// Source: ANSI/IES LM-63-02 and -19 (order of the fields from memory).
///
/// # Errors
/// One finding that names what is wrong, with its line.
pub fn read(file: &str, text: &str) -> Result<Photometry, Box<Finding>> {
    parse(text).map_err(|(line, sentence)| {
        let mut place = Place::key(file);
        place.line = line;
        Box::new(
            Finding::new(
                Severity::Stop,
                "lamp-file",
                "The lamp's photometric file does not read",
                format!("{file}, line {line}: {sentence}"),
            )
            .at(place)
            .mend("Ask its maker for the file in the form of IES LM-63, type C photometry."),
        )
    })
}

type Fault = (usize, String);

/// Numbers of the body with their lines.
struct Numbers<'t> {
    all: Vec<(usize, &'t str)>,
    at: usize,
    last_line: usize,
}

impl Numbers<'_> {
    fn next(&mut self, what: &str) -> Result<f64, Fault> {
        let Some((line, word)) = self.all.get(self.at).copied() else {
            return Err((self.last_line, format!("the file ends before {what}.")));
        };
        self.at += 1;
        match word.parse::<f64>() {
            Ok(x) if x.is_finite() => Ok(x),
            _ => Err((line, format!("\"{}\" is no number, where {what} is due.", clip(word)))),
        }
    }

    fn line(&self) -> usize {
        self.all.get(self.at.saturating_sub(1)).map_or(self.last_line, |w| w.0)
    }

    fn count(&mut self, what: &str) -> Result<usize, Fault> {
        let x = self.next(what)?;
        if x.fract() != 0.0 || !(1.0..=MOST_ANGLES as f64).contains(&x) {
            return Err((self.line(), format!("{what} is {x}; from 1 to {MOST_ANGLES} is due.")));
        }
        Ok(x as usize)
    }

    fn list(&mut self, n: usize, what: &str) -> Result<Vec<f64>, Fault> {
        (0..n).map(|_| self.next(what)).collect()
    }
}

fn clip(word: &str) -> String {
    word.chars().take(24).filter(|c| !c.is_control()).collect()
}

fn parse(text: &str) -> Result<Photometry, Fault> {
    if text.len() > LARGEST {
        return Err((1, format!("it has {} bytes; at most {LARGEST} are read.", text.len())));
    }
    let text = text.trim_start_matches('\u{feff}');
    let mut keywords = Vec::new();
    let mut tilt = None;
    for (i, line) in text.lines().enumerate() {
        let t = line.trim();
        if let Some(rest) = t.strip_prefix("TILT=").or_else(|| t.strip_prefix("TILT =")) {
            tilt = Some((i, rest.trim().to_owned()));
            break;
        }
        if let Some((key, value)) = t.strip_prefix('[').and_then(|r| r.split_once(']')) {
            keywords.push((key.trim().to_owned(), value.trim().to_owned()));
        }
    }
    let Some((tilt_line, tilt)) = tilt else {
        return Err((1, "there is no line TILT=, which every such file has.".into()));
    };
    let mut all: Vec<(usize, &str)> = Vec::new();
    for (i, line) in text.lines().enumerate().skip(tilt_line + 1) {
        all.extend(line.split(|c: char| c.is_whitespace() || c == ',').filter(|w| !w.is_empty()).map(|w| (i + 1, w)));
    }
    let last_line = text.lines().count();
    let mut n = Numbers { all, at: 0, last_line };
    match tilt.to_ascii_uppercase().as_str() {
        "NONE" => {}
        "INCLUDE" => {
            // Of lamps that shine less when turned; ours hang level, so the table is only passed over.
            n.next("the lamp's position")?;
            let pairs = n.count("the number of tilt angles")?;
            n.list(2 * pairs, "the tilt table")?;
        }
        other => {
            return Err((
                tilt_line + 1,
                format!("TILT={} points to another file; NONE or INCLUDE is read.", clip(other)),
            ));
        }
    }
    let _lamps = n.next("the number of lamps")?;
    let _lumens = n.next("lumens per lamp")?;
    let multiplier = n.next("the candela multiplier")?;
    let vertical = n.count("the number of vertical angles")?;
    let horizontal = n.count("the number of horizontal angles")?;
    let kind = n.next("the photometric type")?;
    let kind_line = n.line();
    let units = n.next("the unit of length")?;
    let units_line = n.line();
    let width = n.next("the width")?;
    let length = n.next("the length")?;
    let _height = n.next("the height")?;
    let ballast = n.next("the ballast factor")?;
    let _later = n.next("the field after the ballast factor")?;
    let watts = n.next("the input watts")?;
    if kind != 1.0 {
        return Err((kind_line, format!("it is of photometric type {kind} (B is 2, A is 3); type C, 1, is read.")));
    }
    let metre = match units {
        1.0 => FOOT_M,
        2.0 => 1.0,
        other => return Err((units_line, format!("the unit of length is {other}; 1 is feet, 2 metres."))),
    };
    if vertical * horizontal > 400_000 {
        return Err((kind_line, "there are more directions than a lamp's file has.".into()));
    }
    let v = n.list(vertical, "a vertical angle")?;
    let h = n.list(horizontal, "a horizontal angle")?;
    let mut candela = n.list(vertical * horizontal, "a candela value")?;
    let scale = multiplier * if ballast > 0.0 { ballast } else { 1.0 };
    candela.iter_mut().for_each(|c| *c *= scale);
    let line = n.line();
    if candela.iter().any(|c| *c < 0.0) {
        return Err((line, "a candela value lies below nil.".into()));
    }
    let web = Web::new(v, h, candela).ok_or_else(|| {
        (line, "its angles are not those of type C: vertical rising from 0 or 90 to 90 or 180, horizontal from 0 to 0, 90, 180 or 360.".to_owned())
    })?;
    if web.lumens() <= 0.0 {
        return Err((line, "it gives no light.".into()));
    }
    let side = |x: f64| (x.abs() * metre).min(5.0);
    Ok(Photometry { web, watts: (watts > 0.0).then_some(watts), size_m: (side(length), side(width)), keywords })
}

/// The names of the files of photometry that a bench file asks for.
pub fn asked_for(bench: &str) -> Vec<String> {
    let Ok(table) = toml::from_str::<toml::Table>(bench.trim_start_matches('\u{feff}')) else { return Vec::new() };
    let of = |v: &toml::Value| v.get("file").and_then(|f| f.as_str()).map(str::to_owned);
    match table.get("lamp") {
        Some(toml::Value::Array(all)) => all.iter().filter_map(of).collect(),
        Some(one) => of(one).into_iter().collect(),
        None => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: &str = "IESNA:LM-63-2002\n[TEST] none\n[MANUFAC] nobody\nTILT=NONE\n1 1000 1 3 1 1 2 0.1 0.3 0\n1 1 20\n0 45 90\n0\n100, 70.7, 0\n";

    #[test]
    fn a_small_file_reads() {
        let p = read("lamp.ies", SMALL).unwrap();
        assert_eq!(p.watts, Some(20.0));
        assert_eq!(p.size_m, (0.3, 0.1));
        assert_eq!(p.keywords.len(), 2);
        assert!((p.web.candela(22.5, 123.0) - 85.35).abs() < 1e-9);
    }

    #[test]
    fn every_truncation_is_a_finding_or_a_lamp() {
        for end in 0..SMALL.len() {
            let _ = read("lamp.ies", &SMALL[..end]);
        }
        for hostile in [
            "",
            "\u{0}",
            "TILT=NONE",
            "TILT=other.txt\n1 2 3",
            "TILT=INCLUDE\n1\n99999999\n",
            "TILT=NONE\n1 1000 1 1e9 1e9 1 2 0 0 0 1 1 1",
            "TILT=NONE\n1 NaN 1 3 1 1 2 0 0 0 1 1 1 0 45 90 0 1 1 1",
            "TILT=NONE\n1 1 1 3 1 2 2 0 0 0 1 1 1 0 45 90 0 1 1 1",
            "TILT=NONE\n1 1 1 3 1 1 2 0 0 0 1 1 1 0 45 90 0 1 -1 1",
            "TILT=NONE\n1 1 1 3 1 1 2 0 0 0 1 1 1 90 45 0 0 1 1 1",
            "TILT=NONE\n1 1 1 3 1 1 2 0 0 0 1 1 1 0 45 90 0 0 0 0",
            "TILT=NONE\n1 1 1e308 3 1 1 2 0 0 0 1e308 1 1 0 45 90 0 1e308 1 1",
        ] {
            assert!(read("lamp.ies", hostile).is_err(), "{hostile:?}");
        }
    }
}
