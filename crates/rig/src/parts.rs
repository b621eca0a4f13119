//! Parts data: generic parts, fittings and media, each row with its source. Users add their own.

mod rows;

use crate::bench::{Aeration, Crop, Medium, Price, Rig, RoomStep};
use crate::finding::{Finding, Place, Severity};
use crate::photometry::Photometry;
use crate::solution::{Feeding, FeedingRow, Recipe, RecipeRow, Salt, SaltRow, Water, WaterRow};
use rows::{CropRow, MediumRow, PartRow};
use serde::Deserialize;
use std::collections::BTreeMap;

/// A part that a section of a bench file can name, with the values it brings.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Name in a bench file.
    pub id: String,
    /// What it is for: tub, tote, pump, hose, riser…
    pub kind: String,
    /// Name for people.
    pub name: String,
    /// Where its numbers come from.
    pub source: String,
    /// Keys and values as a bench file's section would have them.
    pub values: BTreeMap<String, toml::Value>,
}

/// A fitting with its loss coefficient.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FittingRow {
    /// Kind, as written under `fittings`.
    pub kind: String,
    /// K on the bore of the hose (0 where it is computed).
    #[serde(default)]
    pub loss: f64,
    /// For barbs: bore of the insert over the bore of the hose; K is then computed.
    pub insert_ratio: Option<f64>,
    /// Where the number comes from.
    pub source: String,
}

/// All parts that a reading can draw on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Library {
    parts: Vec<Part>,
    fittings: Vec<FittingRow>,
    media: Vec<Medium>,
    crops: Vec<Crop>,
    salts: Vec<Salt>,
    recipes: Vec<Recipe>,
    waters: Vec<Water>,
    feedings: Vec<Feeding>,
    /// A room's readings by the name of their file.
    rooms: BTreeMap<String, Vec<RoomStep>>,
    prices: Vec<Price>,
    /// Lamps' photometry by the name of their file.
    photometry: BTreeMap<String, Option<Photometry>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    part: Vec<PartRow>,
    #[serde(default)]
    fitting: Vec<FittingRow>,
    #[serde(default)]
    medium: Vec<MediumRow>,
    #[serde(default)]
    crop: Vec<CropRow>,
    #[serde(default)]
    salt: Vec<SaltRow>,
    #[serde(default)]
    recipe: Vec<RecipeRow>,
    #[serde(default)]
    water: Vec<WaterRow>,
    #[serde(default)]
    feeding: Vec<FeedingRow>,
    #[serde(default)]
    price: Vec<Price>,
}

/// The data that ship with the program, file by file.
pub const SHIPPED: [(&str, &str); 12] = [
    ("vessels.toml", include_str!("../../../data/vessels.toml")),
    ("pumps.toml", include_str!("../../../data/pumps.toml")),
    ("fittings.toml", include_str!("../../../data/fittings.toml")),
    ("media.toml", include_str!("../../../data/media.toml")),
    ("crops.toml", include_str!("../../../data/crops.toml")),
    ("salts.toml", include_str!("../../../data/salts.toml")),
    ("recipes.toml", include_str!("../../../data/recipes.toml")),
    ("waters.toml", include_str!("../../../data/waters.toml")),
    ("feeding.toml", include_str!("../../../data/feeding.toml")),
    ("air.toml", include_str!("../../../data/air.toml")),
    ("stand.toml", include_str!("../../../data/stand.toml")),
    ("prices.toml", include_str!("../../../data/prices.toml")),
];

impl Library {
    /// The parts that ship with the program.
    pub fn shipped() -> Self {
        let mut all = Self::default();
        for (name, text) in SHIPPED {
            // The shipped data are checked by a test; a fault in one file must not hide the others.
            let _ = all.add(name, text);
        }
        all
    }

    /// Adds the parts of one file; a part of the same name replaces the earlier one.
    ///
    /// # Errors
    /// One finding for a file that does not read.
    pub fn add(&mut self, file: &str, text: &str) -> Result<(), Box<Finding>> {
        let fault = |sentence: String, span: Option<std::ops::Range<usize>>| {
            let place = span.map_or_else(|| Place::key(file), |s| Place::at(file, s, text));
            let told =
                Finding::new(Severity::Stop, "parts-file", "A parts file does not read", format!("{file}: {sentence}"))
                    .at(place)
                    .mend("Each row needs its id, kind, name and source; look at a shipped row.");
            Box::new(told)
        };
        let read: File = toml::from_str(text).map_err(|e| fault(e.message().to_owned(), e.span()))?;
        for row in read.part {
            self.parts.retain(|p| p.id != row.id);
            self.parts.push(Part {
                id: row.id,
                kind: row.kind,
                name: row.name,
                source: row.source,
                values: row.values,
            });
        }
        for row in read.fitting {
            self.fittings.retain(|f| f.kind != row.kind);
            self.fittings.push(row);
        }
        for row in read.medium {
            let medium = row.build().map_err(|e| fault(e, None))?;
            self.media.retain(|m| m.id != medium.id);
            self.media.push(medium);
        }
        for row in read.crop {
            let crop = row.build().map_err(|e| fault(e, None))?;
            self.crops.retain(|c| c.id != crop.id);
            self.crops.push(crop);
        }
        // A row of the same name replaces the earlier one, and stands where that stood.
        for row in read.salt {
            put(&mut self.salts, row.build().map_err(|e| fault(e, None))?, |s| &s.id);
        }
        for row in read.recipe {
            put(&mut self.recipes, row.build().map_err(|e| fault(e, None))?, |r| &r.id);
        }
        for row in read.water {
            put(&mut self.waters, row.build().map_err(|e| fault(e, None))?, |w| &w.id);
        }
        for row in read.feeding {
            put(&mut self.feedings, row.build().map_err(|e| fault(e, None))?, |f| &f.crop);
        }
        for row in read.price {
            if !((0.0..=1e7).contains(&row.price) && (0.0..=100.0).contains(&row.stock_m)) {
                return Err(fault(format!("the price of \"{}\" is none", row.id), None));
            }
            put(&mut self.prices, row, |p| &p.id);
        }
        Ok(())
    }

    /// All prices.
    pub fn prices(&self) -> &[Price] {
        &self.prices
    }

    /// Keeps a lamp's photometry under the name by which a bench file asks for it.
    pub fn add_photometry(&mut self, name: &str, photometry: Photometry) {
        self.photometry.insert(name.to_owned(), Some(photometry));
    }

    /// A lamp's photometry.
    pub fn photometry(&self, name: &str) -> Option<&Photometry> {
        self.photometry.get(name)?.as_ref()
    }

    /// Remembers that a lamp's file stands there and does not read.
    pub fn add_unreadable_photometry(&mut self, name: &str) {
        self.photometry.insert(name.to_owned(), None);
    }

    /// Whether a lamp's file stands there and does not read.
    pub fn is_photometry_unreadable(&self, name: &str) -> bool {
        self.photometry.get(name).is_some_and(Option::is_none)
    }

    /// All parts.
    pub fn parts(&self) -> impl Iterator<Item = &Part> {
        self.parts.iter()
    }

    /// All fittings.
    pub fn fittings(&self) -> impl Iterator<Item = &FittingRow> {
        self.fittings.iter()
    }

    /// All media.
    pub fn media(&self) -> impl Iterator<Item = &Medium> {
        self.media.iter()
    }

    /// Keeps a room's readings under the name by which a bench file asks for them.
    pub fn add_room(&mut self, name: &str, steps: Vec<RoomStep>) {
        self.rooms.insert(name.to_owned(), steps);
    }

    /// A room's readings.
    pub fn room(&self, name: &str) -> Option<&[RoomStep]> {
        self.rooms.get(name).map(Vec::as_slice)
    }

    /// All crops.
    pub fn crops(&self) -> impl Iterator<Item = &Crop> {
        self.crops.iter()
    }

    /// A crop by name.
    pub fn crop(&self, id: &str) -> Option<&Crop> {
        self.crops.iter().find(|c| c.id == id)
    }

    /// All salts, acids, bases and chelates.
    pub fn salts(&self) -> &[Salt] {
        &self.salts
    }

    /// All recipes.
    pub fn recipes(&self) -> &[Recipe] {
        &self.recipes
    }

    /// All water reports.
    pub fn waters(&self) -> &[Water] {
        &self.waters
    }

    /// What all crops take up and bear.
    pub fn feedings(&self) -> &[Feeding] {
        &self.feedings
    }

    /// A part by name.
    pub fn part(&self, id: &str) -> Option<&Part> {
        self.parts.iter().find(|p| p.id == id)
    }

    /// A fitting by kind.
    pub fn fitting(&self, kind: &str) -> Option<&FittingRow> {
        self.fittings.iter().find(|f| f.kind == kind)
    }

    /// A medium by name.
    pub fn medium(&self, id: &str) -> Option<&Medium> {
        self.media.iter().find(|m| m.id == id)
    }
}

/// The air of a bench with another pump and another stone out of the parts data; none where they do not read.
pub fn air_of(library: &Library, pump: &str, stone: &str, rig: &Rig) -> Option<Aeration> {
    let quoted = |x: &str| toml_edit::Value::from(x).to_string();
    let text = format!("[air]\npart = {}\n[air.stone]\npart = {}\n", quoted(pump), quoted(stone));
    crate::read::air_alone(&text, library, &rig.reservoir)
}

fn put<T>(all: &mut Vec<T>, row: T, name: fn(&T) -> &String) {
    match all.iter_mut().find(|r| name(r) == name(&row)) {
        Some(found) => *found = row,
        None => all.push(row),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_file_reads() {
        let mut all = Library::default();
        for (name, text) in SHIPPED {
            all.add(name, text).unwrap_or_else(|f| panic!("{}", f.sentence));
        }
        assert!(all.parts().count() > 20 && all.fittings().count() > 10 && all.media().count() > 8);
        assert!(all.parts().all(|p| !p.source.is_empty()));
        assert!(
            all.salts().len() > 20 && all.recipes().len() > 8 && all.waters().len() > 3 && all.feedings().len() > 6
        );
    }
}
