//! Litres on the floor by single fault.

use crate::climate::siphon;
use serde::Serialize;
use tidewright_physics::quantity::{m, s};
use tidewright_rig::bench::{Aeration, Supply, TopUp};
use tidewright_rig::{Rig, Value};
use tidewright_sim::scenario::{Faults, Keep, Options, Program};
use tidewright_sim::{EventKind, Knobs, Run, Scenario, run};

/// What one fault does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spill {
    /// The fault, in words.
    pub fault: &'static str,
    /// On the floor \[m³\].
    pub on_the_floor_m3: f64,
    /// How it ends.
    pub remark: String,
}

/// Every single fault that this bench can have, the worst first.
pub fn spills(rig: &Rig) -> Vec<Spill> {
    let base = Scenario { options: Options { keep: Keep::Events, ..Options::default() }, ..Scenario::one_flood(rig) };
    let all = vec![true; rig.trays.len()];
    let stuck = Program::StuckOn { trays: all, until_s: 86_400.0 };
    let with = |program: Program, faults: Faults| {
        run(rig, &Scenario { program, faults, knobs: Knobs::nominal(rig), ..base.clone() })
    };
    let none = Faults::default();
    // A stuck program leaves the tap out; a float valve is none that somebody shuts: there the day is one long flood.
    let fed = matches!(rig.reservoir.top_up, TopUp::FloatValve { .. });
    let endless = |faults: Faults| {
        if !fed {
            return with(stuck.clone(), faults);
        }
        let mut long = rig.clone();
        for t in &mut long.trays {
            t.schedule.run = Value::new(s(86_400.0), t.schedule.run.birth.clone());
        }
        run(&long, &Scenario { faults, knobs: Knobs::nominal(&long), ..base.clone() })
    };
    let mut out = Vec::new();
    let mut add = |fault: &'static str, on_the_floor_m3: f64, remark: &str| {
        out.push(Spill { fault, on_the_floor_m3, remark: remark.to_owned() });
    };
    let blocked = Faults { risers_blocked: true, ..none };
    let ends = match &rig.reservoir.top_up {
        TopUp::FloatValve { supply: Supply::Mains, .. } => "a day of it, until somebody shuts the tap",
        TopUp::FloatValve { .. } => "until the float valve's tank is empty and the pump draws air",
        TopUp::ByHand => "until the pump draws air",
    };
    let lost = endless(blocked).on_the_floor_m3();
    add("timer stuck on, riser blocked", lost, ends);
    let once = with(base.program.clone(), blocked);
    // A float valve fills the reservoir while the tray holds its water.
    let over_reservoir = once.reservoir_spill_m3 > 0.5 * once.on_the_floor_m3();
    add(
        "riser blocked for one flood",
        once.on_the_floor_m3(),
        if over_reservoir && once.on_the_floor_m3() > 1e-6 {
            "the pump stops, all comes back, and the reservoir runs over"
        } else {
            "one timer run"
        },
    );
    let flood = run(rig, &base);
    if flood.on_the_floor_m3() > 1e-6 {
        add("nothing at all, one flood", flood.on_the_floor_m3(), "the bench as it is runs over");
    }
    let on = endless(none);
    let carried = on.any(EventKind::CrestWet);
    add(
        "timer stuck on",
        on.on_the_floor_m3(),
        match (on.on_the_floor_m3() > 1e-6, carried) {
            (true, _) if fed => ends,
            (true, _) => "over the rim until the pumps draw air",
            (false, true) => "the riser carries it back",
            (false, false) => "the water reaches no riser",
        },
    );
    let feed_off = with(base.program.clone(), Faults { feed_off: true, ..none });
    add("feed off at the tray, one flood", feed_off.on_the_floor_m3(), "everything the pump gives in one timer run");
    if let Some(a) = &rig.aeration {
        let (lost, remark) = through_air_line(rig, a, &flood);
        add("air pump stops, power or pump", lost, remark);
    }
    add("feed off at the pump", 0.0, "circulates in the reservoir; the trays stay dry");
    let return_off = with(base.program.clone(), Faults { return_off: true, ..none });
    add("return off, one flood", return_off.on_the_floor_m3(), "what went over the riser");
    let standing: f64 = flood
        .floods
        .iter()
        .map(|f| {
            let t = &rig.trays[f.tray];
            let blocks =
                t.blocks.as_ref().map_or(0.0, |b| b.plan_area().value * f.depth_at_stop_m.min(b.total_height().value));
            (t.shape.volume(m(f.depth_at_stop_m)).value - blocks).max(0.0)
        })
        .sum();
    add("tray splits at full flood", standing, "what stands in the trays; the pump adds the rest of its run");
    let room = (rig.reservoir.spill_volume() - rig.reservoir.fill.get()).value;
    let kept = rig.trays.iter().all(|t| rig.pumps[t.pump].check_valve.get() && t.drain.weep.is_none());
    let returns = if kept { 0.0 } else { standing };
    add(
        "power fails at full flood",
        flood.reservoir_spill_m3,
        if kept {
            "a check valve keeps the water in the tray"
        } else if room >= 0.0 {
            "everything drains back"
        } else {
            "the reservoir is above its lowest hole at rest already"
        },
    );
    add(
        "topped up to the resting line during a flood",
        (returns - room).max(0.0),
        if kept { "nothing comes back past the check valve" } else { "all that stands in the trays comes back on top" },
    );
    out.sort_by(|a, b| b.on_the_floor_m3.total_cmp(&a.on_the_floor_m3));
    out
}

/// What runs out through the line of an air pump that stands below the water \[m³\], and how it ends.
fn through_air_line(rig: &Rig, a: &Aeration, flood: &Run) -> (f64, &'static str) {
    let x = siphon(rig, a, flood.highest_reservoir_m);
    if x.head_m <= 0.0 {
        return (0.0, "its line rises over the water first");
    }
    if x.valve {
        return (0.0, "only its check valve keeps the reservoir, and valves stick");
    }
    let r = &rig.reservoir;
    let outlet = a.pump.height.get() - r.elevation.get();
    // A stone sucks no deeper than it hangs; the line runs no lower than the pump stands.
    let open = a.stones.iter().filter(|s| s.open.get()).map(|s| s.height.get().value).reduce(f64::min);
    let Some(stone) = open else { return (0.0, "nothing while all ports are closed") };
    let left = r.shape.volume(m(stone.max(outlet.value).max(0.0))).value;
    ((r.fill.get().value - left).max(0.0), "the line works as a siphon and empties the reservoir")
}
