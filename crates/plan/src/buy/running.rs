//! What running a bench costs: a day, a crop, a litre, a plant.

use super::list::{list, total};
use crate::power;
use crate::solution::outlook::{glance, litres_a_day};
use serde::Serialize;
use tidewright_rig::Rig;
use tidewright_rig::bench::TopUpWith;

/// What running costs, in the bench's currency.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Running {
    /// Three letters.
    pub currency: String,
    /// Lines of a day: what, how much with its unit, cost.
    pub day: Vec<(String, String, f64)>,
    /// A day.
    pub a_day: f64,
    /// Days of a crop.
    pub days: f64,
    /// A crop: the days, its first filling, media and seedlings.
    pub a_crop: f64,
    /// First filling, blocks and seedlings.
    pub start: Vec<(String, f64)>,
    /// A litre of solution as it is mixed: water and salts.
    pub a_litre: Option<f64>,
    /// Each plant of a crop, running alone.
    pub a_plant: f64,
    /// Each plant with the bench itself spread over so many crops.
    pub a_plant_with_bench: f64,
    /// Crops that the bench is spread over.
    pub crops: f64,
    /// The bench: what has a price, and lines without.
    pub bench: (f64, usize),
    /// Plants.
    pub plants: f64,
}

/// Crops over which the bench is written off. Common practice: ten.
const CROPS: f64 = 10.0;

/// Costs of running; `heat_j`: work of heater and chiller in a day.
pub fn running(rig: &Rig, heat_j: [f64; 2]) -> Running {
    let c = &rig.costs;
    let tariff = c.electricity.get();
    let e = power::of(rig);
    let mut day = Vec::new();
    for l in &e.loads {
        let mut kwh = l.power_w * l.hours / 1000.0;
        // A lamp may bear any name.
        match (l.switched_by, l.name.as_str()) {
            (power::THERMOSTAT, "heater") => kwh = heat_j[0] / 3.6e6,
            (power::THERMOSTAT, _) => kwh = heat_j[1] / 3.6e6 / power::CHILLER_EFFICIENCY,
            _ => {}
        }
        day.push((l.name.clone(), format!("{kwh:.2} kWh"), kwh * tariff));
    }
    let drinks = litres_a_day(rig);
    let water = c.water.get() / 1000.0;
    day.push(("water that the crop drinks".into(), format!("{drinks:.1} L"), drinks * water));
    let outlook = glance(rig);
    let sheet = outlook.sheet.as_ref().ok();
    // Salts of a litre by what the sheet weighs out.
    let salts = sheet.and_then(|s| {
        let mut sum = 0.0;
        for l in s.lines.iter().chain(s.acids.iter().map(|a| &a.0)) {
            let salt = s.shelf.get(l.salt)?;
            let kg = if l.unit == "mL" { 1e-3 * l.exact * salt.density.unwrap_or(1.2) } else { 1e-3 * l.exact };
            sum += kg * salt.price?;
        }
        let litres = if s.concentrate > 1.0 { s.tank_litres * s.concentrate } else { s.litres };
        Some(sum / litres)
    });
    let strength = match rig.mixing.top_up.get() {
        TopUpWith::Plain => 0.0,
        TopUpWith::Half => 0.5,
        TopUpWith::Full => 1.0,
    };
    if let Some(s) = salts.filter(|_| strength > 0.0) {
        day.push(("salts with it".into(), format!("{:.0} % strength", 100.0 * strength), drinks * s * strength));
    }
    let a_day: f64 = day.iter().map(|d| d.2).sum();
    let days: f64 = rig.growing.crop.days.iter().sum();
    let fill = 1e3 * rig.reservoir.fill.get().value;
    let plants: f64 =
        rig.trays.iter().filter_map(|t| t.blocks.as_ref()).map(|b| b.count.get() * rig.growing.plants.get()).sum();
    let items = list(rig);
    let blocks = || items.iter().filter(|i| i.id == "block");
    let media = blocks().filter_map(super::list::Item::cost).fold(0.0, |a, b| a + b);
    // What has no price is named: nothing is free because nobody said.
    let named = |what: &str, known: bool| if known { what.to_owned() } else { format!("{what}, without a price") };
    let start = vec![
        (
            if salts.is_some() { "first filling".into() } else { "first filling, its water alone".to_owned() },
            fill * (water + salts.unwrap_or(0.0)),
        ),
        (named("blocks", blocks().all(|i| i.cost().is_some())), media),
        ("seedlings".to_owned(), (plants * c.plug.get()).max(0.0)),
    ];
    let a_crop = a_day * days + start.iter().map(|s| s.1).sum::<f64>();
    let bench = total(&items);
    let each = |sum: f64| if plants > 0.0 { sum / plants } else { 0.0 };
    Running {
        currency: c.currency.clone(),
        a_day,
        days,
        a_litre: salts.map(|s| s + water),
        a_plant: each(a_crop),
        a_plant_with_bench: each(a_crop + (bench.0 - media).max(0.0) / CROPS),
        crops: CROPS,
        a_crop,
        start,
        bench,
        plants,
        day,
    }
}
