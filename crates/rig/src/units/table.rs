//! Kinds of quantities and their units: how each may be written, and its size in SI.

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
    /// Moles of photons a second inside.
    PhotonFlow,
    /// Moles of photons in a joule inside.
    Efficacy,
    /// Pascals inside.
    Pressure,
    /// Kilograms per cubic metre inside, of what is dissolved.
    Concentration,
    /// Volts inside.
    Voltage,
    /// Amperes inside.
    Current,
    /// Joules inside.
    Energy,
    /// Radians inside.
    Angle,
}

/// One unit: how it may be written, what it measures, and its size in SI.
pub(super) struct Unit {
    pub(super) names: &'static [&'static str],
    pub(super) dimension: Dimension,
    pub(super) factor: f64,
    pub(super) offset: f64,
}

const fn unit(names: &'static [&'static str], dimension: Dimension, factor: f64) -> Unit {
    Unit { names, dimension, factor, offset: 0.0 }
}

const PER_HOUR: f64 = 1.0 / 3600.0;
const PER_MINUTE: f64 = 1.0 / 60.0;
const PER_DAY: f64 = 1.0 / 86_400.0;

/// First name of each row is the one used when speaking of the unit.
pub(super) const UNITS: &[Unit] = &[
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
    unit(&["umol/s", "µmol/s"], Dimension::PhotonFlow, 1e-6),
    unit(&["umol/J", "µmol/J"], Dimension::Efficacy, 1e-6),
    unit(&["kPa"], Dimension::Pressure, 1e3),
    unit(&["MPa"], Dimension::Pressure, 1e6),
    unit(&["GPa"], Dimension::Pressure, 1e9),
    unit(&["Pa"], Dimension::Pressure, 1.0),
    unit(&["mbar", "hPa"], Dimension::Pressure, 100.0),
    unit(&["bar"], Dimension::Pressure, 1e5),
    unit(&["psi"], Dimension::Pressure, q::PSI_PA),
    unit(&["mg/L", "mg/l"], Dimension::Concentration, 1e-3),
    unit(&["V", "volt", "volts"], Dimension::Voltage, 1.0),
    unit(&["A", "amp", "amps"], Dimension::Current, 1.0),
    unit(&["mA"], Dimension::Current, 1e-3),
    unit(&["Wh"], Dimension::Energy, 3600.0),
    unit(&["kWh"], Dimension::Energy, 3.6e6),
    unit(&["deg", "°", "degree", "degrees"], Dimension::Angle, std::f64::consts::PI / 180.0),
];

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
            Self::PhotonFlow => ("a lamp's photons", "\"250 umol/s\""),
            Self::Efficacy => ("photons in a joule", "\"2.5 umol/J\""),
            Self::Pressure => ("a pressure", "\"15 kPa\" or \"2.2 psi\""),
            Self::Concentration => ("a concentration", "\"7.5 mg/L\""),
            Self::Voltage => ("a voltage", "\"230 V\""),
            Self::Current => ("a current", "\"13 A\""),
            Self::Energy => ("an energy", "\"100 Wh\""),
            Self::Angle => ("an angle", "\"120 deg\""),
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
            Self::PhotonFlow => "umol/s",
            Self::Efficacy => "umol/J",
            Self::Pressure => "kPa",
            Self::Concentration => "mg/L",
            Self::Voltage => "V",
            Self::Current => "A",
            Self::Energy => "Wh",
            Self::Angle => "deg",
        }
    }
}
