use super::Rule;
use crate::power;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};

pub(super) const RULE: Rule = Rule { name: "circuit-load", judge };

/// What runs together on the circuit.
fn judge(s: &Survey) -> Vec<Finding> {
    if !s.rig.mains.stated {
        return Vec::new();
    }
    let e = power::of(&s.rig);
    let words = format!(
        "Everything together draws {:.1} A; {:.1} A may run for hours on a circuit of {:.0} A.",
        e.together_a,
        e.allowed_a,
        s.rig.mains.circuit.get().value
    );
    let f = if e.together_a > e.allowed_a {
        Finding::new(Severity::Stop, RULE.name, "Too much for the circuit", words)
            .mend("Share it out over two circuits; have a licensed electrician look at it.")
    } else {
        Finding::new(Severity::Good, RULE.name, "The circuit carries it", words)
    };
    vec![f.at(Place::key("power.circuit")).measured(e.together_a, e.allowed_a, "A")]
}
