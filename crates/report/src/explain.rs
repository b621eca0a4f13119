//! Explanation pages: a little markdown, made safe.

use crate::svg::escape;

/// Markdown to HTML: headings, paragraphs, lists, code, bold, links within the site. Everything else is text.
pub fn markdown(text: &str) -> String {
    let mut out = String::new();
    let mut paragraph: Vec<&str> = Vec::new();
    let mut list: Option<&'static str> = None;
    let mut code = false;
    let flush = |out: &mut String, paragraph: &mut Vec<&str>| {
        if !paragraph.is_empty() {
            out.push_str(&format!("<p>{}</p>\n", inline(&paragraph.join(" "))));
            paragraph.clear();
        }
    };
    let close = |out: &mut String, list: &mut Option<&'static str>| {
        if let Some(tag) = list.take() {
            out.push_str(&format!("</{tag}>\n"));
        }
    };
    for line in text.lines() {
        if line.trim_start().starts_with("```") {
            flush(&mut out, &mut paragraph);
            close(&mut out, &mut list);
            out.push_str(if code { "</code></pre>\n" } else { "<pre><code>" });
            code = !code;
            continue;
        }
        if code {
            out.push_str(&escape(line));
            out.push('\n');
            continue;
        }
        let t = line.trim();
        let hashes = t.chars().take_while(|c| *c == '#').count();
        if (1..=4).contains(&hashes) && t[hashes..].starts_with(' ') {
            flush(&mut out, &mut paragraph);
            close(&mut out, &mut list);
            // The page has its own h1.
            let level = (hashes + 1).min(4);
            out.push_str(&format!("<h{level}>{}</h{level}>\n", inline(t[hashes..].trim())));
        } else if let Some((tag, item)) = list_item(t) {
            flush(&mut out, &mut paragraph);
            if list != Some(tag) {
                close(&mut out, &mut list);
                out.push_str(&format!("<{tag}>\n"));
                list = Some(tag);
            }
            out.push_str(&format!("<li>{}</li>\n", inline(item)));
        } else if t.is_empty() {
            flush(&mut out, &mut paragraph);
            close(&mut out, &mut list);
        } else {
            close(&mut out, &mut list);
            paragraph.push(t);
        }
    }
    if code {
        out.push_str("</code></pre>\n");
    }
    flush(&mut out, &mut paragraph);
    close(&mut out, &mut list);
    out
}

fn list_item(t: &str) -> Option<(&'static str, &str)> {
    if let Some(item) = t.strip_prefix("- ").or_else(|| t.strip_prefix("* ")) {
        return Some(("ul", item));
    }
    let (number, item) = t.split_once(". ")?;
    (!number.is_empty() && number.len() < 4 && number.bytes().all(|b| b.is_ascii_digit())).then_some(("ol", item))
}

/// Code, bold and emphasis within a line.
fn inline(text: &str) -> String {
    let mut out = String::new();
    for (i, piece) in text.split('`').enumerate() {
        if i % 2 == 1 {
            out.push_str(&format!("<code>{}</code>", escape(piece)));
            continue;
        }
        for (j, part) in piece.split("**").enumerate() {
            let safe = escape(part);
            out.push_str(&if j % 2 == 1 { format!("<strong>{safe}</strong>") } else { safe });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_few_things_it_knows() {
        let html = markdown("# A\n\nOne **two** `three <b>`\nfour\n\n- x\n- y\n\n1. z\n\n```\n<pre>\n```\n");
        for part in [
            "<h2>A</h2>",
            "<p>One <strong>two</strong> <code>three &lt;b&gt;</code> four</p>",
            "<ul>\n<li>x</li>\n<li>y</li>\n</ul>",
            "<ol>\n<li>z</li>\n</ol>",
            "<pre><code>&lt;pre&gt;\n</code></pre>",
        ] {
            assert!(html.contains(part), "{part} in {html}");
        }
        assert!(!markdown("<script>alert(1)</script>").contains("<script"));
    }
}
