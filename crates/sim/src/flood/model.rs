//! A rig and a scenario as plain numbers.

use super::network::Source;
use super::outlet::RiserSi;
use super::soak::FirstOrder;
use super::state::Layout;
use super::store::{Filling, Store};
use crate::scenario::{Law, Program, Scenario};
use crate::stack::Stack;
use tidewright_physics::geometry::ShapeSi;
use tidewright_physics::hydraulics::line::{Line, LineSi};
use tidewright_physics::hydraulics::pump::Curve;
use tidewright_physics::hydraulics::riser::ORIFICE_COEFFICIENT_RAGGED;
use tidewright_physics::quantity::m;
use tidewright_physics::water;
use tidewright_rig::bench::{Entry, Moisture, Supply, TopUp, Tray, Valve};
use tidewright_rig::{Birth, Rig};

/// Share of a strainer's open area that fouling leaves. Common practice, no source.
const FOULED_OPEN: f64 = 1.0 / 3.0;
/// Water over the prime depth at which a pump that drew air takes hold again \[m\]. Common practice.
const REGAIN: f64 = 0.015;
/// Gap between a float valve's opening and shutting levels \[m\]. Common practice, no source.
const FLOAT_GAP: f64 = 0.005;

pub(crate) struct TrayModel {
    pub(crate) floor: f64,
    pub(crate) rim: f64,
    pub(crate) store: Store,
    pub(crate) riser: Option<RiserSi>,
    pub(crate) weep_area: f64,
    pub(crate) lip_bore: f64,
    pub(crate) media: Option<FirstOrder>,
    /// Blocks that are followed as columns, as they are at the start.
    pub(crate) stack: Option<Stack>,
    pub(crate) media_at_start: f64,
    /// Room of its media \[m³\].
    pub(crate) envelope: f64,
    pub(crate) block_base: Option<f64>,
    pub(crate) block_top: Option<f64>,
    pub(crate) pump: usize,
    pub(crate) line: Option<LineSi>,
    pub(crate) outlet: f64,
    /// Where air enters a feed over the rim as soon as no pump pushes \[m\]: water must rise to there.
    pub(crate) broken_at: f64,
    /// Depth below which no water enters the feed backwards \[m\].
    pub(crate) back_depth: f64,
    pub(crate) drains_into: Option<usize>,
    /// How long its valve stays open after a flood \[s\]; none where it has no valve.
    pub(crate) valve_hold: Option<f64>,
    pub(crate) drained_mark: f64,
    pub(crate) starts: Vec<f64>,
    pub(crate) run_s: f64,
}

pub(crate) struct PumpModel {
    pub(crate) source: Source,
    pub(crate) bypass: Option<LineSi>,
    pub(crate) prime_depth: f64,
    /// Height of its inlet over the reservoir's floor \[m\].
    pub(crate) inlet: f64,
    pub(crate) regain_depth: Option<f64>,
    /// Water that its hoses hold \[m³\]; nil where that is left out.
    pub(crate) hose_volume: f64,
    /// Highest point that water must pass while the hose fills \[m above the room's floor\].
    pub(crate) high_point: f64,
    pub(crate) trays: Vec<usize>,
}

pub(crate) struct FloatModel {
    pub(crate) opens: f64,
    pub(crate) shuts: f64,
    pub(crate) flow: f64,
    /// Water behind it \[m³\]; infinite for the mains.
    pub(crate) tank: f64,
}

pub(crate) struct Model {
    pub(crate) layout: Layout,
    pub(crate) reservoir: ShapeSi,
    pub(crate) reservoir_floor: f64,
    pub(crate) reservoir_volume: f64,
    pub(crate) spill_height: f64,
    pub(crate) trays: Vec<TrayModel>,
    pub(crate) pumps: Vec<PumpModel>,
    pub(crate) float: Option<FloatModel>,
    pub(crate) weir: f64,
    pub(crate) lip_control: bool,
    pub(crate) return_off: bool,
    pub(crate) feed_off: bool,
}

impl Model {
    pub(crate) fn of(rig: &Rig, scenario: &Scenario) -> Self {
        let nu = water::kinematic_viscosity_m2_s(rig.site.water_temperature.get());
        let knobs = &scenario.knobs;
        let r = &rig.reservoir;
        let stuck = matches!(scenario.program, Program::StuckOn { .. });
        let stack = |i: usize| match scenario.options.blocks {
            Law::Column(manner) => Stack::of(rig, i, manner),
            Law::FirstOrder => None,
        };
        let bore = |t: &Tray| rig.pumps[t.pump].feed.bore.get().value;
        let trays: Vec<TrayModel> =
            rig.trays.iter().enumerate().map(|(i, t)| tray(t, bore(t), scenario, nu, stack(i))).collect();
        let pumps: Vec<PumpModel> = rig
            .pumps
            .iter()
            .zip(&knobs.pumps)
            .enumerate()
            .map(|(i, (p, k))| {
                let (speed_q, speed_h) = p.speed_factors(rig.site.mains_frequency.get());
                let curve = match p.curve.borrowed() {
                    // What was measured is not bent.
                    Curve::Power { max_head, open_flow, shape }
                        if *shape == 2.0 && k.shape != 2.0 && !matches!(p.curve.birth, Birth::Measured { .. }) =>
                    {
                        Curve::Power { max_head: *max_head, open_flow: *open_flow, shape: k.shape }
                    }
                    other => other.clone(),
                };
                let mut feed = p.feed.line(nu, knobs.fittings).si();
                feed = feed.with_more_loss(p.throttle.get());
                let mine: Vec<usize> = rig.trays_of(i).map(|(i, _)| i).collect();
                let area = feed.area;
                let mut hose_volume = area * p.feed.length.get().value;
                let mut high_point = p.feed.high_point.as_ref().map_or(f64::MIN, |h| h.get().value);
                for &t in &mine {
                    let tray = &rig.trays[t];
                    if let Some(b) = &tray.branch {
                        high_point = high_point.max(b.hose.high_point.as_ref().map_or(f64::MIN, |h| h.get().value));
                        hose_volume +=
                            std::f64::consts::FRAC_PI_4 * b.hose.bore.get().value.powi(2) * b.hose.length.get().value;
                    }
                    if let Entry::OverRim { bend, .. } = &tray.entry {
                        high_point = high_point.max(tray.elevation.get().value + bend.get().value);
                    }
                }
                let air_can_leave = !p.check_valve.get() && p.feed.high_point.is_none();
                PumpModel {
                    source: Source {
                        curve,
                        flow_factor: speed_q * k.flow_share,
                        head_factor: speed_h * head_share(k.flow_share),
                        trunk: feed,
                        reverse: feed.with_more_loss(k.reverse_loss),
                        check_valve: p.check_valve.get(),
                    },
                    bypass: p.bypass.as_ref().map(|b| {
                        Line {
                            bore: b.bore.get(),
                            length: b.length.get(),
                            roughness: p.feed.roughness.get(),
                            loss: b.loss.get(),
                            viscosity_m2_s: nu,
                        }
                        .si()
                    }),
                    prime_depth: p.prime_depth.get().value,
                    inlet: p.inlet_height.get().value,
                    regain_depth: air_can_leave.then(|| p.prime_depth.get().value + REGAIN),
                    hose_volume: if scenario.options.hose_holdup { hose_volume } else { 0.0 },
                    high_point,
                    trays: mine,
                }
            })
            .collect();
        let float = match &r.top_up {
            // Nobody leaves the tap on while testing a stuck timer; the ledger of that case is the bench's own.
            TopUp::FloatValve { height, flow, supply } if !stuck => Some(FloatModel {
                opens: height.get().value - FLOAT_GAP,
                shuts: height.get().value,
                flow: flow.get().value,
                tank: match supply {
                    Supply::Mains => f64::INFINITY,
                    Supply::Tank(v) => v.get().value,
                },
            }),
            _ => None,
        };
        // What stands above the lowest hole has run out before anything begins.
        let full = r.shape.volume(r.spill_height.get()).value;
        let trays_of: Vec<Vec<usize>> = pumps.iter().map(|p| p.trays.clone()).collect();
        Self {
            layout: Layout::of(&trays_of),
            reservoir: r.shape.si(),
            reservoir_floor: r.elevation.get().value,
            reservoir_volume: (r.fill.get().value * knobs.fill).min(full),
            spill_height: r.spill_height.get().value,
            trays,
            pumps,
            float,
            weir: knobs.weir,
            lip_control: scenario.options.lip_control,
            return_off: scenario.faults.return_off,
            feed_off: scenario.faults.feed_off,
        }
    }
}

/// Head factor of a pump that gives this share of its printed flow. A clogged intake or a worn
/// rotor costs more flow than head; the square root lies between a throttled intake (no loss of
/// shut-off head) and a slowed rotor (the square). Common practice, no source.
fn head_share(flow_share: f64) -> f64 {
    flow_share.sqrt()
}

/// A tray as a store of free water; `displacement`: factor on the room that blocks take.
pub(crate) fn store(t: &Tray, displacement: f64) -> Store {
    let filling = match (&t.blocks, &t.bed) {
        (_, Some(b)) => Filling::Bed { top: b.depth.get().value, void: b.void_fraction.get() },
        (Some(b), None) => Filling::Blocks {
            area: b.plan_area().value * displacement,
            base: b.base.get().value,
            top: b.base.get().value + b.total_height().value,
        },
        (None, None) => Filling::Nothing,
    };
    Store::new(t.shape.si(), t.rim().value, t.relief.clone(), filling)
}

fn tray(t: &Tray, feed_bore: f64, scenario: &Scenario, nu: f64, stack: Option<Stack>) -> TrayModel {
    let knobs = &scenario.knobs;
    let rim = t.rim().value;
    let floor_area = t.shape.si().area(0.0);
    let lowest = t.relief.lowest();
    let blocks = t.blocks.as_ref();
    let store = store(t, knobs.displacement);
    let (media, moisture) = match (blocks, &t.bed) {
        (_, Some(b)) => (FirstOrder::bed(b, floor_area, lowest, knobs.soak), Moisture::Moist),
        (Some(b), None) => (FirstOrder::blocks(b, lowest, knobs.soak), b.start.get()),
        (None, None) => (None, Moisture::Moist),
    };
    let moisture = scenario.start.moisture(moisture);
    let envelope = media.as_ref().map_or(0.0, FirstOrder::envelope);
    let stack = stack.map(|s| s.at(moisture));
    let (media, media_at_start) = match &stack {
        Some(s) => (None, s.water_m3()),
        None => {
            let held = media.as_ref().map_or(0.0, |m| m.at_start(moisture));
            (media, held)
        }
    };
    let fouled = scenario.faults.fouled;
    let riser = t.drain.riser.as_ref().filter(|_| !scenario.faults.risers_blocked).map(|r| {
        let crest = r.crest.height.get().value;
        let back = &t.drain.back;
        let drop = back.drop.get().value + crest;
        let falling = Line {
            bore: back.bore.get().min(r.bore.get()),
            length: back.length.get() + m(crest),
            roughness: m(1.5e-6),
            loss: 0.5 + 1.0 + 0.9,
            viscosity_m2_s: nu,
        };
        let open = t
            .drain
            .strainer
            .fitted
            .get()
            .then(|| t.drain.strainer.open_ratio.get() * if fouled { FOULED_OPEN } else { 1.0 });
        let orifice = if fouled { knobs.orifice.min(ORIFICE_COEFFICIENT_RAGGED) } else { knobs.orifice };
        let priming = if back.vented.get() || fouled { 0.0 } else { knobs.priming };
        RiserSi::new(crest, r.bore.get().value, r.count.get(), &falling.si(), drop)
            .with(knobs.weir, orifice, priming, open)
    });
    let hose = t.branch.as_ref().map(|b| b.hose.line(nu, knobs.fittings));
    let lip_control = scenario.options.lip_control;
    let lip = if lip_control { t.lip.get().value } else { 0.0 };
    let outlet = t.outlet_height().value;
    let (back_depth, broken_at) = match &t.entry {
        Entry::Floor => (lip, outlet),
        Entry::OverRim { end, break_hole, .. } => {
            // A hole breaks the siphon, either way, as soon as the water falls below it.
            let broken = break_hole.as_ref().map_or(outlet, |b| b.get().value.max(outlet));
            (end.get().value.max(broken), broken)
        }
    };
    TrayModel {
        floor: t.elevation.get().value,
        rim,
        riser,
        weep_area: t.drain.weep.as_ref().map_or(0.0, |w| std::f64::consts::FRAC_PI_4 * w.get().value.powi(2)),
        lip_bore: hose.as_ref().map_or(feed_bore, |h| h.bore.value),
        media_at_start,
        stack,
        envelope,
        block_base: blocks.map(|b| b.base.get().value),
        block_top: t.block_tops().map(|h| h.value).or(t.bed.as_ref().map(|b| b.depth.get().value)),
        pump: t.pump,
        line: hose.map(|h| h.si()),
        outlet,
        broken_at,
        back_depth,
        drains_into: t.drains_into,
        valve_hold: match t.branch.as_ref().map(|b| &b.valve) {
            Some(Valve::Timed { stays_open }) => Some(stays_open.get().value),
            _ => None,
        },
        drained_mark: if t.drain.weep.is_some() { 0.005 } else { (back_depth + 0.001).max(0.005) },
        starts: t.schedule.starts.borrowed().clone(),
        run_s: t.schedule.run.get().value,
        store,
        media,
    }
}
