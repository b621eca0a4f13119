use super::Rule;
use crate::survey::Survey;
use tidewright_rig::finding::Place;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::EventKind;
use tidewright_sim::band::Figure;

pub(super) const RULE: Rule = Rule { name: "rim-freeboard", judge };

/// Freeboard to the rim, clean and with a fouled strainer (C_o 0.4, FHWA HEC-22 ragged edge).
fn judge(s: &Survey) -> Vec<Finding> {
    let u = s.units();
    s.each()
        .map(|v| {
            // Depths are read at the fitting: a far end that hangs lower has its rim lower by as much.
            let tilt = if v.tray.tilts_to_drain.get() { 0.0 } else { v.tray.tilt.get().value };
            let rim = v.tray.rim().value - tilt;
            let clean = v.band(Figure::HighestWater).high;
            let fouled = v.runs.fouled.highest_m[v.index];
            // Water from a tray above or from a neighbour's turn counts as well.
            let mut others = s.trays.iter().map(|t| &t.flood).chain([&s.day]);
            let spills = others.any(|r| v.happened(r, EventKind::RimOvertopped));
            let words = format!(
                "{}Water stands {} at the high end and {} with a fouled strainer; the rim is at {}.",
                v.who(),
                u.length(clean),
                u.length(fouled),
                u.length(rim)
            );
            let place = Place::key(v.key("drain.crest"));
            let f = if spills || clean >= rim - 1e-4 {
                Finding::new(Severity::Stop, RULE.name, "The tray runs over", words)
                    .mend("Lower the crest, take a wider or a second riser, or throttle the pump.")
            } else if fouled >= rim - 1e-4 {
                Finding::new(Severity::Care, RULE.name, "A fouled strainer lets the tray run over", words)
                    .mend("Lower the crest, or fit a guard with more open area and clean it weekly.")
            } else if rim - clean < 0.015 {
                Finding::new(Severity::Care, RULE.name, "Little freeboard", words)
                    .mend("Lower the crest: crests lie 25 mm or more below the rim.")
            } else {
                Finding::new(Severity::Good, RULE.name, "Freeboard to the rim", words)
            };
            f.at(place).measured(clean, rim, "m")
        })
        .collect()
}
