//! Numbers said back in a person's own units.

use serde::Serialize;
use tidewright_physics::quantity as q;

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

    /// A fall over a length: millimetres in a metre, or inches in a foot.
    pub fn fall(self, ratio: f64) -> String {
        match self {
            Self::Metric => format!("{:.0} mm/m", 1e3 * ratio),
            Self::UsCustomary => format!("{:.2} in/ft", 12.0 * ratio),
        }
    }

    /// An area: square metres or square feet.
    pub fn area(self, m2: f64) -> String {
        match self {
            Self::Metric => format!("{m2:.2} m²"),
            Self::UsCustomary => format!("{:.1} ft²", m2 / (12.0 * q::INCH_M).powi(2)),
        }
    }

    /// A weight to lift or to carry: kilograms or pounds.
    pub fn weight(self, kg: f64) -> String {
        let (n, name) = match self {
            Self::Metric => (kg, "kg"),
            Self::UsCustomary => (kg / q::POUND_KG, "lb"),
        };
        if n.abs() < 10.0 { format!("{n:.1} {name}") } else { format!("{n:.0} {name}") }
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
