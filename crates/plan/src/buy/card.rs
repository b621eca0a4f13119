//! The shop card: windows of what would serve, not parts.

use crate::survey::Survey;
use serde::Serialize;
use tidewright_physics::hydraulics::line::{Line, area_of};
use tidewright_physics::hydraulics::riser;
use tidewright_physics::quantity::{Length, m, m3_s, mm};
use tidewright_physics::water;
use tidewright_rig::units::System;
use tidewright_sim::Knobs;

/// A flood should reach its crest within this share of the pump's time with a worn pump \[-\]. Common practice: half.
const FILL_SHARE: f64 = 0.5;
/// Dry block that stays above the water \[m\]. Common practice.
const DRY_M: f64 = 0.010;
/// Speed in a hose above which it hums \[m/s\]. Common practice.
const QUIET_M_S: f64 = 1.5;
/// True bores that shops sell \[mm\].
const BORES_MM: [f64; 9] = [6.0, 8.0, 10.0, 13.0, 16.0, 19.0, 25.0, 32.0, 38.0];

/// What would serve, between two ends.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Window {
    /// What it is.
    pub what: String,
    /// Low and high end in the user's units.
    pub words: String,
    /// Low end, SI.
    pub low: f64,
    /// High end, SI; infinite where more does no harm.
    pub high: f64,
    /// Why, and the trap in a nominal size.
    pub note: String,
}

/// The shop card of a bench.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Card {
    /// Windows, in the order of the water.
    pub windows: Vec<Window>,
    /// What names in shops do not mean.
    pub traps: Vec<&'static str>,
}

/// The card.
pub fn card(s: &Survey) -> Card {
    let u = s.units();
    let mut windows = Vec::new();
    for v in s.each() {
        let who = v.who();
        let (low, high) = flow_window(s, v.index);
        let lift = v.lift().value + hose_loss(s, v.index, 0.5 * (low + high));
        let words = if low > high {
            format!(
                "none: to fill in time takes {}, and this riser carries {}; a wider riser first",
                u.flow(low),
                u.flow(high)
            )
        } else {
            format!("any that gives {} to {} at {} of head", u.flow(low), u.flow(high), u.distance(lift))
        };
        windows.push(Window {
            what: format!("{who}pump"),
            words,
            low,
            high,
            note: "read its curve, not its name: the flow printed is without lift; small ones give 65 to 100 % of it"
                .into(),
        });
        if let Some(bores) = bores(s, v.index, (low, high)) {
            windows.push(Window {
                what: format!("{who}feed hose, true bore"),
                words: format!("{} to {}", u.length(bores.0), u.length(bores.1)),
                low: bores.0,
                high: bores.1,
                note: "with the pump you have; a \"16 mm\" pipe has a bore of about 13 mm, \"1/2 in\" hose 12.7 mm, \"1/2 in\" pipe 15.8 mm".into(),
            });
        }
        if let (Some(r), Some(head)) = (&v.tray.drain.riser, overflow_head(s, v.index)) {
            // The pump's best day, as the bands have it.
            let best = v.band(tidewright_sim::band::Figure::LastFlow).high;
            let least = BORES_MM.into_iter().find(|b| carries(mm(*b), head, r.count.get()) >= best);
            if let Some(b) = least {
                windows.push(Window {
                    what: format!("{who}riser, true bore"),
                    words: format!("{} or more", u.length(1e-3 * b)),
                    low: 1e-3 * b,
                    high: f64::INFINITY,
                    note: format!("carries the pump's best with {} over its crest, without priming", u.length(head)),
                });
            }
        }
        let rim = v.tray.crest().map_or(0.0, |c| c.value) + overflow_head(s, v.index).unwrap_or(0.0) + 0.03;
        windows.push(Window {
            what: format!("{who}tray, height of its rim over the floor"),
            words: format!("{} or more", u.length(rim)),
            low: rim,
            high: f64::INFINITY,
            note: format!("crest, overflow and {} of freeboard", u.length(0.03)),
        });
    }
    windows.extend(reservoir(s, u));
    Card {
        windows,
        traps: vec![
            "These windows keep room for a worn pump and a fouled strainer: what you have may lie outside of one and still hold, and the findings say so.",
            "Nominal is not true: a pipe's name is neither its bore nor its outside nor the hole for its fitting. Take the fitting to the drill.",
            "Parallel and tapered threads start into each other and do not seal.",
            "A tub's litres are to its brim; 50 to 80 mm of it stay empty.",
            "A hole saw cuts a millimetre more than its name. Pipe cutters for plastic make the clean square cut that scissors do not.",
        ],
    }
}

/// Flow into a tray: at the low end its worn pump reaches the crest within half of its time, at the high end the riser keeps the
/// water below the block tops (or the rim) vented.
fn flow_window(s: &Survey, tray: usize) -> (f64, f64) {
    let t = &s.rig.trays[tray];
    let crest = t.crest().unwrap_or(t.rim() * 0.5).value;
    let blocks = t.blocks.as_ref().map_or(0.0, |b| b.plan_area().value * crest.min(b.total_height().value));
    let held = t.blocks.as_ref().map_or(0.0, |b| 0.1 * b.volume().value);
    let bed = t.bed.as_ref().map_or(1.0, |b| b.void_fraction.get());
    let free = (t.shape.volume(m(crest)).value * bed - blocks).max(1e-4) + held;
    let low = free / (FILL_SHARE * t.schedule.run.get().value) / s.rig.pumps[t.pump].worn.get();
    let high = match (&t.drain.riser, overflow_head(s, tray)) {
        (Some(r), Some(head)) => carries(r.bore.get(), head, r.count.get()),
        _ => 3.0 * low,
    };
    (low, high)
}

/// Head that may stand over the crest \[m\].
fn overflow_head(s: &Survey, tray: usize) -> Option<f64> {
    let t = &s.rig.trays[tray];
    let crest = t.crest()?.value;
    let top = t.block_tops().map_or(t.rim().value - 0.03, |b| b.value - DRY_M).min(t.rim().value - 0.02);
    Some((top - crest).max(0.005))
}

fn carries(bore: Length, head: f64, count: f64) -> f64 {
    let h = m(head);
    let (w, o) = (
        riser::weir(riser::WEIR_COEFFICIENT, bore, h).value,
        riser::orifice(riser::ORIFICE_COEFFICIENT, bore, h).value,
    );
    count * w.min(o)
}

fn line_with(s: &Survey, tray: usize, bore: Option<Length>) -> Line {
    let pump = &s.rig.pumps[s.rig.trays[tray].pump];
    let nu = water::kinematic_viscosity_m2_s(s.rig.site.water_temperature.get());
    let mut line = pump.feed.line(nu, 1.0);
    if let Some(b) = bore {
        line.bore = b;
    }
    line
}

fn hose_loss(s: &Survey, tray: usize, flow: f64) -> f64 {
    line_with(s, tray, None).head(m3_s(flow)).value
}

/// Least and greatest bore that shops sell at which the pump of the bench gives a flow within the window, quietly.
fn bores(s: &Survey, tray: usize, (low, high): (f64, f64)) -> Option<(f64, f64)> {
    let t = &s.rig.trays[tray];
    if t.branch.is_some() {
        return None;
    }
    let pump = &s.rig.pumps[t.pump];
    let knobs = Knobs::nominal(&s.rig);
    let k = knobs.pumps[t.pump];
    let (sq, sh) = pump.speed_factors(s.rig.site.mains_frequency.get());
    let curve = pump.curve.borrowed();
    let lift = s.each().nth(tray)?.lift().value;
    let share = k.flow_share;
    let flow_at = |bore: Length| {
        let line = line_with(s, tray, Some(bore));
        let push = |q: f64| {
            let (h, _) = curve.head_and_slope(q / (sq * share));
            h * sh * share.sqrt() - lift - line.head(m3_s(q)).value
        };
        let most = curve.open_flow().value * sq * share;
        tidewright_physics::numerics::root::bracketed(0.0, most, 1e-10, push).unwrap_or(0.0)
    };
    let serves = |b: &f64| {
        let bore = mm(*b);
        let q = flow_at(bore);
        q >= low && q <= high && q / area_of(bore).value <= 1.4 * QUIET_M_S
    };
    let all: Vec<f64> = BORES_MM.into_iter().filter(serves).collect();
    Some((1e-3 * all.first()?, 1e-3 * all.last()?))
}

fn reservoir(s: &Survey, u: System) -> Vec<Window> {
    let lines = crate::advice::fill_lines(s);
    let prime = lines.lowest_m3;
    // What the lowest line asks for with a fifth above it, and room for what comes back.
    let low = 1.2 * prime / 0.8;
    let rim = s
        .rig
        .trays
        .iter()
        .filter(|t| t.elevation.get() > s.rig.reservoir.elevation.get() + s.rig.reservoir.shape.depth())
        .map(|t| {
            let rail = s.rig.stand.as_ref().map_or(0.0, |x| (x.rail.outer.1 + x.deck.get()).value);
            t.elevation.get().value - t.holes.below.get().value.max(rail + crate::fit::LID_ROOM_M)
        })
        .fold(f64::INFINITY, f64::min);
    let mut out = vec![Window {
        what: "reservoir, to its brim".into(),
        words: format!("{} or more", u.volume(low)),
        low,
        high: f64::INFINITY,
        note: "over twice what one flood takes, prime and a week's drinking go before a name on a lid".into(),
    }];
    if rim.is_finite() && rim > 0.0 {
        out.push(Window {
            what: "reservoir, height of its rim".into(),
            words: format!("{} at the most", u.length(rim)),
            low: 0.0,
            high: rim,
            note: "room for fitting and elbow, and to lift its lid".into(),
        });
    }
    out
}
