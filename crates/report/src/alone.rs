//! A drawing or chart as a file of its own.

use crate::page::CSS;

/// The text of one of this crate's SVGs as a complete file: its namespace, its style, and for drawings
/// to scale their true size in millimetres.
pub fn alone(svg: &str) -> String {
    let Some(end) = svg.find('>') else { return svg.to_owned() };
    let (head, rest) = svg.split_at(end);
    // The wide and the narrow drawing of a page hide each other; alone there is nothing to hide.
    let head = head.replacen(" wide", "", 1).replacen(" narrow", "", 1);
    let head = head.replacen("<svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"", 1);
    let size = |name: &str| head.split(&format!("--print-{name}:")).nth(1).and_then(|s| s.split("mm").next());
    let (size, style) = match (size("w"), size("h")) {
        (Some(w), Some(h)) => (format!(" width=\"{w}mm\" height=\"{h}mm\""), format!("width: {w}mm; height: {h}mm; ")),
        _ => (String::new(), String::new()),
    };
    let rest = rest.strip_prefix('>').unwrap_or(rest);
    // A chart's cursor is for hands; in a file it would only cover the curve.
    format!(
        "{head}{size}><style>{CSS} svg {{ {style}background: var(--card); \
         font-family: \"Liberation Sans\", Helvetica, Arial, sans-serif; }} .cursor {{ display: none; }}</style>{rest}\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_of_its_own_has_namespace_style_and_size() {
        let out =
            alone("<svg class=\"drawing section wide\" style=\"--print-w:192.70mm;--print-h:123.85mm\"><g/></svg>");
        assert!(out.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing section\""));
        assert!(out.contains("width=\"192.70mm\" height=\"123.85mm\"><style>") && out.ends_with("<g/></svg>\n"));
        assert!(!CSS.contains('<') && !CSS.contains('&'), "the style must stand in XML as it is");
    }
}
