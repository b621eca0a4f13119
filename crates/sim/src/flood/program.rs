//! When pumps run and valves stand open.

use super::model::Model;
use crate::scenario::Program;

const DAY_S: f64 = 86_400.0;
/// A single flood is watched this long after its pump stops \[s\].
const WATCH_S: f64 = 24.0 * 3600.0;

/// What holds from one moment on.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Setting {
    pub(crate) from: f64,
    /// Pump by pump.
    pub(crate) pumps: Vec<bool>,
    /// Tray by tray: whether its way from the pump is open.
    pub(crate) ways: Vec<bool>,
}

/// Settings in order of time, and the end.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plan {
    pub(crate) settings: Vec<Setting>,
    pub(crate) end: f64,
    /// Whether to end as soon as nothing moves.
    pub(crate) ends_when_still: bool,
}

/// The plan of one pass (one flood, one stuck timer, or one day).
pub(crate) fn plan(model: &Model, program: &Program) -> Plan {
    match program {
        Program::Once { trays } => {
            let spans: Vec<Vec<(f64, f64)>> = model
                .trays
                .iter()
                .zip(trays)
                .map(|(t, yes)| if *yes { vec![(0.0, t.run_s)] } else { Vec::new() })
                .collect();
            let last = spans.iter().flatten().map(|s| s.1).fold(0.0, f64::max);
            build(model, &spans, last + WATCH_S, true)
        }
        Program::StuckOn { trays, until_s } => {
            let spans: Vec<Vec<(f64, f64)>> =
                trays.iter().map(|yes| if *yes { vec![(0.0, f64::INFINITY)] } else { Vec::new() }).collect();
            build(model, &spans, *until_s, true)
        }
        Program::Day | Program::DaysUntilPeriodic { .. } => {
            let spans: Vec<Vec<(f64, f64)>> = model
                .trays
                .iter()
                .map(|t| {
                    // A flood that runs past midnight belongs to the next morning too.
                    t.starts
                        .iter()
                        .flat_map(|s| [(*s - DAY_S, *s - DAY_S + t.run_s), (*s, *s + t.run_s)])
                        .filter(|(_, to)| *to > 0.0)
                        .collect()
                })
                .collect();
            build(model, &spans, DAY_S, false)
        }
    }
}

fn build(model: &Model, spans: &[Vec<(f64, f64)>], end: f64, ends_when_still: bool) -> Plan {
    let mut times = vec![0.0];
    for (tray, spans) in model.trays.iter().zip(spans) {
        for (from, to) in spans {
            times.extend([*from, *to, *to + tray.valve_hold.unwrap_or(0.0)]);
        }
    }
    times.retain(|t| (0.0..end).contains(t));
    times.sort_by(f64::total_cmp);
    times.dedup();
    let mut settings: Vec<Setting> = times.into_iter().map(|t| setting(model, spans, t)).collect();
    settings.dedup_by(|b, a| a.pumps == b.pumps && a.ways == b.ways);
    Plan { settings, end, ends_when_still }
}

fn setting(model: &Model, spans: &[Vec<(f64, f64)>], t: f64) -> Setting {
    let within = |spans: &[(f64, f64)], hold: f64| spans.iter().any(|(from, to)| t >= *from && t < *to + hold);
    let mut pumps = vec![false; model.pumps.len()];
    let mut ways = Vec::with_capacity(spans.len());
    for (tray, spans) in model.trays.iter().zip(spans) {
        if within(spans, 0.0) {
            pumps[tray.pump] = true;
        }
        ways.push(tray.valve_hold.is_none_or(|hold| within(spans, hold)));
    }
    Setting { from: t, pumps, ways }
}
