//! One section of the file: gives out its fields, remembers which keys it knows, and reports the rest.

use super::SheetLine;
use super::field::{Choice, Count, Field, Flag, Quantity};
use super::quantities::Unit;
use super::raw::Raw;
use crate::finding::{Change, Finding, Place, Severity};
use crate::parts::{Library, Part};
use crate::value::Birth;
use std::cell::{Cell, RefCell};
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// What the whole reading shares.
pub(crate) struct Context<'t> {
    text: &'t str,
    pub(crate) library: &'t Library,
    findings: RefCell<Vec<Finding>>,
    sheet: RefCell<Vec<SheetLine>>,
    metric_seen: Cell<u32>,
    customary_seen: Cell<u32>,
}

impl<'t> Context<'t> {
    pub(crate) fn new(text: &'t str, library: &'t Library) -> Self {
        Self {
            text,
            library,
            findings: RefCell::default(),
            sheet: RefCell::default(),
            metric_seen: Cell::new(0),
            customary_seen: Cell::new(0),
        }
    }

    pub(crate) fn report(&self, finding: Finding) {
        // The same words at the same place twice help nobody.
        let mut all = self.findings.borrow_mut();
        let same = |f: &Finding| {
            let spans = |f: &Finding| f.place.as_ref().and_then(|p| p.span.clone());
            *f == finding || (f.name == finding.name && spans(f).is_some() && spans(f) == spans(&finding))
        };
        if !all.iter().any(same) {
            all.push(finding);
        }
    }

    pub(crate) fn note_system(&self, customary: bool) {
        let cell = if customary { &self.customary_seen } else { &self.metric_seen };
        cell.set(cell.get() + 1);
    }

    pub(crate) fn list(&self, line: SheetLine) {
        self.sheet.borrow_mut().push(line);
    }

    pub(crate) fn into_parts(self) -> (Vec<Finding>, Vec<SheetLine>, bool) {
        let customary = self.customary_seen.get() > self.metric_seen.get();
        (self.findings.into_inner(), self.sheet.into_inner(), customary)
    }
}

/// A value found for a key, with its place.
pub(crate) struct Found {
    pub(crate) raw: Raw,
    pub(crate) birth: Birth,
    pub(crate) span: Option<Range<usize>>,
}

/// One table of the file, or the lack of it.
pub(crate) struct Section<'c> {
    pub(crate) context: &'c Context<'c>,
    /// Its own table first, then those that serve as defaults.
    tables: Vec<&'c DeTable<'c>>,
    /// The part that each table names.
    parts: Vec<Option<&'c Part>>,
    pub(crate) path: String,
    known: RefCell<Vec<&'static str>>,
}

impl<'c> Section<'c> {
    pub(crate) fn root(context: &'c Context<'c>, table: &'c DeTable<'c>) -> Self {
        Self::of(context, vec![table], String::new())
    }

    fn of(context: &'c Context<'c>, tables: Vec<&'c DeTable<'c>>, path: String) -> Self {
        let parts = vec![None; tables.len()];
        let mut section = Self { context, tables, parts, path, known: RefCell::default() };
        section.know("part");
        for i in 0..section.tables.len() {
            if let Some(found) = section.written(section.tables[i], "part") {
                section.parts[i] = section.look_up(&found);
            }
        }
        section
    }

    fn look_up(&self, found: &Found) -> Option<&'c Part> {
        let Raw::Text(id) = &found.raw else {
            self.wrong_type("part", found, "the name of a part in quotes");
            return None;
        };
        self.list_found("part", "part", found, "the name of a part, as \"tidewright parts\" lists them");
        let part = self.context.library.part(id);
        if part.is_none() {
            let near = nearest(id, self.context.library.parts().map(|p| p.id.as_str()));
            let mut f = Finding::new(
                Severity::Stop,
                "unknown-part",
                "No such part",
                format!("There is no part \"{id}\" in the parts data."),
            )
            .at(self.place("part", found.span.clone()));
            f = match near {
                Some(n) => f.mend_by(
                    format!("Did you mean \"{n}\"?"),
                    "the rest stays as it is",
                    Change { path: self.key("part"), value: format!("\"{n}\"") },
                ),
                None => f.mend("List the parts, or leave the line out and give the sizes."),
            };
            self.context.report(f);
        }
        part
    }

    /// The dotted key of a field of this section.
    pub(crate) fn key(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    pub(crate) fn place(&self, key: &str, span: Option<Range<usize>>) -> Place {
        match span {
            Some(s) => Place::at(self.key(key), s, self.context.text),
            None => Place::key(self.key(key)),
        }
    }

    /// Whether the file has this section at all.
    pub(crate) fn present(&self) -> bool {
        !self.tables.is_empty()
    }

    /// Whether the file or the part says anything about a key.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.tables.iter().any(|t| t.contains_key(key))
            || self.parts.iter().flatten().any(|p| p.values.contains_key(key))
    }

    pub(crate) fn know(&self, key: &'static str) {
        let mut known = self.known.borrow_mut();
        if !known.contains(&key) {
            known.push(key);
        }
    }

    /// A value: from its own table, then its own part, then from the defaults and theirs.
    pub(crate) fn find(&self, key: &'static str) -> Option<Found> {
        self.know(key);
        self.tables.iter().zip(&self.parts).find_map(|(table, part)| {
            self.written(table, key).or_else(|| {
                let part = (*part)?;
                let birth = Birth::Part { part: part.id.clone(), source: part.source.clone() };
                part.values.get(key).map(|v| Found { raw: Raw::of_part(v), birth, span: None })
            })
        })
    }

    fn written(&self, table: &DeTable<'_>, key: &str) -> Option<Found> {
        let v = table.get(key)?;
        let span = v.span();
        let line = self.place(key, Some(span.clone())).line;
        Some(Found { raw: Raw::of(v.get_ref()), birth: Birth::Given { line }, span: Some(span) })
    }

    /// A dimensional value.
    pub(crate) fn quantity<T: Unit>(&self, key: &'static str, label: &'static str) -> Field<'_, 'c, Quantity<T>> {
        Field::new(self, key, label, Quantity::default())
    }

    /// A whole number.
    pub(crate) fn count(&self, key: &'static str, label: &'static str) -> Field<'_, 'c, Count> {
        Field::new(self, key, label, Count::default())
    }

    /// A number, whole or not.
    pub(crate) fn number(&self, key: &'static str, label: &'static str) -> Field<'_, 'c, Count> {
        Field::new(self, key, label, Count { broken: true, ..Count::default() })
    }

    /// Yes or no.
    pub(crate) fn flag(&self, key: &'static str, label: &'static str) -> Field<'_, 'c, Flag> {
        Field::new(self, key, label, Flag)
    }

    /// One of a few words.
    pub(crate) fn choice<E: Copy + PartialEq>(
        &self,
        key: &'static str,
        label: &'static str,
        words: &'static [(&'static str, E)],
    ) -> Field<'_, 'c, Choice<E>> {
        Field::new(self, key, label, Choice { words })
    }

    /// Puts a value on the sheet that no field reads: a list, or the name of a part.
    pub(crate) fn list_found(&self, key: &str, label: &'static str, found: &Found, hint: &'static str) {
        let text = if let Raw::Text(t) = &found.raw { t.clone() } else { found.raw.toml() };
        let line =
            SheetLine { path: self.key(key), label, text, birth: found.birth.clone(), choices: Vec::new(), hint };
        self.context.list(line);
    }

    /// A free text.
    pub(crate) fn text(&self, key: &'static str, label: &'static str) -> Option<String> {
        let found = self.find(key)?;
        match found.raw {
            Raw::Text(ref t) => {
                self.context.list(SheetLine {
                    path: self.key(key),
                    label,
                    text: t.clone(),
                    birth: found.birth,
                    choices: Vec::new(),
                    hint: "text",
                });
                Some(t.clone())
            }
            _ => {
                self.wrong_type(key, &found, "a text in quotes");
                None
            }
        }
    }

    /// Whether a field holds exactly this word.
    pub(crate) fn text_is(&self, key: &'static str, word: &str) -> bool {
        matches!(self.find(key), Some(Found { raw: Raw::Text(t), .. }) if t.trim().eq_ignore_ascii_case(word))
    }

    /// Puts a usual value on the sheet that no field has put there.
    pub(crate) fn list_assumed<T: Unit>(&self, key: &'static str, label: &'static str, value: T, why: &str) {
        self.context.list(SheetLine {
            path: self.key(key),
            label,
            text: value.typed(),
            birth: Birth::assumed(why),
            choices: Vec::new(),
            hint: T::DIMENSION.describe().1,
        });
    }

    /// A list of texts.
    pub(crate) fn texts(&self, key: &'static str, _label: &'static str) -> Vec<String> {
        let Some(found) = self.find(key) else { return Vec::new() };
        let Raw::List(items) = &found.raw else {
            self.wrong_type(key, &found, "a list of texts");
            return Vec::new();
        };
        let mut out = Vec::new();
        for item in items {
            match item {
                Raw::Text(t) => out.push(t.clone()),
                _ => self.wrong_type(key, &found, "a list of texts"),
            }
        }
        out
    }

    /// A section below this one; empty where the file has none.
    pub(crate) fn sub(&self, key: &'static str) -> Section<'c> {
        self.sub_or(key, &[])
    }

    /// A section below this one whose missing values come from another (a default for all trays).
    pub(crate) fn sub_or(&self, key: &'static str, fallback: &[&'c DeTable<'c>]) -> Section<'c> {
        self.know(key);
        let mut tables = Vec::new();
        for t in &self.tables {
            match t.get(key).map(|v| (v.get_ref(), v.span())) {
                Some((DeValue::Table(t), _)) => tables.push(t),
                Some((_, span)) => self.context.report(
                    Finding::new(
                        Severity::Stop,
                        "wrong-type",
                        "A section is due",
                        format!("\"{key}\" is a section of its own."),
                    )
                    .at(self.place(key, Some(span)))
                    .mend(format!("Write [{}] on a line and its values below.", self.key(key))),
                ),
                None => {}
            }
        }
        tables.extend_from_slice(fallback);
        Section::of(self.context, tables, self.key(key))
    }

    /// The raw tables of a section, to serve as defaults elsewhere.
    pub(crate) fn tables_of(&self, key: &'static str) -> Vec<&'c DeTable<'c>> {
        self.know(key);
        self.tables
            .iter()
            .filter_map(|t| match t.get(key)?.get_ref() {
                DeValue::Table(t) => Some(t),
                _ => None,
            })
            .collect()
    }

    /// One table or several under the same name, in order.
    pub(crate) fn subs(&self, key: &'static str) -> Vec<Section<'c>> {
        self.know(key);
        let Some(value) = self.tables.iter().find_map(|t| t.get(key)) else { return Vec::new() };
        let wrong = |span: Range<usize>| {
            self.context.report(
                Finding::new(
                    Severity::Stop,
                    "wrong-type",
                    "A section is due",
                    format!("\"{key}\" is a section of its own."),
                )
                .at(self.place(key, Some(span)))
                .mend(format!("Write [{key}], or [[{key}]] for each of several, and the values below.")),
            );
        };
        match value.get_ref() {
            DeValue::Table(t) => vec![Section::of(self.context, vec![t], self.key(key))],
            DeValue::Array(items) => items
                .iter()
                .enumerate()
                .filter_map(|(i, item)| match item.get_ref() {
                    DeValue::Table(t) => Some(Section::of(self.context, vec![t], format!("{}[{i}]", self.key(key)))),
                    _ => {
                        wrong(item.span());
                        None
                    }
                })
                .collect(),
            _ => {
                wrong(value.span());
                Vec::new()
            }
        }
    }

    /// Keys of this section as written (for sections whose keys are names, as fittings are).
    pub(crate) fn keys(&self) -> Vec<(String, Found)> {
        let mut out: Vec<(String, Found)> = Vec::new();
        for table in &self.tables {
            for (k, v) in table.iter() {
                let key = k.get_ref().to_string();
                if out.iter().any(|(o, _)| *o == key) {
                    continue;
                }
                let span = v.span();
                let line = self.place("", Some(span.clone())).line;
                out.push((key, Found { raw: Raw::of(v.get_ref()), birth: Birth::Given { line }, span: Some(span) }));
            }
        }
        out
    }

    pub(crate) fn wrong_type(&self, key: &str, found: &Found, due: &str) {
        self.context.report(
            Finding::new(
                Severity::Stop,
                "wrong-type",
                "Another kind of value is due",
                format!("\"{key}\" is {}, where {due} is due.", found.raw.kind()),
            )
            .at(self.place(key, found.span.clone()))
            .mend(format!("Write {due}.")),
        );
    }

    /// Reports every key that nobody asked for.
    pub(crate) fn finish(&self) {
        let known = self.known.borrow();
        // Defaults shared by all trays are checked where they stand, at their first reader.
        for table in &self.tables {
            for (k, _) in table.iter() {
                let key = k.get_ref().as_ref();
                if known.contains(&key) {
                    continue;
                }
                let near = nearest(key, known.iter().copied());
                let section = if self.path.is_empty() { "the file".to_owned() } else { format!("[{}]", self.path) };
                let mut f =
                    Finding::new(Severity::Stop, "unknown-key", "Unknown key", format!("{section} has no \"{key}\"."))
                        .at(Place::at(self.key(key), k.span(), self.context.text));
                f = match near {
                    Some(n) => f.mend(format!("Did you mean \"{n}\"?")),
                    None => f.mend(format!("Known here: {}.", known.join(", "))),
                };
                self.context.report(f);
            }
        }
    }
}

/// The nearest of several words, where it is near enough to be a slip.
pub(crate) fn nearest<'a>(word: &str, words: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    words
        .map(|w| (strsim::damerau_levenshtein(w, &word.to_lowercase()), w))
        .filter(|(d, w)| *d <= 1 + w.len().max(word.len()) / 4)
        .min_by_key(|(d, _)| *d)
        .map(|(_, w)| w)
}
