//! Litres on the floor by single fault.

use serde::Serialize;
use tidewright_rig::Rig;
use tidewright_sim::scenario::{Faults, Keep, Options, Program};
use tidewright_sim::{EventKind, Knobs, Scenario, run};

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
    let mut out = Vec::new();
    let mut add = |fault: &'static str, on_the_floor_m3: f64, remark: &str| {
        out.push(Spill { fault, on_the_floor_m3, remark: remark.to_owned() });
    };
    let blocked = Faults { risers_blocked: true, ..none };
    add("timer stuck on, riser blocked", with(stuck.clone(), blocked).on_the_floor_m3(), "until the pump draws air");
    add("riser blocked for one flood", with(base.program.clone(), blocked).on_the_floor_m3(), "one timer run");
    let flood = run(rig, &base);
    if flood.on_the_floor_m3() > 1e-6 {
        add("nothing at all, one flood", flood.on_the_floor_m3(), "the bench as it is runs over");
    }
    let on = with(stuck, none);
    let carried = on.any(EventKind::CrestWet);
    add(
        "timer stuck on",
        on.on_the_floor_m3(),
        match (on.on_the_floor_m3() > 1e-6, carried) {
            (true, _) => "over the rim until the pumps draw air",
            (false, true) => "the riser carries it back",
            (false, false) => "the water reaches no riser",
        },
    );
    let feed_off = with(base.program.clone(), Faults { feed_off: true, ..none });
    add("feed off at the tray, one flood", feed_off.on_the_floor_m3(), "everything the pump gives in one timer run");
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
            (t.shape.volume(tidewright_physics::quantity::m(f.depth_at_stop_m)).value - blocks).max(0.0)
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
