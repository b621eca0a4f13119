use crate::value::Value;

/// Money.
#[derive(Clone, Debug, PartialEq)]
pub struct Costs {
    /// Whether the file has a section on it.
    pub stated: bool,
    /// Three letters, as ISO 4217 has them.
    pub currency: String,
    /// Day of the prices, year-month-day; empty where nobody said.
    pub date: String,
    /// A kilowatt hour.
    pub electricity: Value<f64>,
    /// A cubic metre of water.
    pub water: Value<f64>,
    /// Items that are there already.
    pub owned: Vec<String>,
    /// Hours of a person's work are not counted; seeds or plugs, each.
    pub plug: Value<f64>,
    /// Prices of items, those of the bench's own first.
    pub prices: Vec<Price>,
}

/// Price of an item.
#[derive(Clone, Debug, PartialEq, serde::Deserialize, serde::Serialize)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// Item: a part's name in the parts data, or an item of the parts list.
    pub id: String,
    /// For people.
    #[serde(default)]
    pub name: String,
    /// Price of one unit.
    pub price: f64,
    /// Unit: "piece", "m", "kg", "L".
    #[serde(default = "piece")]
    pub unit: String,
    /// Length in which it is sold \[m\]; nil where it is cut to measure.
    #[serde(default)]
    pub stock_m: f64,
    /// Three letters.
    pub currency: String,
    /// Day, year-month-day.
    pub date: String,
    /// Who said so.
    pub source: String,
}

fn piece() -> String {
    "piece".into()
}
