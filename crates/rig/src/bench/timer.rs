use crate::value::Value;
use serde::Serialize;
use tidewright_physics::quantity::Time;

/// What switches the pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Timer {
    /// Its kind.
    pub kind: Value<TimerKind>,
    /// Its smallest step.
    pub step: Value<Time>,
    /// What it does when the power comes back.
    pub after_power_cut: Value<AfterPowerCut>,
}

/// Kinds of timer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TimerKind {
    /// A wheel with pins.
    Pins,
    /// Digital, set to the minute.
    Digital,
    /// Interval: so long on, so long off.
    Interval,
}

/// What a timer does when the power comes back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AfterPowerCut {
    /// Goes on at the right time of day (battery behind it).
    KeepsTime,
    /// Goes on late by the length of the cut.
    LosesTime,
    /// Begins its cycle anew, often with the pump on.
    StartsOver,
}
