use super::SheetLine;
use super::raw::Raw;
use super::section::{Found, Section};
use crate::bench::{AfterPowerCut, Schedule, Timer, TimerKind};
use crate::finding::{Finding, Severity};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{Time, min, s as seconds};

/// The timer and the program that trays follow unless they have their own.
pub(crate) struct TimerSection {
    pub(crate) timer: Timer,
    pub(crate) common: Schedule,
}

pub(crate) fn read(s: &Section<'_>) -> TimerSection {
    let kind = s
        .choice(
            "kind",
            "kind of timer",
            &[("pins", TimerKind::Pins), ("digital", TimerKind::Digital), ("interval", TimerKind::Interval)],
        )
        .or(TimerKind::Pins, "common practice: a plug-in timer with pins");
    let usual_step = match kind.get() {
        TimerKind::Pins => (min(15.0), "common practice: fifteen minutes is the usual pin"),
        TimerKind::Digital => (min(1.0), "common practice"),
        TimerKind::Interval => (seconds(1.0), "common practice"),
    };
    let step = s
        .quantity::<Time>("step", "smallest step of the timer")
        .range(seconds(1.0), min(120.0))
        .or(usual_step.0, usual_step.1);
    let usual_cut = match kind.get() {
        TimerKind::Pins => (AfterPowerCut::LosesTime, "common practice: the wheel stands still"),
        TimerKind::Digital => (AfterPowerCut::KeepsTime, "common practice: a battery keeps the time"),
        TimerKind::Interval => (AfterPowerCut::StartsOver, "common practice: begins with its on time"),
    };
    let words: &[(&str, AfterPowerCut)] = &[
        ("keeps time", AfterPowerCut::KeepsTime),
        ("loses time", AfterPowerCut::LosesTime),
        ("starts over", AfterPowerCut::StartsOver),
    ];
    let after_power_cut =
        s.choice("after_power_cut", "what it does after a power cut", words).or(usual_cut.0, usual_cut.1);
    let common = read_schedule(s, None);
    s.finish();
    TimerSection { timer: Timer { kind, step, after_power_cut }, common }
}

const STARTS_HINT: &str = "[\"07:00\", \"12:15\"]";

/// Flood starts and minutes, of the timer for all trays or of one tray.
pub(crate) fn read_schedule(s: &Section<'_>, common: Option<&Schedule>) -> Schedule {
    let found = s.find("floods");
    if let Some(f) = &found {
        s.list_found("floods", "floods begin at", f, STARTS_HINT);
    } else if common.is_none() {
        s.context.list(SheetLine {
            path: s.key("floods"),
            label: "floods begin at",
            text: "[\"07:00\", \"12:15\", \"18:00\"]".into(),
            birth: Birth::assumed("common practice: three floods in the light"),
            choices: Vec::new(),
            hint: STARTS_HINT,
        });
    }
    let given = found.and_then(|f| read_starts(s, &f).map(|v| Value::new(v, f.birth)));
    let starts = given.unwrap_or_else(|| match common {
        Some(c) => c.starts.clone(),
        None => Value::assumed(
            vec![7.0 * 3600.0, 12.25 * 3600.0, 18.0 * 3600.0],
            "common practice: three floods in the light",
        ),
    });
    let run = match common {
        None => s
            .quantity::<Time>("minutes", "how long the pump runs")
            .range(seconds(5.0), min(24.0 * 60.0))
            .or(min(15.0), "common practice: floods of 15 min"),
        Some(c) => s
            .quantity::<Time>("minutes", "how long the pump runs")
            .range(seconds(5.0), min(24.0 * 60.0))
            .optional()
            .unwrap_or_else(|| c.run.clone()),
    };
    Schedule { starts, run }
}

fn read_starts(s: &Section<'_>, found: &Found) -> Option<Vec<f64>> {
    let due = "a list of times of day, as in [\"07:00\", \"12:15\"]";
    let Raw::List(items) = &found.raw else {
        s.wrong_type("floods", found, due);
        return None;
    };
    let mut out: Vec<f64> = Vec::new();
    for item in items {
        let Raw::Text(t) = item else {
            s.wrong_type("floods", found, due);
            return None;
        };
        match clock(t) {
            Some(v) => out.push(v),
            None => {
                s.context.report(
                    Finding::new(
                        Severity::Stop,
                        "wrong-type",
                        "Not a time of day",
                        format!("\"{t}\" is no time of day."),
                    )
                    .at(s.place("floods", found.span.clone()))
                    .mend("Write hours and minutes, from \"00:00\" to \"23:59\"."),
                );
                return None;
            }
        }
    }
    out.sort_by(f64::total_cmp);
    if out.windows(2).any(|w| w[1] - w[0] < 1.0) {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "conflicting-values",
                "Two floods at one time",
                "The same time of day stands twice in \"floods\".",
            )
            .at(s.place("floods", found.span.clone()))
            .mend("Keep one of them."),
        );
    }
    if out.len() > 288 {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "Too many floods",
                format!("{} floods a day; at most 288 (one in five minutes).", out.len()),
            )
            .at(s.place("floods", found.span.clone())),
        );
        return None;
    }
    Some(out)
}

/// Seconds after midnight of a time of day.
pub(crate) fn clock(text: &str) -> Option<f64> {
    let mut parts = text.trim().split(':');
    let h: u32 = parts.next()?.parse().ok()?;
    let m: u32 = parts.next()?.parse().ok()?;
    let sec: u32 = parts.next().map_or(Some(0), |p| p.parse().ok())?;
    (parts.next().is_none() && h < 24 && m < 60 && sec < 60).then(|| f64::from(h * 3600 + m * 60 + sec))
}
