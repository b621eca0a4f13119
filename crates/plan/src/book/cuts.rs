//! Everything that is cut to length: riser, hoses, air line, rails, legs; on the lengths that shops sell.

use crate::buy::list::{feed_length_m, stand_cuts};
use crate::buy::stock::{Cut, Packed, pack};
use serde::Serialize;
use tidewright_rig::Rig;

/// What is left at the end of a riser to trim when it has run \[m\]. Common practice.
pub const TRIM_M: f64 = 0.010;

/// Pieces out of one material.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CutGroup {
    /// Material and size, in words.
    pub what: String,
    /// How it is cut square.
    pub tool: &'static str,
    /// Pieces and where they lie.
    pub packed: Packed,
}

/// All cuts of a bench.
pub fn cuts(rig: &Rig) -> Vec<CutGroup> {
    let u = rig.system;
    let many = rig.trays.len() > 1;
    let mut groups: Vec<(String, &'static str, f64, Vec<Cut>)> = Vec::new();
    let mut put =
        |what: String, tool: &'static str, stock: f64, piece: Cut| match groups.iter_mut().find(|g| g.0 == what) {
            Some(g) => g.3.push(piece),
            None => groups.push((what, tool, stock, vec![piece])),
        };
    const HOSE_TOOL: &str = "pipe cutters: they cut square; scissors crush and cut aslant";
    // Hose is cut off a roll.
    const ROLL_M: f64 = 50.0;
    for (i, p) in rig.pumps.iter().enumerate() {
        let name = if rig.pumps.len() > 1 { format!("feed of {}", p.name) } else { "feed".into() };
        let what = format!("hose of {} true bore", u.length(p.feed.bore.get().value));
        put(what, HOSE_TOOL, ROLL_M, Cut { what: name, length_m: feed_length_m(rig, i) });
    }
    for t in &rig.trays {
        let who = |x: &str| if many { format!("{x} of {}", t.name) } else { x.to_owned() };
        if let Some(b) = &t.branch {
            let what = format!("hose of {} true bore", u.length(b.hose.bore.get().value));
            put(what, HOSE_TOOL, ROLL_M, Cut { what: who("branch"), length_m: b.hose.length.get().value });
        }
        let Some(r) = &t.drain.riser else { continue };
        let cut = r.cut_for(r.crest.height.get()).value + TRIM_M;
        let what = format!("tube of {} true bore", u.length(r.bore.get().value));
        for _ in 0..r.count.get() as usize {
            put(
                what.clone(),
                "pipe cutters, then a file: a square, smooth mouth sets the depth",
                1.0,
                Cut { what: who("riser, long by the trim"), length_m: cut },
            );
        }
        let what = format!("return hose of {} true bore", u.length(t.drain.back.bore.get().value));
        put(what, HOSE_TOOL, ROLL_M, Cut { what: who("return"), length_m: t.drain.back.length.get().value });
    }
    if let Some(a) = &rig.aeration {
        for s in &a.stones {
            let what = format!("air line of {} true bore", u.length(s.bore.get().value));
            put(
                what,
                "a sharp knife on a board, away from the hand",
                ROLL_M,
                Cut { what: s.name.clone(), length_m: s.length.get().value },
            );
        }
    }
    let mut out: Vec<CutGroup> = groups
        .into_iter()
        .map(|(what, tool, stock, cuts)| CutGroup { what, tool, packed: pack(&cuts, stock) })
        .collect();
    for (_, name, packed) in stand_cuts(rig) {
        let tool = "a mitre saw or a hand saw in a box, piece clamped; pipe cutters for plastic pipe";
        out.push(CutGroup { what: name, tool, packed });
    }
    out
}
