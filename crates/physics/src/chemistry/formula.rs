//! Chemical formulas: from "Ca(NO3)2·4H2O" to elements and molar mass.

/// Standard atomic weight \[g/mol\] of an element that this domain meets.
///
/// Source: CIAAW abridged standard atomic weights (2021), from memory.
pub fn atomic_weight(element: &str) -> Option<f64> {
    Some(match element {
        "H" => 1.008,
        "B" => 10.81,
        "C" => 12.011,
        "N" => 14.007,
        "O" => 15.999,
        "F" => 18.998,
        "Na" => 22.990,
        "Mg" => 24.305,
        "Al" => 26.982,
        "Si" => 28.085,
        "P" => 30.974,
        "S" => 32.06,
        "Cl" => 35.45,
        "K" => 39.098,
        "Ca" => 40.078,
        "Mn" => 54.938,
        "Fe" => 55.845,
        "Ni" => 58.693,
        "Cu" => 63.546,
        "Zn" => 65.38,
        "Mo" => 95.95,
        _ => return None,
    })
}

/// Elements of a formula with their count, in the order they first stand.
///
/// Reads brackets, "·" or "*" before water of crystallisation, counts before a part ("5Ca(NO3)2·NH4NO3·10H2O").
///
/// # Errors
/// The character or element that cannot be read.
pub fn elements(formula: &str) -> Result<Vec<(String, f64)>, String> {
    let mut all: Vec<(String, f64)> = Vec::new();
    for part in formula.split(['·', '*']) {
        let digits = part.len() - part.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let times = if digits == 0 { 1.0 } else { part[..digits].parse().map_err(|_| part.to_owned())? };
        let mut rest = part[digits..].chars().peekable();
        let inner = group(&mut rest, 0)?;
        if inner.is_empty() {
            return Err(format!("\"{formula}\" has an empty part"));
        }
        for (element, n) in inner {
            add(&mut all, element, times * n);
        }
    }
    Ok(all)
}

/// Molar mass \[g/mol\]: Σ n A.
///
/// Source: CIAAW weights of [`atomic_weight`]. Evidence: `evidence/solution/salts.toml`.
///
/// # Errors
/// As [`elements`].
pub fn molar_mass(formula: &str) -> Result<f64, String> {
    let mut sum = 0.0;
    for (element, n) in elements(formula)? {
        sum += n * atomic_weight(&element).ok_or_else(|| format!("no element \"{element}\" here"))?;
    }
    Ok(sum)
}

fn add(all: &mut Vec<(String, f64)>, element: String, n: f64) {
    match all.iter_mut().find(|(e, _)| *e == element) {
        Some(found) => found.1 += n,
        None => all.push((element, n)),
    }
}

const DEEPEST: usize = 8;

fn group(rest: &mut std::iter::Peekable<std::str::Chars<'_>>, depth: usize) -> Result<Vec<(String, f64)>, String> {
    let mut all = Vec::new();
    while let Some(&c) = rest.peek() {
        match c {
            '(' if depth < DEEPEST => {
                rest.next();
                let inner = group(rest, depth + 1)?;
                if rest.next() != Some(')') {
                    return Err("a bracket is not closed".into());
                }
                let n = count(rest)?;
                for (element, k) in inner {
                    add(&mut all, element, n * k);
                }
            }
            ')' if depth > 0 => break,
            'A'..='Z' => {
                let mut element = String::from(c);
                rest.next();
                while let Some(&low) = rest.peek().filter(|l| l.is_ascii_lowercase()) {
                    element.push(low);
                    rest.next();
                }
                if atomic_weight(&element).is_none() {
                    return Err(format!("no element \"{element}\" here"));
                }
                let n = count(rest)?;
                add(&mut all, element, n);
            }
            other => return Err(format!("\"{other}\" does not belong into a formula")),
        }
    }
    Ok(all)
}

fn count(rest: &mut std::iter::Peekable<std::str::Chars<'_>>) -> Result<f64, String> {
    let mut digits = String::new();
    while let Some(&d) = rest.peek().filter(|d| d.is_ascii_digit()) {
        digits.push(d);
        rest.next();
    }
    if digits.is_empty() {
        return Ok(1.0);
    }
    match digits.parse::<u32>() {
        Ok(n) if n > 0 && n < 1000 => Ok(f64::from(n)),
        _ => Err(format!("\"{digits}\" is no count of atoms")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_formulas_are_refused() {
        for bad in ["", "·", "Xx", "Ca(NO3", "Ca)2", "H0", "H99999", "((((((((((H))))))))))", "é", "Ca(", "Na N", "2"]
        {
            assert!(molar_mass(bad).is_err(), "{bad}");
        }
    }
}
