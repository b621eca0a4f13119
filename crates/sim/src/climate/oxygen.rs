//! Dissolved oxygen of reservoir and trays over the day.

use super::exchange::{FILM_M3, Held, Term};
use super::forcing::Piece;
use super::heat::Warm;
use super::{ClimateDay, ClimateMoment, End, Ground, MOST_DAYS, SAME, account, blown};
use tidewright_physics::oxygen::{saturation, transfer};
use tidewright_physics::quantity::{Length, Pressure, ThermodynamicTemperature, celsius, m};
use tidewright_rig::Rig;

/// Kinds of the account of oxygen.
pub const OXYGENS: [&str; 6] = [
    "bubbles",
    "open surface",
    "falling water",
    "roots under water",
    "microbes and roots in the reservoir",
    "water that comes and goes",
];

/// Roots and microbes get half of what they want at this \[mg/L\]: 1 kPa of 21, from memory.
const HALF_USE: f64 = 0.43;
/// Quality of the water and shape of the fall in Gameson's ratio: clean, a free fall. From memory.
const CLEAN_FALL: (f64, f64) = (1.8, 1.0);
/// A tray with less water than this has no oxygen to speak of \[m³\].
const TOLD_M3: f64 = 2e-4;

/// What all roots of the bench use with oxygen in plenty, at the reservoir's temperature \[mg/h\].
pub fn roots_mg_h(rig: &Rig, temperature: ThermodynamicTemperature) -> f64 {
    (0..rig.trays.len()).map(|i| roots_in_tray_mg_h(rig, i, temperature)).sum()
}

/// What the roots of one tray use \[mg/h\].
pub fn roots_in_tray_mg_h(rig: &Rig, tray: usize, temperature: ThermodynamicTemperature) -> f64 {
    let Some(b) = rig.trays[tray].blocks.as_ref() else { return 0.0 };
    3.6e6 * crate::stack::Demand::of(rig, tray, b, 1.0).oxygen_g_s(temperature)
}

/// Salinity of the solution as oxygen feels it \[g/kg\]: an ordinary feed of 2 mS/cm.
pub const USUAL_CONDUCTANCE_US_CM: f64 = 2000.0;

pub(crate) struct Sat {
    salinity: f64,
    pressure: Pressure,
}

impl Sat {
    pub(crate) fn of(rig: &Rig) -> Self {
        Self {
            salinity: saturation::salinity_of_conductance_g_kg(USUAL_CONDUCTANCE_US_CM),
            pressure: blown::air_pressure(rig),
        }
    }

    pub(crate) fn at(&self, kelvin: f64) -> f64 {
        saturation::saturation_mg_l(celsius(kelvin - 273.15), self.salinity, self.pressure)
    }

    pub(crate) fn under(&self, kelvin: f64, depth: Length) -> f64 {
        saturation::under_bubbles_mg_l(celsius(kelvin - 273.15), self.salinity, self.pressure, depth)
    }
}

pub(crate) fn day(ground: &Ground<'_>, warm: Warm, end: End, given_back: f64) -> ClimateDay {
    let rig = ground.rig;
    let n = rig.trays.len();
    let sat = Sat::of(rig);
    let capacity = |p: &Piece| -> Vec<(f64, f64)> { p.water.iter().map(|w| (w.0 + FILM_M3, w.1 + FILM_M3)).collect() };
    let capacities: Vec<Vec<(f64, f64)>> = ground.pieces.iter().map(capacity).collect();
    let temperatures: Vec<&Vec<f64>> = std::iter::once(&warm.begin_k).chain(&warm.course_k).collect();
    let mut now: Vec<f64> = warm.begin_k.iter().map(|k| 0.9 * sat.at(*k)).collect();
    let mut held: Held<6> = Held::new(vec![0.0; n + 1]);
    let mut ahead = held.clone();
    let mut terms = vec![[Term::default(); 6]; n + 1];
    let mut out = ClimateDay {
        heat: warm.account,
        held_j: warm.held_j,
        days: warm.days,
        periodic: false,
        ..ClimateDay::default()
    };
    let moment = |t_s: f64, kelvin: &[f64], now: &[f64], water: &[f64]| ClimateMoment {
        t_s,
        reservoir_k: kelvin[0],
        trays_k: kelvin[1..].to_vec(),
        oxygen_mg_l: now[0],
        trays_mg_l: (0..n).map(|i| (water[i + 1] > TOLD_M3).then_some(now[i + 1])).collect(),
        saturation_mg_l: sat.at(kelvin[0]),
    };
    for days in 1..=MOST_DAYS {
        let begin = now.clone();
        if let Some(c) = capacities.first() {
            held.amounts = c.iter().zip(&now).map(|(x, c)| x.0 * c).collect();
        }
        let before = held.amounts.clone();
        held.brought.iter_mut().for_each(|b| *b = [0.0; 6]);
        out.course.clear();
        if let (Some(p), Some(k)) = (ground.pieces.first(), temperatures.first()) {
            let water: Vec<f64> = p.water.iter().map(|w| w.0).collect();
            out.course.push(moment(p.from_s, k, &now, &water));
        }
        for (j, (piece, caps)) in ground.pieces.iter().zip(&capacities).enumerate() {
            let kelvin = temperatures[j + 1];
            let sats: Vec<f64> = kelvin.iter().map(|k| sat.at(*k)).collect();
            terms[0] = reservoir_terms(ground, piece, &sat, &sats, (kelvin[0], end), &now);
            for i in 0..n {
                terms[i + 1] = tray_terms(ground, piece, &sats, (i, kelvin[i + 1], end), now[i + 1], given_back);
            }
            // What living things use hangs on what there is: once looked ahead, then with the middle of the step.
            ahead.start_from(&held);
            ahead.advance(&ground.step(piece, caps, &terms));
            for v in 0..=n {
                let middle = 0.5 * (now[v].max(0.0) + (ahead.amounts[v] / caps[v].1).max(0.0));
                for kind in [3, 4] {
                    terms[v][kind].loss *= (now[v].max(0.0) + HALF_USE) / (middle + HALF_USE);
                }
            }
            held.advance(&ground.step(piece, caps, &terms));
            for (v, c) in now.iter_mut().enumerate() {
                *c = held.amounts[v] / caps[v].1;
            }
            let water: Vec<f64> = piece.water.iter().map(|w| w.1).collect();
            out.course.push(moment(piece.from_s + piece.dt_s, kelvin, &now, &water));
        }
        out.oxygen = account(OXYGENS, &held, &before, 1.0);
        out.periodic = warm.periodic && (now[0] - begin[0]).abs() < SAME;
        out.days = warm.days.max(days);
        if (now[0] - begin[0]).abs() < SAME {
            break;
        }
    }
    out
}

/// Share of what it wants that a living thing gets \[1/(mg/L)\]: R/(C + K), taken at the begin of a step.
fn used(rate_g_s: f64, now: f64) -> Term {
    Term { gain: 0.0, loss: rate_g_s / (now.max(0.0) + HALF_USE) }
}

fn reservoir_terms(
    g: &Ground<'_>,
    p: &Piece,
    sat: &Sat,
    sats: &[f64],
    (kelvin, end): (f64, End),
    now: &[f64],
) -> [Term; 6] {
    let rig = g.rig;
    let mut out = [Term::default(); 6];
    let t = celsius(kelvin - 273.15);
    let depth = p.depth[0];
    if let Some(b) = &g.blown
        && b.depth_m > 0.0
        && b.is_on(p.from_s + 0.5 * p.dt_s)
    {
        // Bubbles rise through what stands over the stone now.
        let over = (depth - rig.reservoir.rest_depth().value + b.depth_m).max(0.0);
        let k = b.transfer_m3_s[end.blown] * transfer::temperature_factor(t) * over / b.depth_m;
        out[0] = Term::towards(sat.under(kelvin, m(over)), k);
    }
    let uncovered = if rig.reservoir.lid.get() { end.under_lid } else { 1.0 };
    let k = uncovered * transfer::STILL_SURFACE_M_H / 3600.0 * rig.reservoir.shape.si().area(depth);
    // A clean-water test has seen the surface with the bubbles: it is not counted twice.
    let tested = g.blown.as_ref().is_some_and(|b| b.measured && b.is_on(p.from_s + 0.5 * p.dt_s));
    if !tested {
        out[1] = Term::towards(sats[0], k * transfer::temperature_factor(t));
    }
    if end.fall > 0.0 {
        let level = rig.reservoir.elevation.get().value + depth;
        for (i, tray) in rig.trays.iter().enumerate().filter(|(i, _)| g.into[*i].is_none()) {
            let fall = (tray.elevation.get() - tray.drain.back.drop.get()).value - level;
            if fall > 0.0 && p.flows.riser[i] > 0.0 {
                let r = transfer::deficit_ratio_of_fall(m(fall.min(3.0)), t, CLEAN_FALL);
                out[2].gain += p.flows.riser[i] * (sats[i + 1] - now[i + 1]) * (1.0 - 1.0 / r) * end.fall;
            }
        }
    }
    let wanted: f64 = g.demand.iter().flatten().map(|d| d.oxygen_g_s(t)).sum::<f64>() * end.roots;
    out[4] = used(end.others * wanted, now[0]);
    let rest = p.rest[0];
    // What comes from a can or the mains has stood in air.
    out[5] = if rest > 0.0 { Term { gain: rest * sats[0], loss: 0.0 } } else { Term { gain: 0.0, loss: -rest } };
    out
}

fn tray_terms(
    g: &Ground<'_>,
    p: &Piece,
    sats: &[f64],
    (i, kelvin, end): (usize, f64, End),
    now: f64,
    given_back: f64,
) -> [Term; 6] {
    let tray = &g.rig.trays[i];
    let mut out = [Term::default(); 6];
    let t = celsius(kelvin - 273.15);
    let depth = p.depth[i + 1];
    let plan = tray.blocks.as_ref().map_or(0.0, |b| b.plan_area().value);
    let free = (tray.shape.si().area(depth.max(0.0)) - plan).max(0.0);
    let k = transfer::STILL_SURFACE_M_H / 3600.0 * free * transfer::temperature_factor(t);
    out[1] = Term::towards(sats[i + 1], k);
    if let (Some(d), Some(b)) = (&g.demand[i], &tray.blocks) {
        let under = ((depth - b.base.get().value) / b.total_height().value).clamp(0.0, 1.0);
        out[3] = used(end.roots * under * d.oxygen_g_s(t), now);
    }
    let rest = p.rest[i + 1];
    out[5] = if rest > 0.0 {
        Term { gain: rest * given_back * sats[i + 1], loss: 0.0 }
    } else {
        Term { gain: 0.0, loss: -rest }
    };
    out
}
