use super::SheetLine;
use super::raw::Raw;
use super::section::{Section, nearest};
use crate::bench::{Feed, Fitting};
use crate::finding::{Finding, Severity};
use crate::value::Birth;
use tidewright_physics::hydraulics::fittings;
use tidewright_physics::quantity::{Length, m, mm};

/// What a hose is like where nobody says.
pub(crate) struct Usual {
    bore_mm: f64,
    length_m: f64,
    fittings: &'static [(&'static str, u32)],
}

impl Usual {
    /// Pump to tray: an entrance, two barbs, a bend, an exit.
    pub(crate) const FROM_PUMP: Self = Self {
        bore_mm: 13.0,
        length_m: 2.0,
        fittings: &[("entrance", 1), ("barbed insert", 2), ("smooth bend", 2), ("exit", 1)],
    };
    /// Manifold to tray: a tee, a barb, an exit.
    pub(crate) const FROM_MANIFOLD: Self =
        Self { bore_mm: 10.0, length_m: 0.6, fittings: &[("tee branch", 1), ("barbed insert", 1), ("exit", 1)] };
}

/// True bores behind nominal names; nominal is not true.
const NOMINAL: &[(&str, f64)] = &[
    ("1/4 in", 6.4),
    ("3/8 in", 9.5),
    ("1/2 in", 12.7),
    ("5/8 in", 15.9),
    ("3/4 in", 19.1),
    ("1 in", 25.4),
    ("8 mm", 8.0),
    ("10 mm", 10.0),
    ("13 mm", 13.0),
    ("16 mm pipe", 13.2),
    ("16 mm", 16.0),
    ("19 mm", 19.0),
    ("20 mm pipe", 17.0),
    ("25 mm", 25.0),
    ("25 mm pipe", 21.0),
    ("32 mm", 32.0),
];

pub(crate) fn read(s: &Section<'_>, usual: &Usual) -> Feed {
    let nominal = s.text("nominal", "what the shop calls the hose");
    let by_name = nominal.as_ref().and_then(|n| NOMINAL.iter().find(|(k, _)| k.eq_ignore_ascii_case(n.trim())));
    if let (Some(n), None) = (&nominal, by_name) {
        let near = nearest(n, NOMINAL.iter().map(|(k, _)| *k));
        s.context.report(
            Finding::new(
                Severity::Note,
                "unknown-choice",
                "Unknown hose name",
                format!("The nominal size \"{n}\" is not in the list; its true bore stays as given or usual."),
            )
            .at(s.place("nominal", s.find("nominal").and_then(|f| f.span)))
            .mend(near.map_or_else(
                || "Measure the inside with a calliper and write bore = \"… mm\".".to_owned(),
                |k| format!("Did you mean \"{k}\"? Better: measure the inside and write bore = \"… mm\"."),
            )),
        );
    }
    let (bore, why) = by_name.map_or((usual.bore_mm, "common practice: half-inch hose"), |(_, b)| {
        (*b, "usual true bore behind this nominal size (common practice)")
    });
    let bore = s.quantity("bore", "true inside diameter of the hose").range(mm(2.0), mm(110.0)).or(mm(bore), why);
    let feed = Feed {
        length: s
            .quantity("length", "length of the hose")
            .range(mm(10.0), m(100.0))
            .or(m(usual.length_m), "common practice for a small bench"),
        roughness: s
            .quantity("roughness", "wall roughness")
            .range(mm(0.0), mm(2.0))
            .or(mm(0.0015), "drawn tubing, handbook value; ribbed hose is rougher"),
        measured_loss: s.quantity("loss", "measured loss coefficient of all fittings").range(0.0, 1e5).optional(),
        high_point: s
            .quantity("high_point", "highest point of the hose above the floor of the room")
            .range(m(-3.0), m(10.0))
            .optional(),
        bend_radius: s.quantity("bend_radius", "tightest bend radius").range(mm(1.0), m(10.0)).optional(),
        fittings: read_fittings(s, bore.get(), usual),
        nominal,
        bore,
    };
    s.finish();
    feed
}

fn read_fittings(s: &Section<'_>, bore: Length, usual: &Usual) -> Vec<Fitting> {
    let list = s.sub("fittings");
    if !list.present() {
        let counts: Vec<String> = usual.fittings.iter().map(|(k, n)| format!("\"{k}\" = {n}")).collect();
        s.context.list(SheetLine {
            path: s.key("fittings"),
            label: "fittings",
            text: format!("{{ {} }}", counts.join(", ")),
            birth: Birth::assumed("common practice for such a hose"),
            choices: Vec::new(),
            hint: "{ elbow = 2, \"barbed insert\" = 2 }",
        });
        return usual.fittings.iter().filter_map(|(kind, count)| fitting(&list, kind, *count, bore)).collect();
    }
    let mut out = Vec::new();
    for (kind, found) in list.keys() {
        let known = list.context.library.fitting(&kind).is_some();
        let count = match found.raw {
            Raw::Number(n) if n.fract() == 0.0 && (0.0..=200.0).contains(&n) => n as u32,
            _ => {
                list.wrong_type(&kind, &found, "a whole number of fittings from 0 to 200");
                continue;
            }
        };
        if !known {
            let near = nearest(&kind, list.context.library.fittings().map(|f| f.kind.as_str()));
            list.context.report(
                Finding::new(
                    Severity::Stop,
                    "unknown-part",
                    "No such fitting",
                    format!("There is no fitting \"{kind}\" in the parts data."),
                )
                .at(list.place(&kind, found.span.clone()))
                .mend(near.map_or_else(
                    || {
                        format!(
                            "Known: {}.",
                            list.context.library.fittings().map(|f| f.kind.as_str()).collect::<Vec<_>>().join(", ")
                        )
                    },
                    |n| format!("Did you mean \"{n}\"?"),
                )),
            );
            continue;
        }
        list.list_found(&kind, "number of this fitting", &found, "a whole number");
        out.extend(fitting(&list, &kind, count, bore));
    }
    out
}

fn fitting(s: &Section<'_>, kind: &str, count: u32, bore: Length) -> Option<Fitting> {
    let row = s.context.library.fitting(kind)?;
    let loss = match row.insert_ratio {
        // A barb goes inside the hose: its own bore is smaller, and the loss grows with the fourth power.
        Some(ratio) => fittings::barbed_insert(bore, bore * ratio),
        None => row.loss,
    };
    Some(Fitting { kind: kind.to_owned(), count, loss, source: row.source.clone() })
}
