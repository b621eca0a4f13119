//! The order of work, with a caution at each place where a hand, a back, a floor or a fuse could be hurt.

use super::cuts::TRIM_M;
use crate::fit;
use crate::stand;
use serde::Serialize;
use tidewright_rig::Rig;

/// One step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// In a few words.
    pub title: String,
    /// What to do.
    pub say: String,
    /// Caution at this place.
    pub caution: Option<String>,
}

/// Steps from the bare parts to the dry bench on its stand.
pub fn steps(rig: &Rig) -> Vec<Step> {
    let u = rig.system;
    let mut out = Vec::new();
    let mut step = |title: &str, say: String, caution: &str| {
        let caution = (!caution.is_empty()).then(|| caution.to_owned());
        out.push(Step { title: title.into(), say, caution });
    };
    let all = stand::everything_kg(rig);
    step(
        "Place",
        format!(
            "Choose the place: level, near a drain, sockets high and off the wet side. Full, the whole bench comes to {}.",
            u.weight(all)
        ),
        &stand::refusal(rig),
    );
    step(
        "Check the parts",
        "Lay everything out against the parts list. Measure true bores, the fittings' threads, the tray inside at rim and floor. What differs goes into the bench file first: it may move everything else.".into(),
        "",
    );
    if let Some(s) = &rig.stand {
        let frames = rig.trays.len() as f64;
        step(
            "Stand",
            format!(
                "Cut {:.0} rails and {:.0} legs by the cut list{}. Join the legs in pairs by cross pieces across their outside: one with its top at the legs' tops, one 100 mm above the floor; the rails lie on the upper ones. Diagonals or a sheet on two sides. Level it: spirit level on the rails, packing under the legs.",
                s.rails.get() * frames,
                s.legs.get() * frames,
                if frames > 1.0 { format!(", for {frames:.0} frames") } else { String::new() }
            ),
            "Saw: eye protection, piece clamped, blade guard on, off and still before the hand goes near. Pilot holes near the ends of timber.",
        );
        step(
            "Tie",
            "Tie it to the wall at two places, into studs or masonry.".into(),
            "Look for cables and pipes before drilling into a wall.",
        );
    }
    for t in &rig.trays {
        let many = rig.trays.len() > 1;
        let name = if many { t.name.clone() } else { "the tray".into() };
        let holes = fit::holes(t);
        if !holes.is_empty() {
            let places: Vec<String> = holes
                .iter()
                .map(|h| {
                    format!(
                        "{} {} along and {} across, {} wide",
                        h.what,
                        u.length(h.at_m.0),
                        u.length(h.at_m.1),
                        u.length(h.diameter_m)
                    )
                })
                .collect();
            step(
                &format!("Holes of {name}"),
                format!(
                    "Set it on the stand, mark from {}: {}. Hold the templates against it and the rails below. Take it down; saw from the inside onto a board; deburr.",
                    t.corner(),
                    places.join("; ")
                ),
                "A hole saw grabs: tub clamped to the bench, both hands on the drill, gloves off, eye protection on. Fit the fitting to a hole in scrap first.",
            );
            step(
                &format!("Fittings of {name}"),
                "Washer on the inside, nut by hand and a quarter turn more. Sealant only where its maker asks for it, one that is meant for drinking water.".into(),
                "",
            );
        }
        if let Some(r) = &t.drain.riser {
            let cut = r.cut_for(r.crest.height.get()).value;
            step(
                &format!("Riser of {name}"),
                format!(
                    "Cut {:.0} tube{} {} long: {} more than the {} that the crest of {} asks for. Push it in dry; it comes out again to be trimmed.",
                    r.count.get(),
                    if r.count.get() > 1.0 { "s" } else { "" },
                    u.length(cut + TRIM_M),
                    u.length(TRIM_M),
                    u.length(cut),
                    u.length(r.crest.height.get().value)
                ),
                "Cutters for plastic pipe cut square; cut away from the hand.",
            );
        }
    }
    step(
        "Reservoir",
        "Set it in its place, dry. Pump on its floor, the hose through the lid with room for a hand. Draw both lines when the first day is done.".into(),
        "It is filled where it stands and never moved full: a litre weighs a kilogram. Bend the knees; two people from 20 kg on.",
    );
    step(
        "Hoses",
        "Feed rising all the way, return falling 20 mm in a metre; no bend tighter than five diameters; clamps on every barb at the tray.".into(),
        "Warm hose ends in hot water, not over a flame.",
    );
    if rig.aeration.is_some() {
        step(
            "Air",
            "Air pump outside the water and above it, on a hook; loop of its line over the water; check valve with its arrow to the stone; stone on the floor, away from the pump's inlet.".into(),
            "If it stood below the water, the line would empty the reservoir onto it.",
        );
    }
    if rig.warmth.heater.is_some() || rig.warmth.chiller.is_some() {
        step(
            "Heater and chiller",
            "Heater below the lowest water of a flood and held off the plastic, its thermostat where it can be read; chiller outside, hoses clamped.".into(),
            "A heater that stands dry burns: one that switches itself off, and unplugged before the water is pumped out.",
        );
    }
    if !rig.lamps.is_empty() {
        step(
            "Lamps",
            "Hang each on two points that bear ten times its weight, its cord up and away from the water, its driver outside the splash. Level it.".into(),
            "Do not look into it when it is lit. A lamp that falls into the tray is mains in the water: a second, slack chain.",
        );
    }
    step(
        "Cords",
        "Each cord down into a drip loop and up to its socket; sockets above the water, none under the tray; timer and residual-current device where a hand reaches them dry.".into(),
        "Mains power beside water: residual-current protection before everything. Fixed wiring is a licensed electrician's, by the local code.",
    );
    step(
        "Cover",
        "Cut the cover by its list, white side up; lid on the reservoir. What is wet lies in the dark.".into(),
        "A knife on a board, away from the hand.",
    );
    step("Then", "Nothing is planted before the first day's card is filled in.".into(), "");
    out
}
