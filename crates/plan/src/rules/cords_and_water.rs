use super::Rule;
use crate::power;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "cords-and-water", judge };

/// Sockets lower than this stand in a spill \[m\]. Common practice.
const PUDDLE_M: f64 = 0.15;

/// Where sockets and cords lie to the highest possible water, and what stands between them and a person.
fn judge(s: &Survey) -> Vec<Finding> {
    let m = &s.rig.mains;
    if !m.stated {
        return Vec::new();
    }
    let u = s.units();
    let mut out = Vec::new();
    if m.residual_current.as_ref().is_some_and(|r| !r.get()) {
        let words = "Mains power stands beside water without a residual-current device (RCD, GFCI) before it.";
        out.push(
            Finding::new(Severity::Stop, RULE.name, "No residual-current device", words)
                .at(Place::key("power.residual_current"))
                .mend("Do not run it. A device of 30 mA (GFCI class A: 4 to 6 mA) goes before every socket of the bench; local code and a licensed electrician decide which."),
        );
    }
    if m.residual_current.is_none() {
        let words = "The file does not say whether a residual-current device (RCD, GFCI) stands before the sockets.";
        out.push(
            Finding::new(Severity::Note, RULE.name, "Residual-current device not named", words)
                .at(Place::key("power.residual_current"))
                .mend("Look, press its button, and write residual_current = true."),
        );
    }
    if m.drip_loops.as_ref().is_some_and(|d| !d.get()) {
        out.push(
            Finding::new(
                Severity::Care,
                RULE.name,
                "Cords without drip loops",
                "Water runs along a cord into its plug.",
            )
            .at(Place::key("power.drip_loops"))
            .mend("Let every cord hang below its socket before it goes up to it."),
        );
    }
    let (height, highest) = (m.outlet_height.get().value, power::of(&s.rig).highest_water_m);
    if m.outlet_height.is_assumed() {
        if height < highest {
            let words = format!(
                "Nobody said how high the sockets stand; water can stand as high as {} over the floor of the room.",
                u.length(highest)
            );
            out.push(
                Finding::new(Severity::Note, RULE.name, "Height of the sockets not named", words)
                    .at(Place::key("power.outlet_height"))
                    .mend("Measure it and write outlet_height; sockets go above all water and off the wet side."),
            );
        }
    } else {
        let words = format!(
            "Sockets stand {} over the floor of the room; water can stand as high as {}.",
            u.length(height),
            u.length(highest)
        );
        let f = if height < highest {
            // In the puddle of a spill, or only lower than the rim.
            let severity = if height < PUDDLE_M { Severity::Care } else { Severity::Note };
            Finding::new(severity, RULE.name, "Sockets lie below the highest water", words)
                .mend("Keep them off the wet side, no strip under the tray, drip loops, and the residual-current device before them.")
        } else {
            Finding::new(Severity::Good, RULE.name, "Sockets lie above all water", words)
        };
        out.push(f.at(Place::key("power.outlet_height")).measured(height, highest, "m"));
    }
    out
}
