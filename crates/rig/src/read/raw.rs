//! A value as written, whether in a bench file or in a part.

use toml::de::DeValue;

/// A TOML value without its place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Raw {
    Text(String),
    Number(f64),
    Flag(bool),
    List(Vec<Raw>),
    Table,
    Date,
}

impl Raw {
    pub(crate) fn of(value: &DeValue<'_>) -> Self {
        match value {
            DeValue::String(s) => Self::Text(s.to_string()),
            DeValue::Integer(i) => {
                let digits = i.as_str().replace('_', "");
                let n = i64::from_str_radix(&digits, i.radix()).map_or(f64::NAN, |n| n as f64);
                Self::Number(n)
            }
            DeValue::Float(f) => Self::Number(f.as_str().replace('_', "").parse().unwrap_or(f64::NAN)),
            DeValue::Boolean(b) => Self::Flag(*b),
            DeValue::Datetime(_) => Self::Date,
            DeValue::Array(a) => Self::List(a.iter().map(|v| Self::of(v.get_ref())).collect()),
            DeValue::Table(_) => Self::Table,
        }
    }

    pub(crate) fn of_part(value: &toml::Value) -> Self {
        match value {
            toml::Value::String(s) => Self::Text(s.clone()),
            toml::Value::Integer(i) => Self::Number(*i as f64),
            toml::Value::Float(f) => Self::Number(*f),
            toml::Value::Boolean(b) => Self::Flag(*b),
            toml::Value::Datetime(_) => Self::Date,
            toml::Value::Array(a) => Self::List(a.iter().map(Self::of_part).collect()),
            toml::Value::Table(_) => Self::Table,
        }
    }

    /// What a person would call it.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Number(_) => "a bare number",
            Self::Flag(_) => "true or false",
            Self::List(_) => "a list",
            Self::Table => "a table",
            Self::Date => "a date or time",
        }
    }

    /// As TOML, one line.
    pub(crate) fn toml(&self) -> String {
        match self {
            Self::Text(t) => toml_edit::Value::from(t.as_str()).to_string(),
            Self::List(l) => format!("[{}]", l.iter().map(Self::toml).collect::<Vec<_>>().join(", ")),
            other => other.typed(),
        }
    }

    /// As it would be typed.
    pub(crate) fn typed(&self) -> String {
        match self {
            Self::Text(t) => t.clone(),
            Self::Number(n) => format!("{n}"),
            Self::Flag(b) => format!("{b}"),
            Self::List(l) => format!("[{}]", l.iter().map(Self::typed).collect::<Vec<_>>().join(", ")),
            Self::Table => "{…}".into(),
            Self::Date => "(date)".into(),
        }
    }
}
