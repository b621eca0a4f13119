//! Which field of the bench file a drawn part stands for.

use tidewright_rig::Rig;

/// The id of a field's element: the dotted key with everything but letters and digits made a dash.
pub fn field_id(path: &str) -> String {
    let safe: String = path.chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }).collect();
    format!("f-{safe}")
}

/// The key of a tray's field: its own section, or the one shared by a bench of one tray.
pub fn of_tray(rig: &Rig, tray: usize, field: &str) -> Option<String> {
    [format!("tray[{tray}].{field}"), format!("tray.{field}"), field.to_owned()].into_iter().find(|k| listed(rig, k))
}

/// The key of a pump's field.
pub fn of_pump(rig: &Rig, pump: usize, field: &str) -> Option<String> {
    Some(rig.key_of_pump(pump, field)).filter(|k| listed(rig, k))
}

/// The key of a field of a pump's hose.
pub fn of_feed(rig: &Rig, pump: usize, field: &str) -> Option<String> {
    Some(rig.key_of_feed(pump, field)).filter(|k| listed(rig, k))
}

/// A key as it stands, where the sheet has it.
pub fn plain(rig: &Rig, key: &str) -> Option<String> {
    Some(key.to_owned()).filter(|k| listed(rig, k))
}

/// A value as its person typed it, where it was given or comes from a part; else the words for it.
pub fn as_typed(rig: &Rig, path: Option<&str>, words: String) -> String {
    use tidewright_rig::Birth;
    rig.sheet
        .iter()
        .find(|l| Some(l.path.as_str()) == path)
        .filter(|l| matches!(l.birth, Birth::Given { .. } | Birth::Part { .. }) && l.text.chars().count() <= 14)
        .map_or(words, |l| l.text.clone())
}

fn listed(rig: &Rig, key: &str) -> bool {
    rig.sheet.iter().any(|l| l.path == key)
}

/// A drawn thing that leads to its field: a link, so that it works by keyboard and without script.
pub fn linked(path: Option<&str>, label: &str, inner: &str) -> String {
    use crate::svg::escape;
    match path {
        Some(p) => format!(
            "<a class=\"part-link\" href=\"#{}\" data-path=\"{}\" aria-label=\"{}\">{inner}</a>",
            field_id(p),
            escape(p),
            escape(label)
        ),
        None => format!("<g>{inner}</g>"),
    }
}
