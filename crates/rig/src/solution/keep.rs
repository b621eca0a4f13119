//! A water report typed in on a page, as a row of a parts file; what stands in that file stays.

use crate::parts::Library;
use std::collections::BTreeMap;
use toml_edit::{ArrayOfTables, DocumentMut, InlineTable, Item, Table, value};

/// A report as somebody typed it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Typed {
    /// Name for people.
    pub name: String,
    /// pH, or nothing.
    pub ph: String,
    /// Ion and amount with its unit.
    pub ions: BTreeMap<String, String>,
}

impl Typed {
    /// Name in data: letters and figures of the name; one of one's own where the shipped data have it.
    ///
    /// # Errors
    /// Where the name has none.
    pub fn id(&self) -> Result<String, String> {
        let all: String =
            self.name.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        let id = all.split('-').filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-");
        if id.is_empty() {
            return Err("The water needs a name with letters or figures in it.".into());
        }
        let shipped = Library::shipped().waters().iter().any(|w| w.id == id);
        Ok(if shipped { format!("my-{id}") } else { id })
    }

    /// A parts file with this row alone.
    ///
    /// # Errors
    /// Where name or pH cannot stand.
    pub fn as_part(&self) -> Result<String, String> {
        let mut doc = DocumentMut::new();
        let mut rows = ArrayOfTables::new();
        rows.push(self.row()?);
        doc["water"] = Item::ArrayOfTables(rows);
        Ok(doc.to_string())
    }

    fn row(&self) -> Result<Table, String> {
        let mut row = Table::new();
        row["id"] = value(self.id()?);
        row["name"] = value(self.name.trim());
        let mut ions = InlineTable::new();
        for (key, text) in &self.ions {
            ions.insert(key, text.as_str().into());
        }
        row["ions"] = value(ions);
        let ph = self.ph.trim();
        if !ph.is_empty() {
            let ph: f64 = ph.parse().map_err(|_| format!("\"{ph}\" is no pH: a number such as 7.4."))?;
            row["ph"] = value(ph);
        }
        row["source"] = value("typed in from a report");
        Ok(row)
    }

    /// The text of a parts file with this row in it, in place of one of the same name.
    ///
    /// # Errors
    /// Where the file does not read, or the row cannot stand.
    pub fn put_into(&self, parts: &str) -> Result<String, String> {
        let mut doc: DocumentMut = parts.parse().map_err(|e: toml_edit::TomlError| e.message().to_owned())?;
        let id = self.id()?;
        let all = doc.entry("water").or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
        let Some(all) = all.as_array_of_tables_mut() else {
            return Err("\"water\" is not a list of [[water]] rows.".into());
        };
        all.retain(|t| t.get("id").and_then(|i| i.as_str()) != Some(id.as_str()));
        all.push(self.row()?);
        Ok(doc.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(name: &str) -> Typed {
        Typed { name: name.into(), ph: "7.4".into(), ions: [("Ca".to_owned(), "100 mg/L".to_owned())].into() }
    }

    #[test]
    fn a_kept_report_reads_again_and_leaves_the_rest() {
        let old = "# mine\n[[salt]]\nid = \"x\" # as it was\n";
        let once = typed("Our Tap!").put_into(old).unwrap();
        let twice = typed("Our tap").put_into(&once).unwrap();
        assert!(twice.contains("# as it was") && twice.matches("our-tap").count() == 1, "{twice}");
        let mut library = Library::default();
        library.add("t", &typed("Our Tap").as_part().unwrap()).unwrap();
        assert_eq!(library.waters()[0].id, "our-tap");
    }

    #[test]
    fn hostile_reports_are_refused() {
        assert!(typed("…").id().is_err());
        assert!(Typed { ph: "seven".into(), ..typed("a") }.as_part().is_err());
        assert!(typed("a").put_into("water = 3").is_err() && typed("a").put_into("[[[").is_err());
        assert_eq!(typed("hard tap").id().unwrap(), "my-hard-tap");
        let quoted = Typed { name: "a\"\n[[x]]".into(), ..typed("a") };
        assert!(Library::default().add("t", &quoted.as_part().unwrap()).is_ok());
    }
}
