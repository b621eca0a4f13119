use super::section::Section;
use crate::bench::{Blocks, Crest, Drain, Return, Riser, Strainer};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{Length, m, mm};

/// What the drain's defaults follow from.
pub(crate) struct Around<'a> {
    pub(crate) blocks: Option<&'a Blocks>,
    pub(crate) bed_depth: Option<Length>,
    pub(crate) rim: Length,
    pub(crate) floor_above_reservoir: Length,
}

pub(crate) fn read(s: &Section<'_>, around: &Around<'_>) -> Drain {
    let has_riser = s
        .choice("riser", "overflow riser", &[("standpipe", true), ("none", false)])
        .or(true, "common practice: a cut-to-length standpipe");
    let riser_bore = s
        .quantity("riser_bore", "inside diameter of the riser")
        .range(mm(4.0), mm(160.0))
        .or(mm(25.0), "common practice: 25 mm for a small tub");
    let riser = has_riser.get().then(|| read_riser(s, riser_bore.clone(), around));
    if !has_riser.get() {
        for key in ["crest", "risers", "seat", "insertion", "tube", "ring"] {
            s.know(key);
        }
    }
    let strainer = Strainer {
        fitted: s.flag("strainer", "strainer or slotted cap on the riser").or(true, "common practice"),
        guard: s.flag("guard", "wide guard sleeve around the riser").or(false, "none named"),
        open_ratio: s
            .quantity("strainer_open", "open area of the strainer over the riser's own")
            .range(0.05, 50.0)
            .or(3.0, "common practice: 2–4 times the riser's area"),
    };
    let back = Return {
        bore: s
            .quantity("return_bore", "inside diameter of the return")
            .range(mm(4.0), mm(160.0))
            .or(riser_bore.get(), "as wide as the riser"),
        length: s
            .quantity("return_length", "length of the return")
            .range(mm(10.0), m(50.0))
            .or((around.floor_above_reservoir * 1.2).max(mm(100.0)), "the fall and a fifth more"),
        drop: s
            .quantity("return_drop", "fall from the tray floor to the return's end")
            .range(mm(0.0), m(20.0))
            .or(0.6 * around.floor_above_reservoir, "ends above the water of the reservoir"),
        vented: s.flag("vented", "air can enter below the crest").or(false, "a plain standpipe has no vent"),
    };
    let weep = s.quantity::<Length>("weep", "open hole at floor level").range(mm(0.5), mm(50.0)).optional();
    s.finish();
    Drain { riser, strainer, weep, back }
}

fn read_riser(s: &Section<'_>, bore: Value<Length>, around: &Around<'_>) -> Riser {
    let seat = s
        .quantity("seat", "height of the fitting's seat above the tray floor")
        .range(mm(0.0), mm(200.0))
        .or(mm(8.0), "common practice: a bulkhead's flange and washer");
    let insertion = s
        .quantity("insertion", "how far the tube goes into the fitting")
        .range(mm(0.0), mm(200.0))
        .or(mm(15.0), "common practice for a 25 mm socket");
    let tube = s.quantity::<Length>("tube", "length of the riser's tube as bought").range(mm(5.0), m(2.0)).optional();
    let advise = s.text_is("crest", "advise");
    let usual = usual_crest(around);
    let why = "to be advised: starts 20 mm below the block tops";
    let height = if advise {
        s.list_assumed("crest", "riser crest above the tray floor", usual, why);
        Value::assumed(usual, why)
    } else if let (Some(tube), false) = (&tube, s.has("crest")) {
        let crest = (seat.get() + tube.get() - insertion.get()).max(mm(1.0));
        Value::new(crest, Birth::Derived { from: "seat, tube and insertion".into() })
    } else {
        s.quantity("crest", "riser crest above the tray floor").range(mm(1.0), m(2.0)).or(usual, why)
    };
    let advise = advise || height.is_assumed();
    Riser {
        bore,
        crest: Crest { height, advise },
        count: s.count("risers", "number of equal risers").range(1.0, 20.0).or(1.0, "one"),
        seat,
        insertion,
        tube,
        ring: s.quantity("ring", "height of a stacking ring").range(mm(0.0), mm(200.0)).or(mm(0.0), "a plain tube"),
    }
}

/// Crest that a first drawing starts from.
fn usual_crest(around: &Around<'_>) -> Length {
    let below_rim = around.rim - mm(30.0);
    let wish = match (around.blocks, around.bed_depth) {
        (Some(b), _) => b.base.get() + b.total_height() - mm(20.0).max(0.2 * b.total_height()),
        (None, Some(bed)) => bed - mm(30.0),
        (None, None) => 0.4 * around.rim,
    };
    wish.min(below_rim).max(0.25 * around.rim)
}
