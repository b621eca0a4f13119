//! The numbers a builder wants: where to cut, where to draw the lines, what a throttle would do.

use crate::survey::{Survey, TRIAL_RUNS, View};
use serde::Serialize;
use tidewright_physics::quantity::{Length, Volume, m, m3, mm};
use tidewright_rig::bench::Moisture;
use tidewright_rig::units::System;
use tidewright_rig::value::Value;
use tidewright_rig::{Finding, Rig, Severity};
use tidewright_sim::band::Figure;
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{EventKind, Run, Scenario, run};

/// Dry block above the highest water: half an inch. Common practice: 10–15 mm.
pub const DRY_MARGIN: f64 = 0.012;
/// Rim above the highest water with a fouled strainer. Common practice: crest 25 mm below the rim.
pub const RIM_MARGIN: f64 = 0.020;
/// Water over the prime depth at the lowest moment. Common practice: 20 mm.
pub const PRIME_MARGIN: f64 = 0.020;
/// Room under the lowest hole at the highest resting line. Common practice: a finger's width.
pub const HOLE_MARGIN: f64 = 0.020;

/// A riser shorter than this floods nothing \[m\]. Ours, no source.
const LEAST_CREST_M: f64 = 0.01;

/// The riser, as to be cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RiserAdvice {
    /// Which tray.
    pub tray: usize,
    /// Crest above the tray floor that satisfies all rules \[m\].
    pub crest_m: f64,
    /// Crest in the file \[m\].
    pub present_crest_m: f64,
    /// Overflow head at the band's high end \[m\].
    pub head_high_m: f64,
    /// Length to cut the tube to: crest − seat + insertion \[m\].
    pub cut_m: f64,
    /// Stacking rings and the rest to trim, where the riser is made of rings \[m\].
    pub rings: Option<(u32, f64)>,
    /// What set it: "block tops", "rim" or "a third of the block".
    pub set_by: &'static str,
    /// Whether the tops stay dry and the rim safe at this crest.
    pub holds: bool,
}

/// The two pen lines on the reservoir, at rest: pump off, trays empty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FillLines {
    /// Highest line: volume \[m³\].
    pub highest_m3: f64,
    /// Highest line: millimetres below the rim, as metres.
    pub highest_below_rim_m: f64,
    /// What sets it.
    pub highest_set_by: &'static str,
    /// Lowest line: volume \[m³\].
    pub lowest_m3: f64,
    /// Lowest line below the rim \[m\].
    pub lowest_below_rim_m: f64,
    /// The fill of the file, below the rim \[m\].
    pub present_below_rim_m: f64,
    /// Volume of one centimetre at the present level \[m³\].
    pub per_cm_m3: f64,
    /// Whether the highest line lies above the lowest.
    pub possible: bool,
}

/// One setting of a throttle or bypass and what it does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ThrottleRow {
    /// The setting.
    pub setting: &'static str,
    /// Flow while flooded \[m³/s\].
    pub flow_m3_s: f64,
    /// Crest wet after \[s\].
    pub crest_wet_s: f64,
    /// Highest water \[m\].
    pub highest_m: f64,
}

/// Where to cut the riser of one tray; `None` where it has none.
///
/// The overflow head depends on the crest through the lift: far from the present crest it is
/// measured again there, so that following the advice ends the advice.
pub fn riser(view: &View<'_>) -> Option<RiserAdvice> {
    let present = view.tray.drain.riser.as_ref()?.crest.height.get();
    let first = riser_here(view, present)?;
    if (first.crest_m - present.value).abs() < 0.005 || !first.holds {
        return Some(first);
    }
    let there = view.survey.rig.clone().with_crest(view.index, m(first.crest_m));
    let survey = Survey::of_one(&there, view.index, TRIAL_RUNS);
    let second = survey.each().find(|v| v.index == view.index)?;
    riser_here(&second, present)
}

fn riser_here(view: &View<'_>, present: Length) -> Option<RiserAdvice> {
    let tray = view.tray;
    let r = tray.drain.riser.as_ref()?;
    let crest = r.crest.height.get().value;
    let high = view.band(Figure::HighestWater).high;
    // A flood that never reaches the crest says nothing of its head.
    let head_high = if high > crest { high - crest } else { 0.012 };
    let fouled = view.runs.fouled.highest_m[view.index];
    let rim = tray.rim().value;
    let head_fouled = if fouled > crest && fouled < rim - 1e-4 { fouled - crest } else { head_high * 1.5 };
    let from_rim = rim - RIM_MARGIN - head_fouled;
    let tilt = if tray.tilts_to_drain.get() { 0.0 } else { tray.tilt.get().value };
    let top = view.tops().or(tray.bed.as_ref().map(|b| b.depth.get())).map(|t| t.value);
    let from_top = top.map(|t| t - DRY_MARGIN - head_high - tilt);
    let (wish, mut set_by) = match from_top {
        Some(t) if t < from_rim => (t, if view.tops().is_some() { "block tops" } else { "top of the bed" }),
        _ => (from_rim, "rim"),
    };
    let third = tray.blocks.as_ref().map_or(0.01, |b| b.base.get().value + b.height.get().value / 3.0);
    let mut advised = (wish * 1000.0 + 1e-9).floor() / 1000.0;
    // A crest that is cut already and keeps half an inch, give or take, is left alone.
    let margin = wish - crest;
    if (-0.002..0.004).contains(&margin) {
        advised = crest;
    }
    if advised < third {
        (advised, set_by) = (third.min(from_rim.max(0.001)), "a third of the block");
    }
    // Where the flood itself does not work, no cut mends it.
    let works = view.band(Figure::CrestWet).likely.is_finite()
        && !view.happened(&view.runs.flood, EventKind::RimOvertopped)
        && !view.runs.flood.any(EventKind::PrimeLost);
    let seat = r.seat.get().value;
    let ring = r.ring.get().value;
    let rings = (ring > 0.0).then(|| {
        let n = ((advised - seat) / ring).ceil().max(1.0);
        (n as u32, n * ring - (advised - seat))
    });
    Some(RiserAdvice {
        tray: view.index,
        crest_m: advised,
        present_crest_m: present.value,
        head_high_m: head_high,
        cut_m: r.cut_for(m(advised)).value,
        rings,
        set_by,
        holds: works && wish >= third - 1e-9 && advised < rim,
    })
}

/// The bench with every "advise" crest at its advised height, and how many were set.
///
/// Two rounds: the head hardly depends on the crest, so the second only confirms.
pub fn settle_crests(rig: &Rig) -> (Rig, usize) {
    let mut out = rig.clone();
    let mut set = 0;
    for i in 0..rig.trays.len() {
        let advise = |r: &Rig| r.trays[i].drain.riser.as_ref().is_some_and(|x| x.crest.advise);
        if !advise(rig) {
            continue;
        }
        set += 1;
        for _ in 0..2 {
            let survey = Survey::of_one(&out, i, TRIAL_RUNS);
            let Some(view) = survey.each().find(|v| v.index == i) else { break };
            let Some(advice) = riser(&view) else { break };
            // Nor is a crest cut where no crest helps.
            if !advice.holds && (advice.set_by != "a third of the block" || advice.crest_m < LEAST_CREST_M) {
                break;
            }
            out = out.with_crest(i, m(advice.crest_m));
        }
    }
    (out, set)
}

/// The pen lines on the reservoir.
pub fn fill_lines(survey: &Survey) -> FillLines {
    let rig = &survey.rig;
    let r = &rig.reservoir;
    let rim = r.shape.depth();
    let hole = r.spill_height.get();
    let below = |v: Volume| (rim - r.shape.depth_of(v)).value;
    let by_hole = r.shape.volume((hole - mm(1e3 * HOLE_MARGIN)).max(mm(1.0)));
    // What a stuck pump can move onto the trays must fit below their rims.
    let prime = rig.pumps.iter().map(|p| p.prime_depth.get()).fold(mm(0.0), |a, b| if b > a { b } else { a });
    let spare = survey.each().map(|v| v.spilled(&v.runs.stuck)).fold(0.0, f64::max);
    let stuck_free = m3((r.fill.get().value - spare).max(0.0));
    let by_stuck = if spare > 1e-6 { stuck_free } else { max_without_spill(survey, by_hole) };
    let (highest, highest_set_by) = if by_stuck < by_hole {
        (by_stuck, "a stuck timer with the riser blocked")
    } else {
        (by_hole, "the lowest hole")
    };
    let out = water_out(survey);
    let needed = prime + mm(1e3 * PRIME_MARGIN);
    let lowest = r.shape.volume(needed.min(rim)) + out;
    let level = r.rest_depth();
    let per_cm = r.shape.volume(level + mm(5.0)) - r.shape.volume((level - mm(5.0)).max(mm(0.0)));
    FillLines {
        highest_m3: highest.value,
        highest_below_rim_m: below(highest),
        highest_set_by,
        lowest_m3: lowest.value,
        lowest_below_rim_m: below(lowest.min(r.shape.full())),
        present_below_rim_m: (rim - level).value,
        per_cm_m3: per_cm.value,
        possible: lowest <= highest,
    }
}

/// Water that is out of the reservoir at its lowest moment, at the band's bad end.
fn water_out(survey: &Survey) -> Volume {
    let r = &survey.rig.reservoir;
    let lost = |x: &Run| x.any(EventKind::PrimeLost);
    let drawn = |fill: Volume, lowest: f64| fill - r.shape.volume(m(lowest.clamp(0.0, r.shape.depth().value)));
    if !lost(&survey.day) && !survey.trays.iter().any(|t| lost(&t.flood)) {
        let bands = survey.trays.iter().map(|t| t.bands.get(Figure::LowestReservoir).low);
        let lowest = bands.chain([survey.day.lowest_reservoir_m]).fold(f64::INFINITY, f64::min);
        return drawn(r.fill.get(), lowest);
    }
    // A run cut short by air in the pump says too little: ask a reservoir that has enough.
    let mut full = survey.rig.clone();
    full.reservoir.fill = Value::new(r.spill_volume(), r.fill.birth.clone());
    let brief = Options { keep: Keep::Events, ..Options::default() };
    let lowest = (0..full.trays.len())
        .map(|i| Scenario::flood_of(&full, i))
        .chain([Scenario::day(&full)])
        .map(|s| run(&full, &Scenario { options: brief, ..s }).lowest_reservoir_m)
        .fold(f64::INFINITY, f64::min);
    // Three per cent more for the band's bad end.
    1.03 * drawn(r.spill_volume(), lowest)
}

/// Greatest fill up to `most` at which no stuck and blocked tray spills.
fn max_without_spill(survey: &Survey, most: Volume) -> Volume {
    let spills = |v: Volume| {
        let mut rig = survey.rig.clone();
        rig.reservoir.fill = Value::new(v, rig.reservoir.fill.birth.clone());
        (0..rig.trays.len()).any(|i| {
            let scenario = Scenario {
                options: Options { keep: Keep::Events, rtol: 1e-4, ..Options::default() },
                ..Scenario::stuck_and_blocked(&rig, i)
            };
            run(&rig, &scenario).on_the_floor_m3() > 1e-6
        })
    };
    if !spills(most) {
        return most;
    }
    let (mut lo, mut hi) = (survey.rig.reservoir.fill.get(), most);
    for _ in 0..7 {
        let mid = 0.5 * (lo + hi);
        if spills(mid) { hi = mid } else { lo = mid }
    }
    lo
}

/// What throttling the pump or teeing part of it back would do to one tray.
pub fn throttles(rig: &Rig, tray: usize) -> Vec<ThrottleRow> {
    let settings: [(&'static str, f64, Option<f64>); 5] = [
        ("as it is", -1.0, None),
        ("ball valve a third shut", 5.5, None),
        ("ball valve half shut", 25.0, None),
        ("ball valve two thirds shut", 200.0, None),
        ("tee with a 6 mm bypass into the reservoir", -1.0, Some(0.006)),
    ];
    let assumed = tidewright_rig::Birth::assumed("tried by the planner");
    settings
        .iter()
        .map(|(name, loss, bypass)| {
            let mut tried = rig.clone();
            let pump = &mut tried.pumps[rig.trays[tray].pump];
            if *loss >= 0.0 {
                pump.throttle = Value::new(*loss, assumed.clone());
            }
            if let Some(bore) = bypass {
                pump.bypass = Some(tidewright_rig::bench::Bypass {
                    bore: Value::new(m(*bore), assumed.clone()),
                    length: Value::new(m(0.2), assumed.clone()),
                    loss: Value::new(4.0, assumed.clone()),
                });
            }
            let options = Options { keep: Keep::Events, ..Options::default() };
            let r = run(&tried, &Scenario { options, ..Scenario::flood_of(&tried, tray) });
            let f = r.flood(tray);
            ThrottleRow {
                setting: name,
                flow_m3_s: f.map_or(0.0, |f| f.last_flow_m3_s),
                crest_wet_s: f.map_or(f64::INFINITY, |f| f.crest_wet_s),
                highest_m: r.highest_m[tray],
            }
        })
        .collect()
}

/// Checks an offered change against all rules: the finding must go, and nothing graver may come.
///
/// A change that fails is withdrawn; what remains after a good one is said.
pub(crate) fn check_offer(survey: &Survey, before: &[Finding], finding: &mut Finding) {
    let Some(mend) = &mut finding.mend else { return };
    let Some(change) = &mend.change else { return };
    let Some(tried) = apply(&survey.rig, &change.path, &change.value) else {
        mend.change = None;
        return;
    };
    let after = crate::raw_findings(&Survey::trial(&tried));
    let grave = |all: &[Finding], s: Severity| all.iter().filter(|f| f.severity == s).count();
    let same_left =
        |all: &[Finding]| all.iter().filter(|f| f.name == finding.name && f.severity <= Severity::Care).count();
    let gone = same_left(&after) < same_left(before)
        || (finding.severity == Severity::Note
            && !after.iter().any(|f| f.name == finding.name && f.severity == Severity::Note));
    let no_worse = grave(&after, Severity::Stop) <= grave(before, Severity::Stop)
        && grave(&after, Severity::Care)
            <= grave(before, Severity::Care).saturating_sub(usize::from(finding.severity == Severity::Care));
    if !(gone && no_worse) {
        let new: Vec<&str> = after
            .iter()
            .filter(|a| {
                a.severity <= Severity::Care && !before.iter().any(|b| b.name == a.name && b.severity <= a.severity)
            })
            .map(|a| a.title.as_str())
            .collect();
        mend.remains = if new.is_empty() {
            "does not settle it alone".into()
        } else {
            format!("but then: {}", new.join("; ").to_lowercase())
        };
        mend.change = None;
        return;
    }
    let mut left: Vec<&str> = after.iter().filter(|f| f.severity <= Severity::Care).map(|f| f.title.as_str()).collect();
    left.sort_unstable();
    left.dedup();
    let tail = if left.is_empty() {
        "all else still holds".to_owned()
    } else {
        format!("remains: {}", left.join("; ").to_lowercase())
    };
    mend.remains = if mend.remains.is_empty() { tail } else { format!("{}; {tail}", mend.remains) };
}

/// The bench with one value changed; `None` for a key that the planner cannot try.
fn apply(rig: &Rig, path: &str, value: &str) -> Option<Rig> {
    let mut out = rig.clone();
    let text = value.trim().trim_matches('"');
    let length = || tidewright_rig::units::parse(text, tidewright_rig::units::Dimension::Length).ok().map(|r| m(r.si));
    let assumed = tidewright_rig::Birth::assumed("tried by the planner");
    let tray = tray_index(path, rig);
    if path.ends_with("drain.crest") {
        return Some(out.with_crest(tray?, length()?));
    }
    if path.ends_with("minutes") {
        let run = tidewright_rig::units::parse(text, tidewright_rig::units::Dimension::Time).ok()?;
        let run = tidewright_physics::quantity::s(run.si);
        let all = path.starts_with("timer");
        let own =
            |i: usize| rig.sheet.iter().any(|l| l.path == format!("tray[{i}].minutes") || l.path == "tray.minutes");
        for (i, t) in out.trays.iter_mut().enumerate() {
            if (all && !own(i)) || (!all && Some(i) == tray) {
                t.schedule.run = Value::new(run, assumed.clone());
            }
        }
        return Some(out);
    }
    if path.ends_with("check_valve") {
        let index = path.strip_prefix("pump[").and_then(|r| r.split(']').next()?.parse().ok()).unwrap_or(0usize);
        out.pumps.get_mut(index)?.check_valve = Value::new(text == "true", assumed);
        return Some(out);
    }
    if path.ends_with("blocks.start") {
        out.trays.get_mut(tray?)?.blocks.as_mut()?.start = Value::new(Moisture::Moist, assumed);
        return Some(out);
    }
    if path.ends_with("drain.guard") {
        out.trays.get_mut(tray?)?.drain.strainer.guard = Value::new(text == "true", assumed);
        return Some(out);
    }
    if path == "reservoir.fill" {
        let v = tidewright_rig::units::parse(text, tidewright_rig::units::Dimension::Volume).ok()?;
        out.reservoir.fill = Value::new(m3(v.si), assumed);
        return Some(out);
    }
    None
}

fn tray_index(path: &str, rig: &Rig) -> Option<usize> {
    match path.strip_prefix("tray[") {
        Some(rest) => rest.split(']').next()?.parse().ok().filter(|i| *i < rig.trays.len()),
        None => Some(0),
    }
}

/// A length as a value to write into the file, in the user's units, rounded down to what a saw can do.
pub fn typed_length(system: System, length: Length) -> String {
    match system {
        System::Metric => format!("\"{:.0} mm\"", (length.value * 1e3 + 1e-6).floor()),
        System::UsCustomary => format!("\"{:.2} in\"", (length.value / 0.0254 * 16.0 + 1e-6).floor() / 16.0),
    }
}
