//! A value that remembers where it came from, and how far it may be off.

use serde::Serialize;

/// Where a value was born.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "birth", rename_all = "lowercase")]
pub enum Birth {
    /// Written in the bench file.
    Given {
        /// Line in the file, from 1.
        line: usize,
    },
    /// Taken from a part of the library.
    Part {
        /// Which part.
        part: String,
        /// The part's own source.
        source: String,
    },
    /// Nobody said: a usual value stands in.
    Assumed {
        /// Its source, or the words "common practice".
        why: String,
    },
    /// Measured on this bench.
    Measured {
        /// The reading it came from.
        reading: String,
    },
    /// Follows from other values.
    Derived {
        /// From which.
        from: String,
    },
}

impl Birth {
    /// A usual value and why.
    pub fn assumed(why: &str) -> Self {
        Self::Assumed { why: why.to_owned() }
    }

    /// One word for tables.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Given { .. } => "given",
            Self::Part { .. } => "part",
            Self::Assumed { .. } => "assumed",
            Self::Measured { .. } => "measured",
            Self::Derived { .. } => "derived",
        }
    }

    /// The whole story in a few words.
    pub fn story(&self) -> String {
        match self {
            Self::Given { line } => format!("given, line {line}"),
            Self::Part { part, source } => format!("part {part}: {source}"),
            Self::Assumed { why } => format!("assumed: {why}"),
            Self::Measured { reading } => format!("measured: {reading}"),
            Self::Derived { from } => format!("from {from}"),
        }
    }
}

/// A value with its birth.
#[derive(Clone, Debug, PartialEq)]
pub struct Value<T> {
    value: T,
    /// Where it came from.
    pub birth: Birth,
}

impl<T> Value<T> {
    /// A value and its birth.
    pub fn new(value: T, birth: Birth) -> Self {
        Self { value, birth }
    }

    /// A usual value and why.
    pub fn assumed(value: T, why: &str) -> Self {
        Self::new(value, Birth::assumed(why))
    }

    /// Whether nobody said.
    pub fn is_assumed(&self) -> bool {
        matches!(self.birth, Birth::Assumed { .. })
    }

    /// The value, borrowed.
    pub fn borrowed(&self) -> &T {
        &self.value
    }
}

impl<T: Copy> Value<T> {
    /// The value.
    pub fn get(&self) -> T {
        self.value
    }
}

/// How far an uncertain number may lie: a triangle from `low` over `mode` to `high`, on a straight
/// or a logarithmic axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// Least value.
    pub low: f64,
    /// Most likely value.
    pub mode: f64,
    /// Greatest value.
    pub high: f64,
    /// Whether the triangle stands on a logarithmic axis.
    pub log: bool,
}

impl Spread {
    /// A triangle on a straight axis.
    pub const fn linear(low: f64, mode: f64, high: f64) -> Self {
        Self { low, mode, high, log: false }
    }

    /// A triangle on a logarithmic axis; all three above zero.
    pub const fn log(low: f64, mode: f64, high: f64) -> Self {
        Self { low, mode, high, log: true }
    }

    /// No spread at all.
    pub const fn fixed(value: f64) -> Self {
        Self { low: value, mode: value, high: value, log: false }
    }

    /// The value below which the share `u` of all values lies (inverse of the triangle's
    /// distribution function).
    pub fn quantile(&self, u: f64) -> f64 {
        if self.log {
            let line = Self::linear(self.low.ln(), self.mode.ln(), self.high.ln());
            return line.quantile(u).exp();
        }
        let width = self.high - self.low;
        if width <= 0.0 {
            return self.mode;
        }
        let peak = (self.mode - self.low) / width;
        if u < peak {
            self.low + (u * width * (self.mode - self.low)).sqrt()
        } else {
            self.high - ((1.0 - u) * width * (self.high - self.mode)).sqrt()
        }
    }

    /// The middle value, which a nominal run uses.
    pub fn median(&self) -> f64 {
        self.quantile(0.5)
    }
}
