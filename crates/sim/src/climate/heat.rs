//! Temperature of reservoir and trays over the day.
//!
//! Heat is counted from the water temperature that the bench file names, so that water which comes and goes hardly shows.

use super::exchange::{FILM_M3, Held, Term};
use super::forcing::{DAY_S, Piece};
use super::{Account, Ground, MOST_DAYS, SAME, account};
use crate::stack::light_w_m2;
use tidewright_physics::air::handbook;
use tidewright_physics::heat::{QUIET_POOL, WATER_J_KG_K, evaporation_kg_s, latent_j_kg};
use tidewright_physics::quantity::{celsius, m, m2};
use tidewright_physics::water;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Jacket, RoomStep, Tray};

/// Kinds of the account of heat.
pub const HEATS: [&str; 8] = [
    "pumps",
    "room, through walls",
    "room, open water",
    "evaporation",
    "lamps",
    "air blown in",
    "heater or chiller",
    "water that comes and goes",
];

/// W/(m² K), all from memory: bare plastic 5–7; foil; 20 mm of foam; open water, sensible; a lid.
const BARE: f64 = 6.0;
const FOIL: f64 = 3.5;
const FOAM: f64 = 1.3;
const OPEN: f64 = 5.0;
const LID: f64 = 3.5;
/// Blocks among others, their sides to the air.
const BLOCK_SIDES: f64 = 2.5;
/// A tray's plastic as litres of water, over the area of its floor and walls \[m\]: 4 mm at 0.45 of water's heat.
const SHELL_M: f64 = 0.0018;
/// What wet blocks and a dark tray keep of the light that falls on them \[-\]. From memory.
const ABSORBED: f64 = 0.8;

/// Temperatures of a day, the reservoir's first, at the end of each piece \[K\].
pub(crate) struct Warm {
    pub(crate) begin_k: Vec<f64>,
    pub(crate) course_k: Vec<Vec<f64>>,
    pub(crate) account: Account,
    pub(crate) days: u32,
    pub(crate) periodic: bool,
    pub(crate) held_j: [f64; 2],
    /// Greatest hourly mean of heating and cooling \[W\].
    pub(crate) most_w: [f64; 2],
}

/// Loss of the reservoir to its room at rest, walls and top without evaporation \[W/K\].
pub fn losses_w_k(rig: &Rig) -> f64 {
    let r = &rig.reservoir;
    walls_w_k(rig, r.rest_depth().value) + top_w_k(rig, r.rest_depth().value)
}

fn walls_w_k(rig: &Rig, depth: f64) -> f64 {
    let around = rig.reservoir.shape.perimeter_at(m(0.5 * depth));
    let u = match rig.warmth.jacket.get() {
        Jacket::None => BARE,
        Jacket::Foil => FOIL,
        Jacket::Foam => FOAM,
    };
    u * around.value * depth
}

fn top_w_k(rig: &Rig, depth: f64) -> f64 {
    rig.reservoir.shape.si().area(depth) * if rig.reservoir.lid.get() { LID } else { OPEN }
}

/// Air of the room during a piece.
struct Air {
    /// Over the temperature that heat is counted from \[K\].
    above: f64,
    vapour_pa: f64,
    photons_mol_m2_s: f64,
}

fn air_at(room: &[RoomStep], piece: &Piece, base_k: f64) -> Air {
    let t = (piece.from_s + 0.5 * piece.dt_s).rem_euclid(DAY_S);
    let i = room.partition_point(|r| r.from_s <= t);
    let r = &room[if i == 0 { room.len() - 1 } else { i - 1 }];
    let vapour = handbook::saturation(celsius(r.air_k - 273.15)).value * r.humidity;
    Air { above: r.air_k - base_k, vapour_pa: vapour, photons_mol_m2_s: r.photons_mol_m2_s }
}

/// Evaporation as a straight line about a temperature: −λE(T₀) − λE′(T − T₀), over ρc.
fn evaporating(area: f64, draught: f64, air: &Air, (kelvin, base_k): (f64, f64), rho_c: f64) -> Term {
    let at = |k: f64| {
        let t = celsius(k - 273.15);
        let latent = latent_j_kg(t);
        let vapour = tidewright_physics::quantity::pa(air.vapour_pa);
        let speed = tidewright_physics::quantity::m_s(draught);
        latent * QUIET_POOL * evaporation_kg_s(m2(area), speed, handbook::saturation(t), vapour, latent) / rho_c
    };
    let (now, above) = (at(kelvin), at(kelvin + 0.5));
    let slope = (above - now) / 0.5;
    Term { gain: slope * (kelvin - base_k) - now, loss: slope }
}

/// A day's change over that of the day before, above which none is foretold \[-\].
const MOST_RATIO: f64 = 0.95;

pub(crate) fn day(ground: &Ground<'_>) -> Warm {
    let rig = ground.rig;
    let site = rig.site.water_temperature.get();
    let rho_c = water::density(site).value * WATER_J_KG_K;
    let n = rig.trays.len();
    let shells: Vec<f64> = rig.trays.iter().map(shell_m3).collect();
    let capacity = |p: &Piece| -> Vec<(f64, f64)> {
        let tray = |i: usize| {
            let own = shells[i] + FILM_M3;
            (p.water[i + 1].0 + p.media[i].0 + own, p.water[i + 1].1 + p.media[i].1 + own)
        };
        std::iter::once(p.water[0]).chain((0..n).map(tray)).collect()
    };
    let capacities: Vec<Vec<(f64, f64)>> = ground.pieces.iter().map(capacity).collect();
    let room = rig.growing.room();
    let airs: Vec<Air> = ground.pieces.iter().map(|p| air_at(&room, p, site.value)).collect();
    let start = capacities.first().map_or_else(Vec::new, |c| vec![0.0; c.len()]);
    let mut held: Held<8> = Held::new(start);
    let mut out = Warm {
        begin_k: Vec::new(),
        course_k: vec![Vec::new(); ground.pieces.len()],
        account: Account::default(),
        days: 0,
        periodic: false,
        held_j: [0.0; 2],
        most_w: [0.0; 2],
    };
    let mut kelvin = vec![site.value; n + 1];
    let mut last_change = 0.0;
    let mut terms = vec![[Term::default(); 8]; n + 1];
    while out.days < MOST_DAYS && !out.periodic {
        out.days += 1;
        // The day begins with what the vessels hold then: water of the night before is that of this one.
        if let Some(c) = capacities.first() {
            for (v, x) in c.iter().enumerate() {
                held.amounts[v] = x.0.max(FILM_M3) * (kelvin[v] - site.value);
            }
        }
        let before = held.amounts.clone();
        held.brought.iter_mut().for_each(|b| *b = [0.0; 8]);
        out.begin_k.clone_from(&kelvin);
        out.held_j = [0.0; 2];
        let mut by_hour = [[0.0; 2]; 25];

        for (k, ((piece, caps), air)) in ground.pieces.iter().zip(&capacities).zip(&airs).enumerate() {
            reservoir_terms(ground, piece, air, kelvin[0], rho_c, &mut terms[0]);
            for i in 0..n {
                tray_terms(ground, piece, air, i, kelvin[i + 1], rho_c, &mut terms[i + 1]);
                // What media, a can or the floor take and give has the vessel's own temperature; capacity counts media in.
                let change = (caps[i + 1].1 - caps[i + 1].0) / piece.dt_s;
                let f = &piece.flows;
                let fallen: f64 = (0..n).filter(|j| ground.into[*j] == Some(i)).map(|j| f.riser[j]).sum();
                let rest = change - (f.feed[i] - f.back[i] - f.riser[i] + fallen);
                terms[i + 1][7] = Term { gain: 0.0, loss: -rest };
            }
            held.advance(&ground.step(piece, caps, &terms));
            let before_j = out.held_j;
            hold(rig, piece, caps, rho_c, &mut held, &mut out.held_j);
            let hour = &mut by_hour[((piece.from_s / 3600.0) as usize).min(24)];
            for k in 0..2 {
                hour[k] += out.held_j[k] - before_j[k];
            }
            for (v, t) in kelvin.iter_mut().enumerate() {
                *t = site.value + held.amounts[v] / caps[v].1.max(FILM_M3);
            }
            out.course_k[k].clone_from(&kelvin);
        }
        out.most_w = [0, 1].map(|k| by_hour.iter().map(|h| h[k] / 3600.0).fold(0.0, f64::max));
        out.periodic = kelvin.iter().zip(&out.begin_k).all(|(a, b)| (a - b).abs() < SAME);
        out.account = account(HEATS, &held, &before, rho_c);
        // Days near one another by a steady ratio: the next begins where that leads to.
        let change = kelvin[0] - out.begin_k[0];
        let ratio = change / last_change;
        if !out.periodic && ratio > 0.0 && ratio < MOST_RATIO {
            kelvin.iter_mut().for_each(|k| *k += change * ratio / (1.0 - ratio));
            last_change = 0.0;
        } else {
            last_change = change;
        }
    }
    out
}

/// A tray's plastic, as water \[m³\].
fn shell_m3(t: &Tray) -> f64 {
    let half = t.rim() * 0.5;
    SHELL_M * (t.shape.area_at(half) + t.shape.perimeter_at(half) * t.rim()).value
}

fn reservoir_terms(g: &Ground<'_>, p: &Piece, air: &Air, kelvin: f64, rho_c: f64, out: &mut [Term; 8]) {
    let rig = g.rig;
    let pumps: f64 =
        rig.pumps.iter().zip(&p.pumps).filter(|(_, on)| **on).map(|(x, _)| x.power.get().value).sum::<f64>();
    // A submersible pump's motor loss and friction all end in the water.
    out[0] = Term { gain: pumps / rho_c, loss: 0.0 };
    let depth = p.depth[0].max(0.0);
    out[1] = Term::towards(air.above, walls_w_k(rig, depth) / rho_c);
    out[2] = Term::towards(air.above, top_w_k(rig, depth) / rho_c);
    out[3] = if rig.reservoir.lid.get() {
        Term::default()
    } else {
        evaporating(
            rig.reservoir.shape.si().area(depth),
            rig.warmth.draught.get().value,
            air,
            (kelvin, rig.site.water_temperature.get().value),
            rho_c,
        )
    };
    out[4] = Term::default();
    out[5] = g
        .blown
        .as_ref()
        .filter(|b| b.is_on(p.from_s + 0.5 * p.dt_s))
        .map_or(Term::default(), |b| blown_in(b.flow_m3_s(), air, kelvin, rho_c));
    out[6] = Term::default();
    // What comes besides comes at the room's temperature; what goes, goes as it is.
    let rest = p.rest[0];
    out[7] = if rest > 0.0 { Term { gain: rest * air.above, loss: 0.0 } } else { Term { gain: 0.0, loss: -rest } };
}

/// Air that comes in dry and leaves saturated, and its own warmth.
fn blown_in(flow: f64, air: &Air, kelvin: f64, rho_c: f64) -> Term {
    const AIR_J_M3_K: f64 = 1200.0;
    const VAPOUR_GAS: f64 = 461.5;
    let t = celsius(kelvin - 273.15);
    let wet = (handbook::saturation(t).value - air.vapour_pa) / (VAPOUR_GAS * kelvin);
    let mut term = Term::towards(air.above, flow * AIR_J_M3_K / rho_c);
    term.gain -= flow * wet * latent_j_kg(t) / rho_c;
    term
}

fn tray_terms(g: &Ground<'_>, p: &Piece, air: &Air, i: usize, kelvin: f64, rho_c: f64, out: &mut [Term; 8]) {
    let rig = g.rig;
    let t = &rig.trays[i];
    let depth = p.depth[i + 1].clamp(0.0, t.rim().value);
    let half = m(0.5 * depth);
    let (floor, around) = (t.shape.area_at(half).value, t.shape.perimeter_at(half).value);
    let wet = depth > 0.002;
    let blocks = t.blocks.as_ref();
    let plan = blocks.map_or(0.0, |b| b.plan_area().value);
    let free = (floor - plan).max(0.0);
    let sides = blocks.map_or(0.0, |b| {
        let shown = (b.total_height().value + b.base.get().value - depth).clamp(0.0, b.total_height().value);
        BLOCK_SIDES * b.count.get() * 2.0 * (b.length.get() + b.width.get()).value * shown
    });
    let below = if wet { BARE * (floor + around * depth) } else { 0.5 * BARE * plan.max(0.1 * floor) };
    out[0] = Term::default();
    out[1] = Term::towards(air.above, (below + sides) / rho_c);
    out[2] = Term::towards(air.above, (OPEN * if wet { free } else { 0.0 } + OPEN * plan) / rho_c);
    let shade = 1.0 - 0.5 * rig.growing.cover.get();
    out[3] = if wet {
        evaporating(
            free * shade,
            rig.warmth.draught.get().value,
            air,
            (kelvin, rig.site.water_temperature.get().value),
            rho_c,
        )
    } else {
        Term::default()
    };
    let tops = g.demand[i].as_ref().map_or(0.0, |d| d.evaporation_m_s(p.from_s + 0.5 * p.dt_s)) * plan;
    out[3].gain -= tops * latent_j_kg(celsius(kelvin - 273.15)) * 1000.0 / rho_c;
    let lit = light_w_m2(rig.growing.place.get(), air.photons_mol_m2_s) * ABSORBED * (1.0 - rig.growing.cover.get());
    out[4] = Term { gain: lit * t.shape.si().area(t.rim().value) / rho_c, loss: 0.0 };
    out[5] = Term::default();
    out[6] = Term::default();
}

/// Heater and chiller bring the reservoir to what is wanted, as far as their power reaches.
fn hold(rig: &Rig, p: &Piece, caps: &[(f64, f64)], rho_c: f64, held: &mut Held<8>, work_j: &mut [f64; 2]) {
    let Some(wanted) = &rig.warmth.hold else { return };
    let capacity = caps[0].1.max(FILM_M3);
    let base_k = rig.site.water_temperature.get().value;
    let missing_j = (wanted.get().value - base_k - held.amounts[0] / capacity) * capacity * rho_c;
    let most = |x: &Option<tidewright_rig::Value<tidewright_physics::quantity::Power>>| {
        x.as_ref().map_or(0.0, |v| v.get().value * p.dt_s)
    };
    let given = missing_j.clamp(-most(&rig.warmth.chiller), most(&rig.warmth.heater));
    held.amounts[0] += given / rho_c;
    held.brought[0][6] += given / rho_c;
    work_j[usize::from(given < 0.0)] += given.abs();
}
