//! Writing one value back into a bench file, with the user's comments and order kept.

use toml_edit::{DocumentMut, Item, Table, Value};

/// Why a change could not be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditError {
    /// The file itself does not read as TOML.
    Unreadable(String),
    /// The key is not a dotted key.
    BadKey(String),
    /// The value is not a TOML value.
    BadValue(String),
}

impl std::fmt::Display for EditError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Unreadable(e) => write!(f, "the file does not read: {e}"),
            Self::BadKey(k) => write!(f, "there is no place \"{k}\" to write to"),
            Self::BadValue(v) => write!(f, "\"{v}\" is no value"),
        }
    }
}

impl std::error::Error for EditError {}

/// Sets `path` (as in `tray[1].drain.crest`) to a TOML value typed as in the file, and gives back
/// the whole text. An empty value removes the key.
///
/// # Errors
/// [`EditError`]; the text is then unchanged.
pub fn set(text: &str, path: &str, value: &str) -> Result<String, EditError> {
    let out = set_one(text, path, value)?;
    // The writer knows only one kind of line end; a file keeps its own.
    Ok(if text.contains("\r\n") { out.replace("\r\n", "\n").replace('\n', "\r\n") } else { out })
}

fn set_one(text: &str, path: &str, value: &str) -> Result<String, EditError> {
    let mut doc: DocumentMut =
        text.parse().map_err(|e: toml_edit::TomlError| EditError::Unreadable(e.message().to_owned()))?;
    let steps = split(path).ok_or_else(|| EditError::BadKey(path.to_owned()))?;
    let Some(((last, last_index), way)) = steps.split_last() else { return Err(EditError::BadKey(path.to_owned())) };
    if last_index.is_some() {
        return Err(EditError::BadKey(path.to_owned()));
    }
    let bad = || EditError::BadKey(path.to_owned());
    let mut table: &mut dyn toml_edit::TableLike = doc.as_table_mut();
    for (key, index) in way {
        if table.get(key).is_none() && index.is_none() {
            let mut fresh = Table::new();
            fresh.set_implicit(false);
            table.insert(key, Item::Table(fresh));
        }
        let item = table.get_mut(key).ok_or_else(bad)?;
        // The only [[tray]] is also the tray.
        let lone = item.as_array_of_tables().is_some_and(|a| a.len() == 1).then_some(0);
        table = match index.or(lone) {
            None => item.as_table_like_mut().ok_or_else(bad)?,
            Some(i) => match item {
                Item::ArrayOfTables(a) => a.get_mut(i).ok_or_else(bad)?,
                Item::Value(Value::Array(a)) => a.get_mut(i).and_then(Value::as_inline_table_mut).ok_or_else(bad)?,
                // A single [tray] is also tray[0].
                other if i == 0 => other.as_table_like_mut().ok_or_else(bad)?,
                _ => return Err(bad()),
            },
        };
    }
    if value.trim().is_empty() {
        table.remove(last);
        return Ok(doc.to_string());
    }
    let mut new: Value = value.trim().parse().map_err(|_| EditError::BadValue(value.to_owned()))?;
    match table.get_mut(last) {
        Some(Item::Value(old)) => {
            // The comment behind a value and the spaces around it belong to the user.
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        Some(_) => return Err(bad()),
        None => {
            table.insert(last, Item::Value(new));
        }
    }
    Ok(doc.to_string())
}

/// A value typed by a person in a field, as TOML: numbers, flags and lists as they are, the rest in quotes.
pub fn as_toml(typed: &str) -> String {
    let t = typed.trim();
    let plain = t.parse::<Value>().is_ok_and(|v| !v.is_str() && !v.is_datetime());
    let quoted = t.parse::<Value>().is_ok_and(|v| v.is_str());
    if plain || quoted || t.is_empty() { t.to_owned() } else { Value::from(t).to_string() }
}

fn split(path: &str) -> Option<Vec<(String, Option<usize>)>> {
    path.split('.')
        .map(|step| match step.split_once('[') {
            None if !step.is_empty() => Some((step.to_owned(), None)),
            Some((key, rest)) if !key.is_empty() => Some((key.to_owned(), Some(rest.strip_suffix(']')?.parse().ok()?))),
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "# my bench\nname = \"A\"\n\n[tray]\ndepth = \"200 mm\" # by ruler\nlength = \"0.86 m\"\n";

    #[test]
    fn comments_and_order_stay() {
        let out = set(FILE, "tray.depth", "\"210 mm\"").unwrap();
        assert_eq!(out, FILE.replace("200 mm", "210 mm"));
        let out = set(FILE, "tray.drain.crest", "\"80 mm\"").unwrap();
        assert!(out.contains("[tray.drain]\ncrest = \"80 mm\"") && out.contains("# by ruler"));
        assert_eq!(set(FILE, "tray.depth", "").unwrap().matches("depth").count(), 0);
        let listed = FILE.replace("[tray]", "[[tray]]");
        assert_eq!(set(&listed, "tray.depth", "\"210 mm\"").unwrap(), listed.replace("200 mm", "210 mm"));
        let windows = FILE.replace('\n', "\r\n");
        assert_eq!(set(&windows, "tray.depth", "\"210 mm\"").unwrap(), windows.replace("200 mm", "210 mm"));
    }

    #[test]
    fn nonsense_is_refused_and_changes_nothing() {
        for (path, value) in
            [("", "1"), ("tray..x", "1"), ("tray", "1"), ("name.x", "1"), ("tray[3].x", "1"), ("tray.depth", "[1, ")]
        {
            assert!(set(FILE, path, value).is_err(), "{path} {value}");
        }
    }

    #[test]
    fn typed_text_becomes_toml() {
        assert_eq!(as_toml("200 mm"), "\"200 mm\"");
        assert_eq!(as_toml("12"), "12");
        assert_eq!(as_toml("true"), "true");
        assert_eq!(as_toml("[\"07:00\"]"), "[\"07:00\"]");
        assert_eq!(as_toml("\"x\""), "\"x\"");
        assert_eq!(as_toml("1/2\" hose"), "'1/2\" hose'");
    }
}
