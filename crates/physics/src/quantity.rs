//! The quantity types that stand in every public signature, and short constructors for them.
//!
//! They are `uom` quantities over `f64` in SI base units, so `.value` is the number in SI base
//! units: metres, cubic metres, seconds, kelvins. Constructors exist for the units of the trade.

pub use uom::si::f64::{
    Angle, Area, ElectricCurrent, ElectricPotential, Energy, Frequency, Length, Mass, MassDensity, MolarFlux, Power,
    Pressure, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};
use uom::si::{
    angle::radian, electric_current::ampere, electric_potential::volt, energy::joule, frequency::hertz, length::meter,
    length::millimeter, mass::kilogram, molar_flux::mole_per_square_meter_second, power::watt, pressure::pascal,
    thermodynamic_temperature::degree_celsius, time::minute, time::second, velocity::meter_per_second,
    volume::cubic_meter, volume::liter, volume_rate::cubic_meter_per_second,
};

/// Litres per cubic metre.
pub const LITRES_PER_M3: f64 = 1000.0;
/// Litres per hour in one cubic metre per second.
pub const LITRES_PER_HOUR: f64 = 3.6e6;
/// US liquid gallon \[m³\]: 231 in³, exact. Source: NIST Handbook 44, appendix C.
pub const US_GALLON_M3: f64 = 3.785_411_784e-3;
/// Imperial gallon \[m³\], exact. Source: UK Weights and Measures Act 1985, schedule 1.
pub const IMPERIAL_GALLON_M3: f64 = 4.546_09e-3;
/// Pound \[kg\], exact. Source: NIST Handbook 44, appendix C.
pub const POUND_KG: f64 = 0.453_592_37;
/// Pound-force on a square inch \[Pa\]: 4.448221615 N over an inch squared. Source: NIST Handbook 44, appendix C.
pub const PSI_PA: f64 = 6_894.757_293;
/// Inch \[m\], exact. Source: NIST Handbook 44, appendix C.
pub const INCH_M: f64 = 0.0254;

/// A length from metres.
pub fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}
/// A length from millimetres.
pub fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}
/// An area from square metres.
pub fn m2(x: f64) -> Area {
    m(1.0) * m(x)
}
/// A volume from cubic metres.
pub fn m3(x: f64) -> Volume {
    Volume::new::<cubic_meter>(x)
}
/// A volume from litres.
pub fn litres(x: f64) -> Volume {
    Volume::new::<liter>(x)
}
/// A flow from cubic metres a second.
pub fn m3_s(x: f64) -> VolumeRate {
    VolumeRate::new::<cubic_meter_per_second>(x)
}
/// A speed from metres a second.
pub fn m_s(x: f64) -> Velocity {
    Velocity::new::<meter_per_second>(x)
}
/// A flow from litres an hour.
pub fn l_h(x: f64) -> VolumeRate {
    m3_s(x / LITRES_PER_HOUR)
}
/// A time from seconds.
pub fn s(x: f64) -> Time {
    Time::new::<second>(x)
}
/// A time from minutes.
pub fn min(x: f64) -> Time {
    Time::new::<minute>(x)
}
/// A temperature from degrees Celsius.
pub fn celsius(x: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(x)
}
/// A mass from kilograms.
pub fn kg(x: f64) -> Mass {
    Mass::new::<kilogram>(x)
}
/// A power from watts.
pub fn w(x: f64) -> Power {
    Power::new::<watt>(x)
}
/// A flux of photons from micromoles a square metre and second.
pub fn umol_m2_s(x: f64) -> MolarFlux {
    MolarFlux::new::<mole_per_square_meter_second>(1e-6 * x)
}
/// A frequency from hertz.
pub fn hz(x: f64) -> Frequency {
    Frequency::new::<hertz>(x)
}
/// A pressure from pascals.
pub fn pa(x: f64) -> Pressure {
    Pressure::new::<pascal>(x)
}
/// A voltage from volts.
pub fn volts(x: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(x)
}
/// A current from amperes.
pub fn amperes(x: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(x)
}
/// An energy from watt hours.
pub fn watt_hours(x: f64) -> Energy {
    Energy::new::<joule>(3600.0 * x)
}
/// An angle from degrees.
pub fn degrees(x: f64) -> Angle {
    Angle::new::<radian>(x.to_radians())
}

/// Photons of 400–700 nm that a lamp gives \[mol/s\].
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct PhotonFlow {
    /// \[mol/s\]
    pub value: f64,
}

/// Photons of 400–700 nm in a joule of mains power \[mol/J\].
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct PhotonEfficacy {
    /// \[mol/J\]
    pub value: f64,
}

/// A lamp's photons from micromoles a second.
pub fn umol_s(x: f64) -> PhotonFlow {
    PhotonFlow { value: 1e-6 * x }
}
/// An efficacy from micromoles in a joule.
pub fn umol_j(x: f64) -> PhotonEfficacy {
    PhotonEfficacy { value: 1e-6 * x }
}

/// What is dissolved \[kg/m³\].
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Dissolved {
    /// \[kg/m³\]
    pub value: f64,
}

/// Dissolved, from milligrams in a litre.
pub fn mg_l(x: f64) -> Dissolved {
    Dissolved { value: 1e-3 * x }
}
