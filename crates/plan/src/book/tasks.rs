//! What is done each day, each week, at a change of water, and when the power fails.

use crate::climate::Climate;
use crate::solution::outlook::Outlook;
use crate::survey::Survey;
use serde::Serialize;
use tidewright_rig::bench::AfterPowerCut;

/// Tasks by how often they come.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Tasks {
    /// Each day.
    pub daily: Vec<String>,
    /// Each week.
    pub weekly: Vec<String>,
    /// At a change of water.
    pub change: Vec<String>,
    /// Once a month and once a year.
    pub seldom: Vec<String>,
    /// When the power fails, in this order.
    pub power_fails: Vec<String>,
}

/// The tasks of a bench.
pub fn tasks(s: &Survey, climate: Option<&Climate>, outlook: Option<&Outlook>) -> Tasks {
    let u = s.units();
    let rig = &s.rig;
    let mut t = Tasks::default();
    let drinks = crate::solution::outlook::litres_a_day(rig) * 1e-3;
    t.daily
        .push(format!("Look at one flood, or at the wet mark it left. The crop drinks about {} a day.", u.sip(drinks)));
    t.daily.push(
        "Top up at rest only, pump off and trays empty, to the upper line and never over it, through an air gap."
            .into(),
    );
    if let Some(sheet) = outlook.and_then(|o| o.sheet.as_ref().ok()) {
        t.daily.push(format!(
            "EC and pH: {} and {:.1} as mixed; write both down. Correct by small portions, acid into water.",
            rig.mixing.meter.get().shows(sheet.ec_25[1]),
            sheet.ph[1]
        ));
    } else {
        t.daily.push("EC and pH; write both down. Correct by small portions, acid into water.".into());
    }
    t.daily.push("Leaves at noon: dull ones ask for a flood. Water temperature.".into());
    t.weekly.push("Stopwatch to crest and to drained; compare with \"What the same times mean later\".".into());
    t.weekly.push("Pull the strainer, wash it, look for roots. Plugs out before a hand goes into the water.".into());
    t.weekly.push("Wipe the lid and the cover; no light on wet plastic.".into());
    if rig.aeration.is_some() {
        t.weekly.push("Bubbles from every open stone? Rinse the air pump's filter.".into());
    }
    let day = outlook.and_then(|o| o.change.first()).map(|c| c.1);
    t.change.push(match day {
        Some(d) => format!("About day {d:.0}, and at every change of crop."),
        None => "When EC stays high though you top up with water, at the first sign of root disease, and at every change of crop.".into(),
    });
    t.change.push(
        "Pump out to the garden or the drain as your water board allows it; wash the reservoir; mix by the sheet."
            .into(),
    );
    t.change.push("A full reservoir is never lifted: empty it where it stands.".into());
    t.seldom.push(
        "Month: test button of the residual-current device; check the timer's clock; cords and plugs; drip loops."
            .into(),
    );
    t.seldom
        .push("Year: stand, joints, tie to the wall; hose ends; a new sponge; prices and tariffs of this book.".into());
    let words = match rig.timer.after_power_cut.get() {
        AfterPowerCut::KeepsTime => "The timer keeps its time: floods go on as set.",
        AfterPowerCut::LosesTime => "The timer comes back late by the length of the cut: set its clock.",
        AfterPowerCut::StartsOver => {
            "The timer begins anew, maybe with the pump on: be there when power comes back, and set it."
        }
    };
    t.power_fails.push("Leave wet plugs alone. Look whether a residual-current device tripped: then find the wet part first, everything unplugged.".into());
    if let Some(c) = climate {
        if let Some(f) = c.failures.iter().find(|f| f.name == "air-stops") {
            let hours = crate::climate::hours_words;
            t.power_fails.push(format!(
                "Oxygen in the reservoir lasts {} until 4 mg/L at the low end, {} as likely as not. Stir by hand or pour from a can to win time.",
                hours(f.hours_low[1]),
                hours(f.hours[1])
            ));
        }
        let stuck = c
            .failures
            .iter()
            .filter(|f| f.name == "tray-stays-full")
            .map(|f| f.hours_low[2])
            .fold(f64::INFINITY, f64::min);
        if stuck.is_finite() {
            t.power_fails.push(format!(
                "A tray that stays full comes first: {stuck:.0} h to hardly any oxygen at the roots. Free its drain."
            ));
        }
    }
    if let Some(h) = crate::power::of(rig).battery_h {
        t.power_fails.push(format!("The battery carries the air pump for {}.", crate::climate::hours_words(h)));
    }
    if let Some(crop) = &s.crop {
        let lasts = crop.dry.iter().flatten().map(|d| d.lasts_s).fold(f64::INFINITY, f64::min);
        if lasts.is_finite() {
            t.power_fails.push(format!(
                "One flood lasts {:.0} h on a thirsty day: after that water by hand, from the top.",
                lasts / 3600.0
            ));
        }
    }
    t.power_fails.push(words.into());
    t.power_fails.push("Start again in this order: air, pumps, heater, lamps last, a minute apart.".into());
    t
}
