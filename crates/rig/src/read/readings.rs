use super::section::Section;
use crate::bench::Tray;
use crate::calibration::{Quantity, StopwatchReading};
use tidewright_physics::quantity::{Length, Time, m, mm, s as seconds};

pub(crate) fn read_all(top: &Section<'_>, trays: &[Tray]) -> Vec<StopwatchReading> {
    let mut out = Vec::new();
    for s in top.subs("reading") {
        out.extend(read_one(&s, trays));
        s.finish();
    }
    out
}

fn read_one(s: &Section<'_>, trays: &[Tray]) -> Option<StopwatchReading> {
    let words: &'static [(&'static str, Quantity)] =
        &[("crest wet", Quantity::CrestWet), ("highest water", Quantity::HighestWater), ("drained", Quantity::Drained)];
    let quantity = s.choice("of", "what was read", words).or(Quantity::CrestWet, "the first mark").get();
    for key in ["time", "depth", "within"] {
        s.know(key);
    }
    let tray = super::tray::which(s, "on which tray", trays);
    let (value, uncertainty) = if quantity == Quantity::HighestWater {
        let v = s.quantity::<Length>("depth", "depth read with a ruler").range(mm(1.0), m(2.0)).required(mm(80.0));
        let u = s
            .quantity("within", "uncertainty of the reading")
            .range(mm(0.1), mm(50.0))
            .or(mm(2.0), "common practice: a ruler in moving water");
        (v.get().value, u.get().value)
    } else {
        let v = s
            .quantity::<Time>("time", "time on the stopwatch")
            .range(seconds(1.0), seconds(86_400.0))
            .required(seconds(180.0));
        let u = s
            .quantity("within", "uncertainty of the reading")
            .range(seconds(0.1), seconds(600.0))
            .or(seconds(5.0), "common practice: a stopwatch and an eye");
        (v.get().value, u.get().value)
    };
    let line = s.find("of").map_or(0, |f| s.place("of", f.span).line);
    Some(StopwatchReading { quantity, tray: tray?, value_si: value, uncertainty_si: uncertainty, line })
}
