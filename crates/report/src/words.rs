//! Numbers as people say them, never with more digits than are known.

use tidewright_rig::units::{System, duration};
use tidewright_sim::band::{Band, Figure};

/// A time rounded to what a stopwatch and a model can tell: 5 s above a minute, 30 s above ten
/// minutes, 5 min above an hour and a half.
pub fn round_time(seconds: f64) -> f64 {
    let step = match seconds.abs() {
        s if s < 60.0 => 1.0,
        s if s < 600.0 => 5.0,
        s if s < 5400.0 => 30.0,
        _ => 300.0,
    };
    (seconds / step).round() * step
}

/// A rounded duration in words.
pub fn time(seconds: f64) -> String {
    duration(round_time(seconds))
}

/// A rounded duration as a stopwatch shows it, for spans.
pub fn watch(seconds: f64) -> String {
    let s = round_time(seconds);
    if !s.is_finite() || s < 60.0 { duration(s) } else { tidewright_rig::units::stopwatch(s) }
}

/// A number and its unit apart: ("91", "mm").
pub fn split(text: &str) -> (&str, &str) {
    text.split_once(' ').unwrap_or((text, ""))
}

/// A length without its unit, as drawings have it.
pub fn bare_length(system: System, metres: f64) -> String {
    match system {
        System::Metric if metres.abs() >= 0.00995 || metres == 0.0 => format!("{:.0}", metres * 1e3),
        System::Metric => split(&system.length(metres)).0.to_owned(),
        System::UsCustomary => {
            tidewright_rig::units::round_to((metres / tidewright_physics::quantity::INCH_M * 100.0).round() / 100.0, 4)
        }
    }
}

/// The unit that drawings are in.
pub fn length_unit(system: System) -> &'static str {
    match system {
        System::Metric => "mm",
        System::UsCustomary => "in",
    }
}

/// A flow with no more than two or three digits: pumps are not known better.
pub fn flow(system: System, m3_s: f64) -> String {
    let text = system.flow(m3_s);
    let (number, unit) = split(&text);
    let Ok(x) = number.parse::<f64>() else { return text };
    let step = match x.abs() {
        a if a < 20.0 => 1.0,
        a if a < 1000.0 => 5.0,
        a if a < 3000.0 => 10.0,
        _ => 50.0,
    };
    format!("{:.0} {unit}", (x / step).round() * step + 0.0)
}

/// One figure in the user's units.
pub fn figure(system: System, figure: Figure, value: f64) -> String {
    if !value.is_finite() {
        return "never".into();
    }
    match figure {
        Figure::CrestWet | Figure::Steady | Figure::Drained => time(value),
        Figure::HighestWater | Figure::LowestReservoir => system.length(value),
        Figure::LastFlow | Figure::FirstFlow => flow(system, value),
        Figure::OnTheFloor => system.volume(value),
    }
}

/// The span of one figure, its unit once.
pub fn span(system: System, which: Figure, band: &Band) -> String {
    let both = |low: String, high: String| if low == high { low } else { format!("{low} – {high}") };
    match which {
        Figure::CrestWet | Figure::Steady | Figure::Drained => both(watch(band.low), watch(band.high)),
        _ => {
            let (low, high) = (figure(system, which, band.low), figure(system, which, band.high));
            let (a, b) = (split(&low), split(&high));
            if low == high || a.1 != b.1 { both(low.clone(), high) } else { format!("{} – {} {}", a.0, b.0, b.1) }
        }
    }
}

/// A mass: whole kilograms, five above fifty; pounds beside US units.
pub fn mass(system: System, kg: f64) -> String {
    let (x, unit) = match system {
        System::Metric => (kg, "kg"),
        System::UsCustomary => (kg / 0.453_592_37, "lb"),
    };
    let step = if x > 50.0 { 5.0 } else { 1.0 };
    format!("{:.0} {unit}", (x / step).ceil() * step)
}

/// A power of ten as print has it: "2 × 10⁻¹²".
pub fn power_of_ten(x: f64) -> String {
    if x <= 0.0 || !x.is_finite() {
        return if x == 0.0 { "0".into() } else { "no number".into() };
    }
    let mut exponent = x.log10().floor() as i32;
    let mut lead = (x / 10f64.powi(exponent)).round();
    if lead >= 10.0 {
        lead = 1.0;
        exponent += 1;
    }
    let up: String = exponent
        .to_string()
        .chars()
        .map(|c| match c {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            d => char::from_u32('⁰' as u32 + d.to_digit(10).unwrap_or(0)).unwrap_or('⁰'),
        })
        .collect();
    format!("{lead:.0} × 10{up}")
}

/// "1 block", "3 blocks".
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// The step on a ruler in a person's units: its words, and how many centimetres it has.
pub fn step(u: System) -> (&'static str, f64) {
    match u {
        System::Metric => ("One centimetre", 1.0),
        System::UsCustomary => ("One inch", 2.54),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_more_digits_than_known() {
        assert_eq!(time(148.2), "2 min 30 s");
        assert_eq!(time(42.4), "42 s");
        assert_eq!(time(f64::INFINITY), "never");
        assert_eq!(watch(525.0), "8:45");
        assert_eq!(flow(System::Metric, 492.0 / 3.6e6), "490 L/h");
        assert_eq!(power_of_ten(2.2e-12), "2 × 10⁻¹²");
        assert_eq!(power_of_ten(9.7e-11), "1 × 10⁻¹⁰");
        assert_eq!(bare_length(System::UsCustomary, 0.0254), "1");
        let b = Band { low: 0.089, likely: 0.091, high: 0.099, never: 0.0, makers: Vec::new() };
        assert_eq!(span(System::Metric, Figure::HighestWater, &b), "89 – 99 mm");
    }
}
