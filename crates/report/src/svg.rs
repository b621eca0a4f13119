//! A small writer of SVG text: every number finite, every text escaped.

use std::fmt::Write as _;

/// Escapes text for element content and attribute values.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Control characters have no place in a drawing and break its parser.
            c if c.is_control() && c != '\n' && c != '\t' => {}
            c => out.push(c),
        }
    }
    out
}

/// A coordinate with two decimals at most; what is not finite stands at nil.
pub fn n(x: f64) -> String {
    let r = if x.is_finite() { (x * 100.0).round() / 100.0 } else { 0.0 };
    if r == 0.0 { "0".into() } else { format!("{r}") }
}

/// Where a text begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// The growing text of one drawing.
#[derive(Clone, Debug, Default)]
pub struct Svg {
    out: String,
}

impl Svg {
    /// An empty drawing.
    pub fn new() -> Self {
        Self::default()
    }

    /// Text as it is; the caller has escaped it.
    pub fn raw(&mut self, text: &str) -> &mut Self {
        self.out.push_str(text);
        self
    }

    /// A straight line.
    pub fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) -> &mut Self {
        let _ = write!(
            self.out,
            "<line class=\"{class}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>",
            n(from.0),
            n(from.1),
            n(to.0),
            n(to.1)
        );
        self
    }

    /// A rectangle from its upper left corner, with further attributes as written.
    pub fn rect(&mut self, class: &str, at: (f64, f64), size: (f64, f64), more: &str) -> &mut Self {
        let _ = write!(
            self.out,
            "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" {more}/>",
            n(at.0),
            n(at.1),
            n(size.0.max(0.0)),
            n(size.1.max(0.0))
        );
        self
    }

    /// A circle.
    pub fn circle(&mut self, class: &str, at: (f64, f64), r: f64, more: &str) -> &mut Self {
        let _ = write!(
            self.out,
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\" {more}/>",
            n(at.0),
            n(at.1),
            n(r.max(0.0))
        );
        self
    }

    /// A path from its commands.
    pub fn path(&mut self, class: &str, d: &str, more: &str) -> &mut Self {
        let _ = write!(self.out, "<path class=\"{class}\" d=\"{d}\" {more}/>");
        self
    }

    /// An open run of straight pieces.
    pub fn polyline(&mut self, class: &str, points: &[(f64, f64)]) -> &mut Self {
        self.path(class, &commands(points), "")
    }

    /// A text.
    pub fn text(&mut self, class: &str, at: (f64, f64), anchor: Anchor, text: &str) -> &mut Self {
        let _ = write!(
            self.out,
            "<text class=\"{class}\" x=\"{}\" y=\"{}\" text-anchor=\"{}\">{}</text>",
            n(at.0),
            n(at.1),
            anchor.word(),
            escape(text)
        );
        self
    }

    /// A text that reads upwards, centred on a point.
    pub fn upright(&mut self, class: &str, at: (f64, f64), text: &str) -> &mut Self {
        let _ = write!(
            self.out,
            "<text class=\"{class}\" transform=\"translate({},{}) rotate(-90)\" text-anchor=\"middle\">{}</text>",
            n(at.0),
            n(at.1),
            escape(text)
        );
        self
    }

    /// The text so far.
    pub fn finish(self) -> String {
        self.out
    }
}

/// `M … L …` through points.
pub fn commands(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (i, p) in points.iter().enumerate() {
        let _ = write!(d, "{}{},{}", if i == 0 { "M" } else { "L" }, n(p.0), n(p.1));
    }
    d
}

/// A run of pipe with rounded bends.
pub fn bent(points: &[(f64, f64)], radius: f64) -> String {
    let mut d = String::new();
    for (i, p) in points.iter().enumerate() {
        let (Some(before), Some(after)) = (i.checked_sub(1).and_then(|b| points.get(b)), points.get(i + 1)) else {
            let _ = write!(d, "{}{},{}", if i == 0 { "M" } else { " L" }, n(p.0), n(p.1));
            continue;
        };
        let toward = |q: &(f64, f64)| {
            let (dx, dy) = (q.0 - p.0, q.1 - p.1);
            let far = dx.hypot(dy);
            let r = radius.min(far / 2.0);
            if far > 1e-9 { (p.0 + dx / far * r, p.1 + dy / far * r) } else { *p }
        };
        let (a, b) = (toward(before), toward(after));
        let _ = write!(d, " L{},{} Q{},{} {},{}", n(a.0), n(a.1), n(p.0), n(p.1), n(b.0), n(b.1));
    }
    d
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_finite_and_texts_escaped() {
        let mut s = Svg::new();
        s.line("a", (f64::NAN, 1.0), (f64::INFINITY, 2.346)).text("t", (0.0, 0.0), Anchor::End, "<script>\u{1}&'\"");
        let out = s.finish();
        assert!(out.contains("x1=\"0\"") && out.contains("y2=\"2.35\"") && !out.contains("NaN"));
        assert!(out.contains("&lt;script&gt;&amp;&#39;&quot;<"));
    }

    #[test]
    fn bends_begin_and_end_at_their_ends() {
        let d = bent(&[(0.0, 0.0), (0.0, 10.0), (10.0, 10.0)], 3.0);
        assert!(d.starts_with("M0,0") && d.ends_with("L10,10") && d.contains("Q0,10"));
    }
}
