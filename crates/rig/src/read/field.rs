//! One field of a section: its kind, its range, its usual value.

use super::SheetLine;
use super::quantities::Unit;
use super::raw::Raw;
use super::section::{Found, Section, nearest};
use crate::finding::{Change, Finding, Severity};
use crate::units::{self, Dimension, Fault};
use crate::value::{Birth, Value};
use std::marker::PhantomData;

/// Why a raw value is not of the wanted kind.
pub(crate) struct Refusal {
    name: &'static str,
    title: &'static str,
    sentence: String,
    mend: String,
    value: Option<String>,
}

/// A kind of value.
pub(crate) trait Kind {
    type Out: Clone;
    fn accept(
        &self,
        key: &str,
        raw: &Raw,
        field_says: &dyn Fn(Finding),
        customary: &dyn Fn(bool),
    ) -> Result<Self::Out, Refusal>;
    fn typed(&self, value: &Self::Out) -> String;
    fn hint(&self) -> &'static str;
    fn choices(&self) -> Vec<&'static str> {
        Vec::new()
    }
}

/// A number with a unit.
pub(crate) struct Quantity<T> {
    range: Option<(T, T)>,
    kind: PhantomData<T>,
}

impl<T> Default for Quantity<T> {
    fn default() -> Self {
        Self { range: None, kind: PhantomData }
    }
}

impl<T: Unit> Kind for Quantity<T> {
    type Out = T;

    fn accept(&self, key: &str, raw: &Raw, say: &dyn Fn(Finding), customary: &dyn Fn(bool)) -> Result<T, Refusal> {
        let (what, example) = T::DIMENSION.describe();
        let text = match raw {
            Raw::Text(t) => t.clone(),
            Raw::Number(n) if T::DIMENSION == Dimension::Ratio && n.is_finite() => format!("{n}"),
            Raw::Number(n) => {
                let guess = format!("\"{n} {}\"", T::DIMENSION.likely_unit(*n));
                return Err(Refusal {
                    name: "missing-unit",
                    title: "The unit is missing",
                    sentence: format!("\"{key}\" is the bare number {n}, where {what} is due."),
                    mend: format!("Write {guess} if that is what was meant, or as in {example}."),
                    value: Some(guess),
                });
            }
            other => {
                return Err(Refusal {
                    name: "wrong-type",
                    title: "Another kind of value is due",
                    sentence: format!("\"{key}\" is {}, where {what} is due.", other.kind()),
                    mend: format!("Write it in quotes with its unit, as in {example}."),
                    value: None,
                });
            }
        };
        let read = units::parse(&text, T::DIMENSION).map_err(|fault| refuse(key, &text, fault, T::DIMENSION))?;
        // Minutes, watts and hertz are the same everywhere and say nothing of the person's tape measure.
        if matches!(T::DIMENSION, Dimension::Length | Dimension::Volume | Dimension::Flow | Dimension::Temperature) {
            customary(read.customary);
        }
        if read.bare_gallon {
            say(Finding::new(
                Severity::Note,
                "bare-gallon",
                "Gallon taken as US",
                format!("\"{text}\" is taken as US gallons; an imperial gallon is 20 % larger."),
            )
            .mend("Write \"US gal\" or \"imp gal\"."));
        }
        if let Some((lo, hi)) = self.range
            && !(read.si >= lo.si() - 1e-12 && read.si <= hi.si() + 1e-12)
        {
            return Err(Refusal {
                name: "out-of-range",
                title: "Outside what a bench can have",
                sentence: format!("\"{key}\" is {text}; it must lie from {} to {}.", lo.typed(), hi.typed()),
                mend: "Look at the number and its unit.".into(),
                value: None,
            });
        }
        Ok(T::from_si(read.si))
    }

    fn typed(&self, value: &T) -> String {
        value.typed()
    }

    fn hint(&self) -> &'static str {
        T::DIMENSION.describe().1
    }
}

fn refuse(key: &str, text: &str, fault: Fault, wanted: Dimension) -> Refusal {
    let (what, example) = wanted.describe();
    let (name, title, sentence, mend, value) = match fault {
        Fault::NoNumber => (
            "wrong-type",
            "No number",
            format!("\"{key}\" is \"{text}\", where {what} is due."),
            format!("Write a number and its unit, as in {example}."),
            None,
        ),
        Fault::NoUnit => {
            // A fraction is of an inch; of a plain number the size tells.
            let unit = match text.trim().parse::<f64>() {
                Ok(n) => wanted.likely_unit(n),
                Err(_) if wanted == Dimension::Length => "in",
                Err(_) => wanted.likely_unit(1.0),
            };
            let guess = format!("\"{} {unit}\"", text.trim());
            (
                "missing-unit",
                "The unit is missing",
                format!("\"{key}\" is \"{text}\" without a unit, where {what} is due."),
                format!("Write {guess} if that is what was meant, or as in {example}."),
                Some(guess),
            )
        }
        Fault::UnknownUnit(unit, near) => (
            "wrong-unit",
            "Unknown unit",
            format!("\"{key}\" is \"{text}\": the unit \"{unit}\" is not known."),
            match near {
                Some(n) => format!("Did you mean \"{n}\"? Write {what} as in {example}."),
                None => format!("Write {what} as in {example}."),
            },
            None,
        ),
        Fault::WrongDimension(unit, is) => (
            "wrong-unit",
            "A unit of something else",
            format!("\"{key}\" is \"{text}\": {unit} measures {}, where {what} is due.", is.describe().0),
            format!("Write it as in {example}."),
            None,
        ),
        Fault::Comma(better) => (
            "wrong-type",
            "Decimal comma",
            format!("\"{key}\" is \"{text}\": a comma is neither a decimal point nor a thousands mark here."),
            format!("Write \"{better}\"."),
            Some(format!("\"{better}\"")),
        ),
        Fault::NotFinite => (
            "out-of-range",
            "Not a finite number",
            format!("\"{key}\" is \"{text}\", which is not a finite number."),
            format!("Write {what} as in {example}."),
            None,
        ),
    };
    Refusal { name, title, sentence, mend, value }
}

/// A plain number, whole or not.
#[derive(Default)]
pub(crate) struct Count {
    pub(crate) range: Option<(f64, f64)>,
    pub(crate) broken: bool,
}

impl Kind for Count {
    type Out = f64;

    fn accept(&self, key: &str, raw: &Raw, _: &dyn Fn(Finding), _: &dyn Fn(bool)) -> Result<f64, Refusal> {
        let (lo, hi) = self.range.unwrap_or((1.0, 1e4));
        let typed = match raw {
            // A number in quotes is one where it may be broken: pH and the like.
            Raw::Text(t) if self.broken => t.trim().parse().ok().filter(|n: &f64| n.is_finite()).map(Raw::Number),
            _ => None,
        };
        match typed.as_ref().unwrap_or(raw) {
            Raw::Number(n) if (self.broken || n.fract() == 0.0) && *n >= lo && *n <= hi => Ok(*n),
            other => Err(Refusal {
                name: if matches!(other, Raw::Number(_)) { "out-of-range" } else { "wrong-type" },
                title: if self.broken { "A number is due" } else { "A whole number is due" },
                sentence: format!("\"{key}\" is {}; {} from {lo} to {hi} is due.", other.typed(), self.hint()),
                mend: format!(
                    "Write a plain{} number, as in {key} = {}.",
                    if self.broken { "" } else { " whole" },
                    lo.max(1.0)
                ),
                value: None,
            }),
        }
    }

    fn typed(&self, value: &f64) -> String {
        format!("{value}")
    }

    fn hint(&self) -> &'static str {
        if self.broken { "a number" } else { "a whole number" }
    }
}

/// Yes or no.
pub(crate) struct Flag;

impl Kind for Flag {
    type Out = bool;

    fn accept(&self, key: &str, raw: &Raw, _: &dyn Fn(Finding), _: &dyn Fn(bool)) -> Result<bool, Refusal> {
        match raw {
            Raw::Flag(b) => Ok(*b),
            other => Err(Refusal {
                name: "wrong-type",
                title: "Yes or no is due",
                sentence: format!("\"{key}\" is {}, where true or false is due.", other.kind()),
                mend: format!("Write {key} = true or {key} = false."),
                value: None,
            }),
        }
    }

    fn typed(&self, value: &bool) -> String {
        value.to_string()
    }

    fn hint(&self) -> &'static str {
        "true or false"
    }

    fn choices(&self) -> Vec<&'static str> {
        vec!["true", "false"]
    }
}

/// One of a few words.
pub(crate) struct Choice<E: 'static> {
    pub(crate) words: &'static [(&'static str, E)],
}

impl<E: Copy + PartialEq> Kind for Choice<E> {
    type Out = E;

    fn accept(&self, key: &str, raw: &Raw, _: &dyn Fn(Finding), _: &dyn Fn(bool)) -> Result<E, Refusal> {
        let all: Vec<String> = self.words.iter().map(|(w, _)| format!("\"{w}\"")).collect();
        let all = all.join(", ");
        let Raw::Text(word) = raw else {
            return Err(Refusal {
                name: "wrong-type",
                title: "A word is due",
                sentence: format!("\"{key}\" is {}, where one of {all} is due.", raw.kind()),
                mend: "Write one of these in quotes.".into(),
                value: None,
            });
        };
        if let Some((_, e)) = self.words.iter().find(|(w, _)| w.eq_ignore_ascii_case(word.trim())) {
            return Ok(*e);
        }
        let near = nearest(word, self.words.iter().map(|(w, _)| *w));
        Err(Refusal {
            name: "unknown-choice",
            title: "Unknown word",
            sentence: format!("\"{key}\" is \"{word}\", which is none of {all}."),
            mend: near.map_or_else(|| format!("Write one of {all}."), |n| format!("Did you mean \"{n}\"?")),
            value: near.map(|n| format!("\"{n}\"")),
        })
    }

    fn typed(&self, value: &E) -> String {
        self.words.iter().find(|(_, e)| e == value).map_or("", |(w, _)| w).to_owned()
    }

    fn hint(&self) -> &'static str {
        "one of the words"
    }

    fn choices(&self) -> Vec<&'static str> {
        self.words.iter().map(|(w, _)| *w).collect()
    }
}

/// A field about to be read: ends in [`Field::or`], [`Field::required`] or [`Field::optional`].
pub(crate) struct Field<'s, 'c, K: Kind> {
    section: &'s Section<'c>,
    key: &'static str,
    label: &'static str,
    kind: K,
}

impl<'s, 'c, T: Unit> Field<'s, 'c, Quantity<T>> {
    /// Least and greatest value that a bench can have.
    pub(crate) fn range(mut self, lo: T, hi: T) -> Self {
        self.kind.range = Some((lo, hi));
        self
    }
}

impl Field<'_, '_, Count> {
    pub(crate) fn range(mut self, lo: f64, hi: f64) -> Self {
        self.kind.range = Some((lo, hi));
        self
    }
}

impl<'s, 'c, K: Kind> Field<'s, 'c, K> {
    pub(crate) fn new(section: &'s Section<'c>, key: &'static str, label: &'static str, kind: K) -> Self {
        Self { section, key, label, kind }
    }

    /// The value, or the usual one with its reason.
    pub(crate) fn or(self, usual: K::Out, why: &str) -> Value<K::Out> {
        let section = self.section;
        let (key, label, hint, choices) = (self.key, self.label, self.kind.hint(), self.kind.choices());
        let typed = self.kind.typed(&usual);
        match self.take() {
            Some(v) => v,
            None => {
                let birth = Birth::assumed(why);
                section.context.list(SheetLine {
                    path: section.key(key),
                    label,
                    text: typed,
                    birth: birth.clone(),
                    choices,
                    hint,
                });
                Value::new(usual, birth)
            }
        }
    }

    /// The value; a missing one is a fault, and `stand_in` lets the reading go on.
    pub(crate) fn required(self, stand_in: K::Out) -> Value<K::Out> {
        let (section, key, label, hint) = (self.section, self.key, self.label, self.kind.hint());
        let missing = !section.has(key);
        if let Some(v) = self.take() {
            return v;
        }
        if missing {
            section.context.report(
                Finding::new(
                    Severity::Stop,
                    "missing-value",
                    "A value is missing",
                    format!("[{}] needs \"{key}\": {label}.", section.path),
                )
                .at(section.place(key, None))
                .mend(format!("Add {key} = …, as in {hint}.")),
            );
        }
        Value::assumed(stand_in, "stands in for a missing value")
    }

    /// The value, or nothing.
    pub(crate) fn optional(self) -> Option<Value<K::Out>> {
        self.take()
    }

    fn take(self) -> Option<Value<K::Out>> {
        let found = self.section.find(self.key)?;
        let (section, key) = (self.section, self.key);
        let say = |f: Finding| section.context.report(f.at(section.place(key, found.span.clone())));
        let customary = |yes: bool| {
            if matches!(found.birth, Birth::Given { .. }) {
                section.context.note_system(yes);
            }
        };
        match self.kind.accept(key, &found.raw, &say, &customary) {
            Ok(value) => {
                section.context.list(SheetLine {
                    path: section.key(key),
                    label: self.label,
                    text: found.raw.typed(),
                    birth: found.birth.clone(),
                    choices: self.kind.choices(),
                    hint: self.kind.hint(),
                });
                Some(Value::new(value, found.birth))
            }
            Err(r) => {
                refuse_at(section, key, &found, r);
                None
            }
        }
    }
}

fn refuse_at(section: &Section<'_>, key: &str, found: &Found, r: Refusal) {
    let f = Finding::new(Severity::Stop, r.name, r.title, r.sentence).at(section.place(key, found.span.clone()));
    section.context.report(match r.value {
        Some(value) => f.mend_by(r.mend, "", Change { path: section.key(key), value }),
        None => f.mend(r.mend),
    });
}

/// Reads a quantity out of a raw value that stands in a list.
pub(crate) fn item<T: Unit>(section: &Section<'_>, key: &'static str, found: &Found, raw: Option<&Raw>) -> Option<T> {
    let Some(raw) = raw else {
        section.wrong_type(key, found, "a list of rows with all their values");
        return None;
    };
    let say = |f: Finding| section.context.report(f.at(section.place(key, found.span.clone())));
    match Quantity::<T>::default().accept(key, raw, &say, &|c| section.context.note_system(c)) {
        Ok(v) => Some(v),
        Err(r) => {
            refuse_at(section, key, found, r);
            None
        }
    }
}

/// Rows of a list of lists.
pub(crate) fn rows<'r>(s: &Section<'_>, key: &'static str, found: &'r Found, due: &str) -> Vec<&'r [Raw]> {
    let Raw::List(list) = &found.raw else {
        s.wrong_type(key, found, due);
        return Vec::new();
    };
    let mut out = Vec::new();
    for row in list {
        match row {
            Raw::List(cells) => out.push(cells.as_slice()),
            _ => s.wrong_type(key, found, due),
        }
    }
    out
}
