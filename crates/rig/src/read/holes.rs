use super::field::item;
use super::raw::Raw;
use super::section::Section;
use crate::bench::Holes;
use tidewright_physics::quantity::{Length, mm};

/// A fitting's body over the bore that it takes, and its flange over the body. Common practice, no source.
const BODY: f64 = 7.0;
const FLANGE: f64 = 18.0;

/// Keys of a tray that say what is cut into it; `bores`: of what the flood fitting and the drain fitting take.
pub(crate) fn read(s: &Section<'_>, bores: (Option<Length>, Option<Length>)) -> Holes {
    let hole = |key: &'static str, label: &'static str, bore: Option<Length>| {
        let wide = bore.map_or(mm(0.0), |b| b + mm(BODY));
        let field = s.quantity::<Length>(key, label).range(mm(4.0), mm(160.0));
        if wide > mm(32.0) {
            field.or(wide.min(mm(160.0)), "common practice: the bore and 7 mm; measure yours")
        } else {
            field.or(mm(32.0), "common practice: a tray fitting of 3/4 or 1 in, 32 mm; measure yours")
        }
    };
    let (feed, drain) = (
        hole("feed_hole", "hole of the flood fitting", bores.0),
        hole("drain_hole", "hole of the drain fitting", bores.1),
    );
    let widest = feed.get().max(drain.get()) + mm(FLANGE);
    Holes {
        feed,
        drain,
        flange: s
            .quantity("flange", "flange of the fittings")
            .range(mm(6.0), mm(300.0))
            .or(widest.max(mm(50.0)), "common practice: 50 mm, or 18 mm over the hole"),
        below: s
            .quantity("fitting_below", "room that fitting and elbow take below the tray")
            .range(mm(0.0), mm(600.0))
            .or(mm(100.0), "common practice: 80 to 150 mm"),
        wall_radius: s
            .quantity("wall_radius", "radius between wall and floor")
            .range(mm(0.0), mm(200.0))
            .or(mm(20.0), "common practice: moulded tubs"),
        ribs: ribs(s),
    }
}

fn ribs(s: &Section<'_>) -> Vec<f64> {
    let Some(found) = s.find("ribs_at") else { return Vec::new() };
    s.list_found("ribs_at", "mould ribs across the floor, from its left edge", &found, "[\"190 mm\", \"380 mm\"]");
    let Raw::List(items) = &found.raw else {
        s.wrong_type("ribs_at", &found, "a list of lengths");
        return Vec::new();
    };
    items.iter().filter_map(|x| item::<Length>(s, "ribs_at", &found, Some(x))).map(|l| l.value).collect()
}
