//! A medium on the kitchen scale: the file of weights, read with every fault at once.

use crate::bench::Medium;
use crate::finding::{Finding, Place, Severity};
use crate::parts::Library;
use crate::units::{Dimension, parse};
use std::ops::Range;

/// One block weighed three times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeighedBlock {
    /// Plan length and width, and height \[m\].
    pub size_m: [f64; 3],
    /// Dry \[kg\].
    pub dry_kg: f64,
    /// Soaked through, held level under water to its rim and lifted out without a drop lost \[kg\].
    pub saturated_kg: f64,
    /// Drained until it no longer drips, standing \[kg\].
    pub drained_kg: f64,
}

impl WeighedBlock {
    /// Its volume \[m³\].
    pub fn volume_m3(&self) -> f64 {
        self.size_m.iter().product()
    }

    /// Water content \[-\] at a weight.
    pub fn content(&self, kg: f64) -> f64 {
        const WATER_KG_M3: f64 = 998.2;
        (kg - self.dry_kg) / WATER_KG_M3 / self.volume_m3()
    }
}

/// What was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// Name that the part is to have in bench files.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// The shipped medium that it is most like: it lends what weights do not tell.
    pub like: Medium,
    /// What the scale shows at best \[kg\].
    pub scale_kg: f64,
    /// The blocks.
    pub blocks: Vec<WeighedBlock>,
    /// Suctions \[m\] and contents \[-\] of a sand box or from a paper.
    pub points: Vec<(f64, f64)>,
}

/// A file being read.
struct Reader<'t> {
    text: &'t str,
    found: Vec<Finding>,
}

type Table = toml::Table;

/// Reads a file of weights; none where a fault stands in the way. Every fault is told.
pub fn read(text: &str, library: &Library) -> (Option<Weighing>, Vec<Finding>) {
    let mut r = Reader { text, found: Vec::new() };
    let table: Table = match toml::from_str(text) {
        Ok(t) => t,
        Err(e) => {
            r.fault("toml-syntax", "Not a file of weights", e.message().to_owned(), "weights", e.span());
            return (None, r.found);
        }
    };
    let empty = Table::new();
    for key in table.keys().filter(|k| !["medium", "block", "point"].contains(&k.as_str())) {
        r.fault(
            "unknown-key",
            "A key that means nothing here",
            format!("\"{key}\" means nothing in a file of weights; there are medium, block and point."),
            key,
            None,
        );
    }
    let medium = table.get("medium").and_then(toml::Value::as_table).unwrap_or(&empty);
    r.only(medium, "medium", &["id", "name", "like", "scale"]);
    let text_of = |t: &Table, key: &str| t.get(key).and_then(toml::Value::as_str).map(str::to_owned);
    let id = text_of(medium, "id").unwrap_or_else(|| "my-medium".into());
    if id.is_empty() || !id.chars().all(|c| c.is_ascii_alphanumeric() || c == '-') {
        r.fault(
            "out-of-range",
            "A name that cannot be written",
            format!("\"{id}\" is no name of a part: letters, digits and hyphens."),
            "medium.id",
            None,
        );
    }
    let like_id = text_of(medium, "like").unwrap_or_else(|| "stone-wool".into());
    let like = library.medium(&like_id).cloned();
    if like.is_none() {
        let known: Vec<&str> = library.media().map(|m| m.id.as_str()).collect();
        r.fault(
            "unknown-part",
            "No such medium",
            format!("There is no medium \"{like_id}\" to liken it to. Known: {}.", known.join(", ")),
            "medium.like",
            None,
        );
    }
    let scale_kg = if medium.contains_key("scale") {
        r.quantity(medium, "medium", "scale", Dimension::Mass, (1e-6, 1.0))
    } else {
        Some(1e-3)
    };
    let mut blocks = Vec::new();
    for (i, b) in r.tables(&table, "block").into_iter().enumerate() {
        let at = format!("block[{i}]");
        r.only(&b, &at, &["length", "width", "height", "dry", "saturated", "drained"]);
        let length = r.quantity(&b, &at, "length", Dimension::Length, (5e-3, 2.0));
        let width =
            if b.contains_key("width") { r.quantity(&b, &at, "width", Dimension::Length, (5e-3, 2.0)) } else { length };
        let height = r.quantity(&b, &at, "height", Dimension::Length, (5e-3, 2.0));
        let mut weight = |key: &str| r.quantity(&b, &at, key, Dimension::Mass, (1e-5, 1000.0));
        let (dry, saturated, drained) = (weight("dry"), weight("saturated"), weight("drained"));
        if let (Some(l), Some(w), Some(h), Some(dry_kg), Some(saturated_kg), Some(drained_kg)) =
            (length, width, height, dry, saturated, drained)
        {
            let b = WeighedBlock { size_m: [l, w, h], dry_kg, saturated_kg, drained_kg };
            r.plausible(&b, &at);
            blocks.push(b);
        }
    }
    let mut points = Vec::new();
    for (i, p) in r.tables(&table, "point").into_iter().enumerate() {
        let at = format!("point[{i}]");
        r.only(&p, &at, &["suction", "content"]);
        let suction = r.quantity(&p, &at, "suction", Dimension::Length, (0.0, 1000.0));
        let content = r.quantity(&p, &at, "content", Dimension::Ratio, (0.0, 1.0));
        points.extend(suction.zip(content));
    }
    if blocks.is_empty() && points.len() < 4 && r.found.is_empty() {
        r.fault(
            "missing-value",
            "Nothing weighed",
            "There is no [[block]] with its weights, and there are fewer than four [[point]]s.".into(),
            "block",
            None,
        );
    }
    let stops = r.found.iter().any(|f| f.severity == Severity::Stop);
    let weighing = like.zip(scale_kg).filter(|_| !stops).map(|(like, scale_kg)| Weighing {
        name: text_of(medium, "name").unwrap_or_else(|| id.clone()),
        id,
        like,
        scale_kg,
        blocks,
        points,
    });
    (weighing, r.found)
}

impl Reader<'_> {
    fn fault(&mut self, name: &'static str, title: &str, sentence: String, path: &str, span: Option<Range<usize>>) {
        let place = span.map_or_else(|| Place::key(path), |s| Place::at(path, s, self.text));
        self.found.push(Finding::new(Severity::Stop, name, title, sentence).at(place));
    }

    fn only(&mut self, table: &Table, at: &str, known: &[&str]) {
        for key in table.keys().filter(|k| !known.contains(&k.as_str())) {
            self.fault(
                "unknown-key",
                "A key that means nothing here",
                format!("\"{key}\" means nothing in {at}; there are {}.", known.join(", ")),
                &format!("{at}.{key}"),
                None,
            );
        }
    }

    fn tables(&mut self, table: &Table, key: &str) -> Vec<Table> {
        match table.get(key) {
            None => Vec::new(),
            Some(toml::Value::Array(items)) if items.iter().all(toml::Value::is_table) => {
                items.iter().filter_map(|i| i.as_table().cloned()).take(200).collect()
            }
            Some(_) => {
                self.fault(
                    "wrong-type",
                    "Not a list of tables",
                    format!("\"{key}\" must stand as [[{key}]]."),
                    key,
                    None,
                );
                Vec::new()
            }
        }
    }

    fn quantity(
        &mut self,
        table: &Table,
        at: &str,
        key: &str,
        wanted: Dimension,
        (least, most): (f64, f64),
    ) -> Option<f64> {
        let path = format!("{at}.{key}");
        let (what, example) = wanted.describe();
        let text = match table.get(key) {
            None => {
                self.fault(
                    "missing-value",
                    "A value is missing",
                    format!("{path} is missing: {what}, as in {example}."),
                    &path,
                    None,
                );
                return None;
            }
            Some(toml::Value::String(t)) => t.clone(),
            Some(toml::Value::Float(x)) if wanted == Dimension::Ratio => x.to_string(),
            Some(toml::Value::Integer(x)) if wanted == Dimension::Ratio => x.to_string(),
            Some(_) => {
                self.fault(
                    "missing-unit",
                    "A unit is missing",
                    format!("{path} must be {what} with its unit, as in {example}."),
                    &path,
                    None,
                );
                return None;
            }
        };
        match parse(&text, wanted) {
            Ok(r) if r.si >= least && r.si <= most => Some(r.si),
            Ok(_) => {
                self.fault(
                    "out-of-range",
                    "Out of range",
                    format!("{path} = \"{text}\" is more or less than any block has."),
                    &path,
                    None,
                );
                None
            }
            Err(_) => {
                self.fault(
                    "missing-unit",
                    "Not a quantity",
                    format!("{path} = \"{text}\" is not {what}: write it as in {example}."),
                    &path,
                    None,
                );
                None
            }
        }
    }

    fn plausible(&mut self, b: &WeighedBlock, at: &str) {
        if !(b.dry_kg < b.drained_kg && b.drained_kg <= b.saturated_kg) {
            self.fault(
                "conflicting-values",
                "Weights in the wrong order",
                format!("{at}: dry must be less than drained, and drained no more than saturated."),
                at,
                None,
            );
        } else if b.content(b.saturated_kg) > 1.0 {
            let share = 100.0 * b.content(b.saturated_kg);
            self.fault("conflicting-values", "More water than the block has room for", format!("{at}: saturated it would be {share:.0} % water; look at its size, and at water that clung to it or stood in a tub."), at, None);
        }
    }
}
