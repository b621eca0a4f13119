use super::raw::Raw;
use super::section::{Section, nearest};
use crate::bench::{MeterScale, Mixing, TopUpWith};
use crate::finding::{Change, Finding, Severity};
use crate::solution::{Feeding, Recipe, Salt, Water};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{celsius, kg, litres};

/// `[solution]`; without it everything is assumed and nothing judged.
pub(crate) fn read(s: &Section<'_>, crop: &str) -> Mixing {
    let library = s.context.library;
    let feeding = library
        .feedings()
        .iter()
        .find(|f| f.crop == crop)
        .or_else(|| library.feedings().first())
        .cloned()
        .unwrap_or_else(no_feeding);
    let usual =
        library.recipes().iter().find(|r| r.crops.iter().any(|c| c == crop)).or_else(|| library.recipes().first());
    let recipe =
        named(s, "recipe", "recipe", library.recipes(), |r: &Recipe| &r.id, usual, "the usual one for the crop")
            .unwrap_or_else(|| Value::assumed(no_recipe(), "no recipe in the parts data"));
    let pure = library.waters().first();
    let water =
        named(s, "water", "source water", library.waters(), |w: &Water| &w.id, pure, "nobody said: nothing in it")
            .unwrap_or_else(|| Value::assumed(no_water(), "no water in the parts data"));
    let middle = (0.5 * (feeding.ph.0 + feeding.ph.1) * 10.0).round() / 10.0;
    let mixing = Mixing {
        stated: s.present(),
        shelf: shelf(s).into(),
        known: library.salts().into(),
        tank_a: salts_of_tank(s, "tank_a"),
        tank_b: salts_of_tank(s, "tank_b"),
        strength: s
            .quantity("strength", "part of the recipe's full strength")
            .range(0.05, 3.0)
            .or(1.0, "the recipe as it stands"),
        ph: s.number("ph", "pH to reach").range(4.0, 8.5).or(middle, "the middle of the crop's range, from memory"),
        concentrate: s
            .number("concentrate", "strength of the concentrates, 1 for none")
            .range(1.0, 500.0)
            .or(1.0, "salts weighed straight into the reservoir"),
        tank: s
            .quantity("tank", "volume of one tank of concentrate")
            .range(litres(0.05), litres(1000.0))
            .or(litres(2.0), "common practice: two bottles"),
        coldest: s
            .quantity("coldest", "coldest that a tank of concentrate gets")
            .range(celsius(0.0), celsius(40.0))
            .or(celsius(10.0), "common practice: a cool store by night"),
        scale: s
            .quantity("scale", "what the scale shows at the least")
            .range(kg(1e-7), kg(0.1))
            .or(kg(1e-4), "common practice: a pocket scale of 0.1 g"),
        top_up: s
            .choice(
                "top_up",
                "with what the reservoir is topped up",
                &[("plain", TopUpWith::Plain), ("half", TopUpWith::Half), ("full", TopUpWith::Full)],
            )
            .or(TopUpWith::Half, "common practice: half strength"),
        meter: s
            .choice(
                "meter",
                "what the conductivity meter shows",
                &[
                    ("mS/cm", MeterScale::Conductivity),
                    ("ppm-500", MeterScale::Ppm500),
                    ("ppm-700", MeterScale::Ppm700),
                ],
            )
            .or(MeterScale::Conductivity, "conductivity itself"),
        cheaper: s
            .quantity("cheaper", "from closest (0 %) to cheapest (100 %)")
            .range(0.0, 1.0)
            .or(0.0, "as close to the recipe as the shelf allows"),
        recipe,
        water,
        feeding,
    };
    let n = mixing.concentrate.get();
    if n > 1.0 && n < 10.0 {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "Too weak for a concentrate",
                format!("\"concentrate\" is {n}: two tanks would take most of the reservoir. It is 1 for none, or from 10 to 500."),
            )
            .at(s.place("concentrate", s.find("concentrate").and_then(|f| f.span)))
            .mend("Write concentrate = 100, or leave it out."),
        );
    }
    s.finish();
    mixing
}

/// A row of the parts data that a key names, or what is usual.
fn named<T: Clone>(
    s: &Section<'_>,
    key: &'static str,
    label: &'static str,
    all: &[T],
    id: fn(&T) -> &String,
    usual: Option<&T>,
    why: &str,
) -> Option<Value<T>> {
    let Some(found) = s.find(key) else {
        if let Some(usual) = usual {
            s.context.list(super::SheetLine {
                path: s.key(key),
                label,
                text: id(usual).clone(),
                birth: Birth::assumed(why),
                choices: Vec::new(),
                hint: "a name, as \"tidewright parts\" lists them",
            });
        }
        return usual.map(|u| Value::assumed(u.clone(), why));
    };
    s.list_found(key, label, &found, "a name, as \"tidewright parts\" lists them");
    let Raw::Text(name) = &found.raw else {
        s.wrong_type(key, &found, "a name in quotes");
        return None;
    };
    let row = all.iter().find(|r| id(r) == name);
    if row.is_none() {
        s.context.report(unknown(s, key, label, name, all.iter().map(|r| id(r).as_str()), found.span.clone()));
    }
    row.map(|r| Value::new(r.clone(), found.birth.clone()))
}

fn unknown<'a>(
    s: &Section<'_>,
    key: &str,
    label: &str,
    name: &str,
    known: impl Iterator<Item = &'a str> + Clone,
    span: Option<std::ops::Range<usize>>,
) -> Finding {
    let f = Finding::new(
        Severity::Stop,
        "unknown-part",
        format!("No such {label}"),
        format!("There is no {label} \"{name}\" in the parts data."),
    )
    .at(s.place(key, span));
    match nearest(name, known.clone()) {
        Some(n) if !matches!(key, "shelf" | "tank_a" | "tank_b") => f.mend_by(
            format!("Did you mean \"{n}\"?"),
            "the rest stays as it is",
            Change { path: s.key(key), value: format!("\"{n}\"") },
        ),
        Some(n) => f.mend(format!("Did you mean \"{n}\"?")),
        None => f.mend(format!("Known: {}.", known.collect::<Vec<_>>().join(", "))),
    }
}

/// What stands on the shelf: the names given, or what usually does; an acid may bring a strength of its own.
fn shelf(s: &Section<'_>) -> Vec<Salt> {
    let library = s.context.library;
    let names = s.texts("shelf", "salts at hand");
    let mut all: Vec<Salt> = Vec::new();
    let span = s.find("shelf").and_then(|f| f.span);
    for name in &names {
        match library.salts().iter().find(|r| r.id == *name) {
            Some(salt) if all.iter().any(|a| a.id == salt.id) => {}
            Some(salt) => all.push(salt.clone()),
            None => s.context.report(unknown(
                s,
                "shelf",
                "salt",
                name,
                library.salts().iter().map(|r| r.id.as_str()),
                span.clone(),
            )),
        }
    }
    if names.is_empty() {
        all = library.salts().iter().filter(|r| r.usual).cloned().collect();
    }
    let strength = s.text("acid_strength", "strength of the acid");
    if let Some(acid) = named(s, "acid", "acid", library.salts(), |r: &Salt| &r.id, None, "") {
        let mut acid = acid.borrowed().clone();
        if !acid.is_acid() {
            s.context.report(
                Finding::new(Severity::Stop, "unknown-part", "No acid", format!("\"{}\" is no acid.", acid.id))
                    .at(s.place("acid", s.find("acid").and_then(|f| f.span)))
                    .mend("Name nitric-acid, phosphoric-acid or sulphuric-acid, or a row of your own."),
            );
        }
        // Whoever names an acid has that one.
        all.retain(|a| !a.is_acid());
        if let Some(text) = &strength {
            match stronger(&acid, text) {
                Some(made) => acid = made,
                None => s.context.report(
                    Finding::new(
                        Severity::Stop,
                        "wrong-unit",
                        "No strength of an acid",
                        format!("\"{text}\" is no strength: a share by mass from 0.5 to 100 %, or mol/L up to 20."),
                    )
                    .at(s.place("acid_strength", s.find("acid_strength").and_then(|f| f.span)))
                    .mend("Write \"38 %\" or \"2 mol/L\", as the label has it."),
                ),
            }
        }
        all.push(acid);
    } else if strength.is_some() {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "missing-value",
                "A strength without its acid",
                "acid_strength stands without the acid that it belongs to.",
            )
            .at(s.place("acid_strength", s.find("acid_strength").and_then(|f| f.span)))
            .mend("Add acid = \"nitric-acid\"."),
        );
    }
    all
}

/// Salts that the user puts into a tank.
fn salts_of_tank(s: &Section<'_>, key: &'static str) -> Vec<String> {
    let names = s.texts(key, "salts in this tank");
    let all = s.context.library.salts();
    let span = s.find(key).and_then(|f| f.span);
    for name in names.iter().filter(|n| all.iter().all(|r| r.id != **n)) {
        s.context.report(unknown(s, key, "salt", name, all.iter().map(|r| r.id.as_str()), span.clone()));
    }
    names
}

/// An acid at another strength. Its density goes straight from that of water to that of the row; volumes by mol/L do not
/// depend on it.
pub(crate) fn stronger(acid: &Salt, text: &str) -> Option<Salt> {
    let text = text.trim();
    let number = |t: &str| t.trim().parse::<f64>().ok().filter(|x| x.is_finite());
    let mut made = acid.clone();
    let (share, density) = (acid.share, acid.density.unwrap_or(1.0));
    if let Some(percent) = text.strip_suffix('%').and_then(number).filter(|p| (0.5..=100.0).contains(p)) {
        made.share = percent / 100.0;
        made.density = Some(1.0 + (density - 1.0) * made.share / share);
    } else {
        let molar =
            text.strip_suffix("mol/L").or_else(|| text.strip_suffix("mol/l")).or_else(|| text.strip_suffix(" M"));
        let molar = molar.and_then(number).filter(|m| (0.005..=20.0).contains(m))?;
        // share x density is mol/L times molar mass; density 1 + slope share.
        let mass = molar * acid.molar_mass / 1000.0;
        let slope = (density - 1.0) / share;
        let by_mass = if slope.abs() < 1e-9 { mass } else { ((1.0 + 4.0 * slope * mass).sqrt() - 1.0) / (2.0 * slope) };
        made.share = by_mass.min(1.0);
        made.density = Some(mass / made.share);
    }
    let name = acid.name.split(',').next().unwrap_or(&acid.name);
    made.name = format!("{name}, {text}");
    Some(made)
}

fn no_feeding() -> Feeding {
    Feeding {
        crop: String::new(),
        uptake: Vec::new(),
        sodium: (1.0, 8.0),
        chloride: (1.0, 10.0),
        ec: (1.0, 2.5),
        ph: (5.5, 6.5),
        ammonium: 0.15,
        source: "built in, common practice".into(),
    }
}

fn no_recipe() -> Recipe {
    Recipe { id: String::new(), name: String::new(), crops: Vec::new(), targets: Vec::new(), source: String::new() }
}

fn no_water() -> Water {
    Water { id: String::new(), name: String::new(), ions: Vec::new(), ph: None, ec: None, source: String::new() }
}
