//! Typed access to the inputs of a case. Every key must be read, and only known ones may stand.

use std::cell::RefCell;
use std::collections::BTreeSet;
use tidewright_physics::quantity::{
    Area, INCH_M, LITRES_PER_HOUR, Length, ThermodynamicTemperature, US_GALLON_M3, Volume, VolumeRate, celsius, m, m2,
    m3, m3_s,
};
use toml::{Table, Value};

const FOOT_M: f64 = 12.0 * INCH_M;
/// Endings of length names and the unit in metres.
pub(crate) const LENGTHS: [(&str, f64); 5] =
    [("_mm", 1e-3), ("_cm", 1e-2), ("_m", 1.0), ("_in", INCH_M), ("_ft", FOOT_M)];
/// Endings of flow names and the unit in cubic metres a second.
pub(crate) const FLOWS: [(&str, f64); 6] = [
    ("_l_h", 1.0 / LITRES_PER_HOUR),
    ("_l_s", 1e-3),
    ("_m3_h", 1.0 / 3600.0),
    ("_m3_s", 1.0),
    ("_us_gpm", US_GALLON_M3 / 60.0),
    ("_cfs", FOOT_M * FOOT_M * FOOT_M),
];
const VOLUMES: [(&str, f64); 3] = [("_l", 1e-3), ("_m3", 1.0), ("_ft3", FOOT_M * FOOT_M * FOOT_M)];

/// The inputs of one case.
#[derive(Debug)]
pub struct Given<'a> {
    table: &'a Table,
    read: RefCell<BTreeSet<String>>,
}

impl<'a> Given<'a> {
    /// Over a case's table; nothing read yet.
    pub fn new(table: &'a Table) -> Self {
        Self { table, read: RefCell::default() }
    }

    /// Keys that no one has read: unknown to the check.
    pub fn unread(&self) -> Vec<&'a str> {
        let read = self.read.borrow();
        self.table.keys().map(String::as_str).filter(|k| !read.contains(*k)).collect()
    }

    fn value(&self, key: &str) -> Option<&'a Value> {
        self.read.borrow_mut().insert(key.to_owned());
        self.table.get(key)
    }

    /// A number that must stand.
    pub fn number(&self, key: &str) -> Result<f64, String> {
        self.number_if(key)?.ok_or_else(|| format!("given `{key}` is missing"))
    }

    /// A number that may stand.
    pub fn number_if(&self, key: &str) -> Result<Option<f64>, String> {
        self.value(key).map(|v| as_number(v).ok_or_else(|| format!("given `{key}` is not a number"))).transpose()
    }

    /// A list of numbers that must stand.
    pub fn numbers(&self, key: &str) -> Result<Vec<f64>, String> {
        let value = self.value(key).ok_or_else(|| format!("given `{key}` is missing"))?;
        let list = value.as_array().and_then(|a| a.iter().map(as_number).collect::<Option<Vec<f64>>>());
        list.ok_or_else(|| format!("given `{key}` is not a list of numbers"))
    }

    /// A text that may stand.
    pub fn text_if(&self, key: &str) -> Result<Option<&'a str>, String> {
        self.value(key).map(|v| v.as_str().ok_or_else(|| format!("given `{key}` is not a text"))).transpose()
    }

    /// A text that must stand.
    pub fn text(&self, key: &str) -> Result<&'a str, String> {
        let value = self.value(key).ok_or_else(|| format!("given `{key}` is missing"))?;
        value.as_str().ok_or_else(|| format!("given `{key}` is not a text"))
    }

    /// A number in SI, from the one key that is `name` with one of these endings.
    fn with_unit(&self, name: &str, units: &[(&str, f64)]) -> Result<Option<f64>, String> {
        let mut found = None;
        for (ending, unit) in units {
            if let Some(x) = self.number_if(&format!("{name}{ending}"))?
                && found.replace(x * unit).is_some()
            {
                return Err(format!("given `{name}` stands in two units"));
            }
        }
        Ok(found)
    }

    fn must(&self, name: &str, units: &[(&str, f64)]) -> Result<f64, String> {
        self.with_unit(name, units)?.ok_or_else(|| {
            let endings: Vec<&str> = units.iter().map(|u| u.0).collect();
            format!("given `{name}` is missing; it ends in one of {}", endings.join(" "))
        })
    }

    /// A length, from `name` with `_mm`, `_cm`, `_m`, `_in` or `_ft`.
    pub fn length(&self, name: &str) -> Result<Length, String> {
        self.must(name, &LENGTHS).map(m)
    }

    /// A length that may stand.
    pub fn length_if(&self, name: &str) -> Result<Option<Length>, String> {
        Ok(self.with_unit(name, &LENGTHS)?.map(m))
    }

    /// A flow, from `name` with `_l_h`, `_l_s`, `_m3_h`, `_m3_s`, `_us_gpm` or `_cfs`.
    pub fn flow(&self, name: &str) -> Result<VolumeRate, String> {
        self.must(name, &FLOWS).map(m3_s)
    }

    /// A volume, from `name` with `_l`, `_m3` or `_ft3`.
    pub fn volume(&self, name: &str) -> Result<Volume, String> {
        self.must(name, &VOLUMES).map(m3)
    }

    /// An area, from `name` with `_m2`.
    pub fn area(&self, name: &str) -> Result<Area, String> {
        self.must(name, &[("_m2", 1.0)]).map(m2)
    }

    /// A temperature, from `name` with `_degc` or `_k`.
    pub fn temperature(&self, name: &str) -> Result<ThermodynamicTemperature, String> {
        match self.number_if(&format!("{name}_k"))? {
            Some(kelvin) => Ok(celsius(kelvin - 273.15)),
            None => self.number(&format!("{name}_degc")).map(celsius),
        }
    }
}

fn as_number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|i| i as f64))
}
