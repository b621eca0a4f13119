use super::Rule;
use crate::advice;
use crate::survey::Survey;
use tidewright_rig::bench::{Supply, TopUp};
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "stuck-timer", judge };

/// Less than this is a mop's work \[m³\]. Common practice, no source.
const MOP: f64 = 0.005;

/// Master rule: what a stuck pump can move with the riser blocked must fit below the tray's rim.
///
/// Where one flood with a blocked riser spills already, one fault is enough: a `stop` if nothing
/// guards the riser, a `care` if something does. Where only the stuck timer on top of it spills, or
/// little does, a `note`.
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .map(|v| {
            let spilled = v.spilled(&v.runs.stuck);
            let pumped = v.runs.stuck.totals[v.index].fed_m3;
            let place = Place::key("reservoir.fill");
            let full = v.tray.shape.full().value;
            let blocks = v.tray.blocks.as_ref().map_or(0.0, |b| b.volume().value.min(full));
            let grains = v.tray.bed.as_ref().map_or(0.0, |b| (1.0 - b.void_fraction.get()) * v.tray.shape.volume(b.depth.get()).value);
            let room = full - blocks - grains;
            if spilled <= 1e-6 && fed_by_mains(s) {
                return Finding::new(
                    Severity::Note,
                    RULE.name,
                    "A stuck timer draws on the mains",
                    format!(
                        "{}{} can be pumped and {} fit below the rim with the riser blocked; then the float valve opens, and more comes until somebody shuts the tap.",
                        v.who(),
                        u.volume(pumped),
                        u.volume(room)
                    ),
                )
                .at(place)
                .measured(pumped, room, "m3")
                .mend("Feed the float valve from a tank that is no larger than the spare room, not from the mains.");
            }
            if spilled <= 1e-6 {
                return Finding::new(
                    Severity::Good,
                    RULE.name,
                    "A stuck timer spills nothing",
                    format!("{}{} can be pumped, {} fit below the rim with the riser blocked.", v.who(), u.volume(pumped), u.volume(room)),
                )
                .at(place)
                .measured(pumped, room, "m3");
            }
            let guarded = v.tray.drain.strainer.fitted.get() || v.tray.drain.strainer.guard.get();
            let at_once = v.spilled(&v.runs.blocked);
            let no_overflow = v.tray.drain.riser.is_none();
            let severity = match (at_once > MOP, guarded) {
                // Without any overflow the stuck timer alone is enough.
                _ if no_overflow && spilled > MOP => Severity::Stop,
                (true, false) => Severity::Stop,
                (true, true) => Severity::Care,
                (false, _) => Severity::Note,
            };
            let f = Finding::new(
                severity,
                RULE.name,
                if no_overflow { "A stuck timer spills" } else { "A stuck timer with a blocked riser spills" },
                format!("{}{} run onto the floor before the pump draws air; {} in a single flood.", v.who(), u.volume(spilled), u.volume(at_once)),
            )
            .at(place)
            .measured(spilled, 0.0, "m3");
            let lines = advice::fill_lines(s);
            if lines.possible && lines.highest_m3 < s.rig.reservoir.fill.get().value {
                let litres = (lines.highest_m3 * 1e3).floor();
                f.mend_by(
                    format!("Fill to {} at rest at most", u.volume(lines.highest_m3)),
                    "",
                    Change { path: "reservoir.fill".into(), value: format!("\"{litres} L\"") },
                )
            } else {
                f.mend("Add a second overflow below the rim, or a tray under it all; a smaller fill would leave the pump dry.")
            }
        })
        .collect()
}

/// Whether a float valve on the mains refills the reservoir.
fn fed_by_mains(s: &Survey) -> bool {
    matches!(s.rig.reservoir.top_up, TopUp::FloatValve { supply: Supply::Mains, .. })
}
