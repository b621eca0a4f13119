//! The parts list: quantities from the drawing, a price for each, what is there already; and its CSV.

mod csv_list;
mod members;

use crate::book::cuts::TRIM_M;
use crate::fit;
use serde::Serialize;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Entry, Feed, Price, TimerKind, Tray, Valve};

/// More hose than its way: bends, and a hand's breadth at each end \[-\]. Common practice: a tenth.
const HOSE_SPARE: f64 = 1.1;

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Item {
    /// Name in the price data, and of a line of the CSV.
    pub id: String,
    /// For people.
    pub name: String,
    /// Size and remarks.
    pub spec: String,
    /// How much, and in what.
    pub quantity: f64,
    /// Unit: piece, m, m2, L, kg.
    pub unit: String,
    /// Price of one unit.
    pub price: Option<f64>,
    /// Currency and day of the price, and who said so.
    pub currency: String,
    /// Day, year-month-day.
    pub date: String,
    /// Who said so.
    pub source: String,
    /// Whether it is there already.
    pub owned: bool,
}

impl Item {
    /// What it costs; nil where it is there, none where nobody said a price.
    pub fn cost(&self) -> Option<f64> {
        if self.owned { Some(0.0) } else { self.price.map(|p| p * self.quantity) }
    }
}

struct Draft<'r> {
    rig: &'r Rig,
    items: Vec<Item>,
}

impl Draft<'_> {
    /// Adds a line; lines of the same name and size grow. `ids`: names in the price data, the first found wins.
    fn add(&mut self, ids: &[&str], name: &str, spec: String, quantity: f64, unit: &str) {
        let Some(first) = ids.first() else { return };
        if quantity <= 0.0 {
            return;
        }
        if let Some(same) = self.items.iter_mut().find(|i| i.id == *first && i.spec == spec && i.name == name) {
            same.quantity += quantity;
            return;
        }
        let costs = &self.rig.costs;
        let price = ids.iter().find_map(|id| costs.prices.iter().find(|p| p.id == *id));
        let owned = ids.iter().any(|id| costs.owned.iter().any(|o| o == id));
        let priced = price.filter(|p| p.currency == costs.currency);
        self.items.push(Item {
            id: (*first).to_owned(),
            name: name.to_owned(),
            spec,
            quantity,
            unit: unit.to_owned(),
            price: priced.map(|p| p.price),
            currency: costs.currency.clone(),
            date: priced.map_or_else(String::new, |p| p.date.clone()),
            source: priced.map_or_else(String::new, |p| p.source.clone()),
            owned,
        });
    }
}

/// The part that a section names, or nothing.
fn part_of(rig: &Rig, paths: &[String]) -> Option<String> {
    rig.sheet.iter().find(|l| paths.contains(&l.path)).map(|l| l.text.trim_matches('"').to_owned())
}

/// Everything to buy or to have.
pub fn list(rig: &Rig) -> Vec<Item> {
    let u = rig.system;
    let mut d = Draft { rig, items: Vec::new() };
    let r = &rig.reservoir;
    let part = part_of(rig, &["reservoir.part".into()]).unwrap_or_default();
    let ids = [part.as_str(), "reservoir"];
    let named: &[&str] = if part.is_empty() { &ids[1..] } else { &ids };
    d.add(named, "reservoir with lid", u.volume(r.shape.full().value), 1.0, "piece");
    pumps(rig, &mut d);
    for (i, t) in rig.trays.iter().enumerate() {
        tray(rig, i, t, &mut d);
    }
    timer(rig, &mut d);
    d.add(
        &["residual-current-plug"],
        "residual-current plug",
        "before every socket of the bench; an electrician says which".into(),
        1.0,
        "piece",
    );
    air(rig, &mut d);
    for (i, l) in rig.lamps.iter().enumerate() {
        let lone = if rig.lamps.len() == 1 { "lamp.part".to_owned() } else { String::new() };
        let part = part_of(rig, &[lone, format!("lamp[{i}].part")]).unwrap_or_default();
        let own = format!("lamp-of-{:.0}-w", l.power.get().value);
        let ids = [if part.is_empty() { own.as_str() } else { part.as_str() }, "lamp"];
        d.add(&ids, "lamp", format!("{:.0} W", l.power.get().value), 1.0, "piece");
        d.add(&["lamp-hanger"], "hangers for a lamp", String::new(), 1.0, "piece");
    }
    extras(rig, &mut d);
    members(rig, &mut d);
    d.add(
        &["sealant"],
        "washers and sealant for potable water",
        "one set a tray".into(),
        rig.trays.len() as f64,
        "piece",
    );
    d.items
}

/// What heats, cools, switches and protects.
fn extras(rig: &Rig, d: &mut Draft<'_>) {
    let watts = |x: f64| format!("{x:.0} W");
    if let Some(h) = &rig.warmth.heater {
        d.add(&["heater"], "heater with thermostat, one that may not run dry", watts(h.get().value), 1.0, "piece");
    }
    if let Some(c) = &rig.warmth.chiller {
        d.add(&["chiller"], "chiller", format!("takes out {}", watts(c.get().value)), 1.0, "piece");
    }
    if let Some(b) = &rig.mains.battery {
        d.add(&["battery"], "battery for the air pump", format!("{:.0} Wh", b.get().value / 3600.0), 1.0, "piece");
    }
    if rig.mains.contactor.get() {
        d.add(&["contactor"], "contactor for the lamps", "an electrician fits it".into(), 1.0, "piece");
    }
    d.add(&["meter-ec"], "EC meter and its standard", String::new(), 1.0, "piece");
    d.add(&["meter-ph"], "pH meter and two buffers", String::new(), 1.0, "piece");
    d.add(
        &["goggles-gloves"],
        "goggles and gloves",
        "for acids, bleach and the saw (gloves off at the drill)".into(),
        1.0,
        "piece",
    );
}

fn pumps(rig: &Rig, d: &mut Draft<'_>) {
    let u = rig.system;
    for (i, p) in rig.pumps.iter().enumerate() {
        let part = part_of(rig, &["pump.part".into(), format!("pump[{i}].part")]).unwrap_or_default();
        let ids = [part.as_str(), "pump"];
        let named: &[&str] = if part.is_empty() { &ids[1..] } else { &ids };
        let curve = p.curve.borrowed();
        let spec = format!("{}, {} of head", u.flow(curve.open_flow().value), u.distance(curve.max_head().value));
        d.add(named, "pump, submersible", spec, 1.0, "piece");
        hose(rig, d, &p.feed, way_m(rig, i), "feed hose");
        for f in &p.feed.fittings {
            fittings(d, &f.kind, f.count);
        }
        if let Some(b) = &p.bypass {
            let metres = (b.length.get().value * HOSE_SPARE * 10.0).ceil() / 10.0;
            d.add(&["hose"], "bypass hose", format!("true bore {}", u.length(b.bore.get().value)), metres, "m");
        }
    }
}

fn fittings(d: &mut Draft<'_>, kind: &str, count: u32) {
    // Ends of a hose are none to buy.
    if ["entrance", "square entrance", "exit"].contains(&kind) {
        return;
    }
    d.add(&[&format!("fitting-{}", kind.replace(' ', "-")), "fitting"], kind, String::new(), f64::from(count), "piece");
}

/// Length of a pump's feed: what the bench file says, or its way, whichever is more \[m\].
pub fn feed_length_m(rig: &Rig, pump: usize) -> f64 {
    rig.pumps[pump].feed.length.get().value.max(way_m(rig, pump))
}

/// The way of a pump's feed by the layout \[m\]: up to its highest tray, across half of the reservoir, and a hand's breadth.
fn way_m(rig: &Rig, pump: usize) -> f64 {
    let from = rig.reservoir.elevation.get().value + rig.pumps[pump].inlet_height.get().value;
    let across = 0.5 * rig.reservoir.shape.plan_at(rig.reservoir.shape.depth()).0.value;
    let up = |t: &Tray| {
        let over = match &t.entry {
            Entry::Floor => 0.0,
            Entry::OverRim { bend, end, .. } => bend.get().value + (bend.get() - end.get()).value.abs(),
        };
        t.elevation.get().value + over - from
    };
    // A manifold's branches have lengths of their own.
    let direct = rig.trays_of(pump).filter(|(_, t)| t.branch.is_none()).map(|(_, t)| up(t)).fold(0.0, f64::max);
    if direct > 0.0 { direct + across + 0.1 } else { 0.0 }
}

/// A hose as long as the bench file says, or as its way asks for, whichever is more, and a tenth to spare.
fn hose(rig: &Rig, d: &mut Draft<'_>, f: &Feed, way_m: f64, name: &str) {
    let u = rig.system;
    let bore = f.bore.get().value;
    let metres = (f.length.get().value.max(way_m) * HOSE_SPARE * 10.0).ceil() / 10.0;

    let id = if bore > 0.0165 { "hose-large" } else { "hose" };
    d.add(&[id], name, format!("true bore {}, a tenth to spare", u.length(bore)), metres, "m");
    d.add(&["hose-clamp"], "hose clamp", format!("for a bore of {}", u.length(bore)), 2.0, "piece");
}

fn tray(rig: &Rig, i: usize, t: &Tray, d: &mut Draft<'_>) {
    let u = rig.system;
    let part = part_of(rig, &["tray.part".into(), format!("tray[{i}].part")]).unwrap_or_default();
    let ids = [part.as_str(), "tray"];
    let named: &[&str] = if part.is_empty() { &ids[1..] } else { &ids };
    let (l, w) = t.shape.plan_at(t.rim());
    let (l, w, deep) = (u.length(l.value), u.length(w.value), u.length(t.rim().value));
    let size = if t.shape.is_round() {
        format!("{l} across, {deep} deep inside")
    } else {
        format!("{l} × {w} × {deep} inside")
    };
    d.add(named, "tray", size, 1.0, "piece");
    if let Some(b) = &t.branch {
        hose(rig, d, &b.hose, 0.0, "branch hose");
        for f in &b.hose.fittings {
            fittings(d, &f.kind, f.count);
        }
        if matches!(b.valve, Valve::Timed { .. }) {
            d.add(&["branch-valve"], "motor valve of a branch", String::new(), 1.0, "piece");
        }
    }
    for h in fit::holes(t) {
        let id = if h.what == "flood fitting" { "flood-fitting" } else { "drain-fitting" };
        d.add(&[id], h.what, format!("for a hole of {}", u.length(h.diameter_m)), 1.0, "piece");
    }
    if let Some(r) = &t.drain.riser {
        let cut = r.cut_for(r.crest.height.get()).value + TRIM_M;
        d.add(
            &["riser-tube"],
            "tube for the riser",
            format!("true bore {}", u.length(r.bore.get().value)),
            cut * r.count.get(),
            "m",
        );
        if t.drain.strainer.fitted.get() {
            d.add(&["strainer"], "strainer for the riser", String::new(), r.count.get(), "piece");
        }
        let metres = (t.drain.back.length.get().value * HOSE_SPARE * 10.0).ceil() / 10.0;
        d.add(
            &["return-pipe"],
            "return hose",
            format!("true bore {}", u.length(t.drain.back.bore.get().value)),
            metres,
            "m",
        );
    }
    match (&t.blocks, &t.bed) {
        (_, Some(b)) => {
            let litres = 1e3 * t.shape.volume(b.depth.get()).value;
            d.add(&["medium"], &b.medium.name, "washed before use".into(), litres.ceil(), "L");
        }
        (Some(b), None) => {
            let size = format!(
                "{} × {} × {}",
                u.length(b.length.get().value),
                u.length(b.width.get().value),
                u.length(b.height.get().value)
            );
            d.add(&["block"], &format!("blocks of {}", b.medium.name), size, b.count.get() * b.layers.get(), "piece");
        }
        (None, None) => {}
    }
    if let Some(c) = fit::cover(rig, i) {
        let size = format!("{}, opaque, white side up", c.size(u));
        d.add(&["cover"], "cover", size, (c.sheet_m.0 * c.sheet_m.1 * 100.0).ceil() / 100.0, "m2");
    }
}

fn timer(rig: &Rig, d: &mut Draft<'_>) {
    let (id, name) = match rig.timer.kind.get() {
        TimerKind::Pins => ("timer-pins", "pin timer"),
        TimerKind::Digital => ("timer-digital", "digital timer"),
        TimerKind::Interval => ("timer-interval", "interval timer"),
    };
    d.add(
        &[id],
        name,
        "one for each pump, and one for the lamps".into(),
        rig.pumps.len() as f64 + if rig.lamps.is_empty() { 0.0 } else { 1.0 },
        "piece",
    );
}

fn air(rig: &Rig, d: &mut Draft<'_>) {
    let Some(a) = &rig.aeration else { return };
    let u = rig.system;
    let part = part_of(rig, &["air.part".into()]).unwrap_or_default();
    let ids = [part.as_str(), "air-pump"];
    let named: &[&str] = if part.is_empty() { &ids[1..] } else { &ids };
    let curve = a.pump.curve.borrowed();
    let spec = format!("{:.1} L/min, {:.0} kPa", 6e4 * curve.flow_m3_s(0.0), 1e-3 * curve.max_pressure().value);
    d.add(named, "air pump", spec, 1.0, "piece");
    for (i, s) in a.stones.iter().enumerate() {
        let part = part_of(rig, &["air.stone.part".into(), format!("air.stone[{i}].part")]).unwrap_or_default();
        let ids = [part.as_str(), "stone"];
        let named: &[&str] = if part.is_empty() { &ids[1..] } else { &ids };
        d.add(named, "air stone", String::new(), 1.0, "piece");
        let metres = (s.length.get().value * HOSE_SPARE * 10.0).ceil() / 10.0;
        d.add(&["air-line"], "air line", format!("true bore {}", u.length(s.bore.get().value)), metres, "m");
    }
    if a.pump.check_valve.get() {
        d.add(&["check-valve-air"], "check valve for air", String::new(), 1.0, "piece");
    }
}

/// Sum of what has a price, and how many lines have none.
pub fn total(items: &[Item]) -> (f64, usize) {
    items.iter().fold((0.0, 0), |(sum, none), i| match i.cost() {
        Some(c) => (sum + c, none),
        None => (sum, none + 1),
    })
}

pub use csv_list::{read_csv, write_csv};
use members::members;
pub use members::stand_cuts;

/// The bench with prices and what is owned out of a list.
#[must_use]
pub fn with_prices(rig: &Rig, prices: Vec<Price>, owned: Vec<String>) -> Rig {
    let mut rig = rig.clone();
    for p in prices {
        let currency = if p.currency.is_empty() { rig.costs.currency.clone() } else { p.currency.clone() };
        let stock = rig.costs.prices.iter().find(|o| o.id == p.id).map_or(0.0, |o| o.stock_m);
        rig.costs.prices.retain(|o| o.id != p.id);
        rig.costs.prices.push(Price { currency, stock_m: stock, ..p });
    }
    rig.costs.owned.extend(owned);
    rig
}
