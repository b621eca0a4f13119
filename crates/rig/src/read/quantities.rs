//! The quantity types that a file can hold, and how each is typed back.

use crate::units::{self, Dimension};
use tidewright_physics::quantity as q;

/// A quantity type that a file can hold.
pub(crate) trait Unit: Copy {
    const DIMENSION: Dimension;
    fn from_si(si: f64) -> Self;
    fn si(self) -> f64;
    /// As a file would have it, in metric units.
    fn typed(self) -> String;
}

macro_rules! unit {
    ($type:ty, $dimension:ident, $make:expr, $value:expr, $typed:expr) => {
        impl Unit for $type {
            const DIMENSION: Dimension = Dimension::$dimension;
            fn from_si(si: f64) -> Self {
                $make(si)
            }
            fn si(self) -> f64 {
                $value(self)
            }
            fn typed(self) -> String {
                $typed($value(self))
            }
        }
    };
}

fn plain(x: f64) -> String {
    units::round_to(x, 6)
}

unit!(q::Length, Length, q::m, |v: q::Length| v.value, |si: f64| {
    if si.abs() >= 1.0 || si == 0.0 { format!("{} m", plain(si)) } else { format!("{} mm", plain(si * 1e3)) }
});
unit!(q::Volume, Volume, q::m3, |v: q::Volume| v.value, |si: f64| format!("{} L", plain(si * 1e3)));
unit!(q::VolumeRate, Flow, q::m3_s, |v: q::VolumeRate| v.value, |si: f64| format!("{} L/h", plain(si * 3.6e6)));
unit!(q::Time, Time, q::s, |v: q::Time| v.value, |si: f64| {
    if si >= 60.0 { format!("{} min", plain(si / 60.0)) } else { format!("{} s", plain(si)) }
});
unit!(
    q::ThermodynamicTemperature,
    Temperature,
    |si: f64| q::celsius(si - 273.15),
    |v: q::ThermodynamicTemperature| v.value,
    |si: f64| format!("{} degC", plain(si - 273.15))
);
unit!(q::Power, Power, q::w, |v: q::Power| v.value, |si: f64| format!("{} W", plain(si)));
unit!(q::Frequency, Frequency, q::hz, |v: q::Frequency| v.value, |si: f64| format!("{} Hz", plain(si)));
unit!(q::MolarFlux, Photons, |si: f64| q::umol_m2_s(1e6 * si), |v: q::MolarFlux| v.value, |si: f64| format!(
    "{} umol/m2/s",
    plain(1e6 * si)
));
unit!(q::Velocity, Speed, q::m_s, |v: q::Velocity| v.value, |si: f64| format!("{} m/s", plain(si)));
unit!(q::Mass, Mass, q::kg, |v: q::Mass| v.value, |si: f64| {
    if si >= 1.0 { format!("{} kg", plain(si)) } else { format!("{} g", plain(si * 1e3)) }
});
unit!(f64, Ratio, |si| si, |v| v, plain);
unit!(q::PhotonFlow, PhotonFlow, |si: f64| q::umol_s(1e6 * si), |v: q::PhotonFlow| v.value, |si: f64| format!(
    "{} umol/s",
    plain(1e6 * si)
));
unit!(q::PhotonEfficacy, Efficacy, |si: f64| q::umol_j(1e6 * si), |v: q::PhotonEfficacy| v.value, |si: f64| format!(
    "{} umol/J",
    plain(1e6 * si)
));
unit!(q::Pressure, Pressure, q::pa, |v: q::Pressure| v.value, |si: f64| {
    match si.abs() {
        x if x >= 1e9 => format!("{} GPa", plain(1e-9 * si)),
        x if x >= 1e6 => format!("{} MPa", plain(1e-6 * si)),
        _ => format!("{} kPa", plain(1e-3 * si)),
    }
});
unit!(q::Dissolved, Concentration, |si: f64| q::mg_l(1e3 * si), |v: q::Dissolved| v.value, |si: f64| format!(
    "{} mg/L",
    plain(1e3 * si)
));
unit!(q::ElectricPotential, Voltage, q::volts, |v: q::ElectricPotential| v.value, |si: f64| format!("{} V", plain(si)));
unit!(q::ElectricCurrent, Current, q::amperes, |v: q::ElectricCurrent| v.value, |si: f64| format!("{} A", plain(si)));
unit!(q::Energy, Energy, |si: f64| q::watt_hours(si / 3600.0), |v: q::Energy| v.value, |si: f64| format!(
    "{} Wh",
    plain(si / 3600.0)
));
unit!(q::Angle, Angle, |si: f64| q::degrees(si.to_degrees()), |v: q::Angle| v.value, |si: f64| format!(
    "{} deg",
    plain(si.to_degrees())
));
