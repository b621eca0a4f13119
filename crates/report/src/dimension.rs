//! Dimension lines, and labels kept apart from each other.

use crate::svg::{Anchor, Svg, n};

/// Half a tick \[drawing units\].
const TICK: f64 = 4.0;

/// A dimension line between two points, upright or level, with its text in the middle where it fits
/// and beside it where it does not.
pub fn dimension(svg: &mut Svg, from: (f64, f64), to: (f64, f64), text: &str, size: f64) {
    // An upright one drawn downwards has its text at the right.
    let rightward = to.1 > from.1;
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    svg.line("dim", from, to);
    for p in [from, to] {
        svg.line("tick", (p.0 - TICK, p.1 + TICK), (p.0 + TICK, p.1 - TICK));
    }
    let wide = text_width(text, size);
    let middle = (from.0 + dx / 2.0, from.1 + dy / 2.0);
    if dx.abs() >= dy.abs() {
        if dx.abs() > wide + 8.0 {
            svg.text("dimt", (middle.0, middle.1 - 4.0), Anchor::Middle, text);
        } else {
            svg.text("dimt", (from.0.max(to.0) + 6.0, middle.1 + size * 0.35), Anchor::Start, text);
        }
    } else if dy.abs() > wide + 8.0 {
        svg.upright("dimt", (if rightward { middle.0 + 4.0 + size * 0.72 } else { middle.0 - 4.0 }, middle.1), text);
    } else if rightward {
        svg.text("dimt", (middle.0 + 8.0, middle.1 + size * 0.35), Anchor::Start, text);
    } else {
        svg.text("dimt", (middle.0 - 8.0, middle.1 + size * 0.35), Anchor::End, text);
    }
}

/// A thin line from a part out to its dimension.
pub fn extension(svg: &mut Svg, from: (f64, f64), to: (f64, f64)) {
    svg.line("ext", from, to);
}

/// About how wide a text is in a plain sans \[drawing units\].
pub fn text_width(text: &str, size: f64) -> f64 {
    let share = |c: char| match c {
        '0'..='9' | '–' | '+' | '=' => 0.556,
        'm' | 'w' | 'M' | 'W' => 0.83,
        ' ' | '.' | ',' | ':' | ';' | '|' | 'i' | 'l' | 'j' | 't' | 'f' | '\'' | '(' | ')' | '·' | '/' => 0.29,
        'A'..='Z' => 0.69,
        'r' | '-' | '"' => 0.36,
        _ => 0.54,
    };
    text.chars().map(share).sum::<f64>() * size
}

/// Moves wanted positions apart so that each keeps its room, in order, between two limits, each as
/// near to its wish as the others allow.
pub fn spread(wanted: &[(f64, f64)], low: f64, high: f64) -> Vec<f64> {
    // Each entry: wanted middle and own height.
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].0.total_cmp(&wanted[*b].0));
    // Clusters that touch share one mean shift.
    let mut clusters: Vec<(Vec<usize>, f64, f64)> = Vec::new();
    for i in order {
        let (w, h) = wanted[i];
        clusters.push((vec![i], w - h / 2.0, h));
        while clusters.len() > 1 {
            let last = clusters.len() - 1;
            if clusters[last - 1].1 + clusters[last - 1].2 <= clusters[last].1 {
                break;
            }
            let Some(top) = clusters.pop() else { break };
            if let Some(below) = clusters.last_mut() {
                let (a, b) = (below.0.len() as f64, top.0.len() as f64);
                // Where the upper edge of each would like the joint block to begin.
                let wish = (below.1 * a + (top.1 - below.2) * b) / (a + b);
                below.0.extend(top.0);
                below.2 += top.2;
                below.1 = wish;
            }
        }
        if let Some(c) = clusters.last_mut() {
            c.1 = c.1.min(high - c.2).max(low);
        }
    }
    let mut out = vec![0.0; wanted.len()];
    let mut floor = low;
    for (members, start, _) in clusters {
        let mut y = start.max(floor);
        for i in members {
            out[i] = y + wanted[i].1 / 2.0;
            y += wanted[i].1;
        }
        floor = y;
    }
    out
}

/// One part label: a bold line and softer ones, and the point it speaks of.
#[derive(Clone, Debug)]
pub struct Label {
    /// The point that the leader ends at.
    pub at: (f64, f64),
    /// Bold first line.
    pub head: String,
    /// Softer lines below.
    pub more: Vec<String>,
    /// The field it leads to.
    pub path: Option<String>,
    /// Extra class of the head, where it is drawn otherwise.
    pub class: &'static str,
}

/// Height that a label takes \[units\].
pub fn label_height(label: &Label, size: f64) -> f64 {
    size * 1.28 * (1.0 + label.more.len() as f64) + size * 0.45
}

/// Draws labels in a lane at `x`; leaders run to their points.
pub fn labels(svg: &mut Svg, items: &[Label], x: f64, anchor: Anchor, limits: (f64, f64), size: f64) {
    let line = size * 1.28;
    let wanted: Vec<(f64, f64)> = items.iter().map(|l| (l.at.1, label_height(l, size))).collect();
    let places = spread(&wanted, limits.0, limits.1);
    for ((item, y), (_, high)) in items.iter().zip(places).zip(&wanted) {
        let mut inner = Svg::new();
        let gap = if anchor == Anchor::End { 5.0 } else { -5.0 };
        let knee = x + gap + if anchor == Anchor::End { 12.0 } else { -12.0 };
        let lead = y - high / 2.0 + size * 0.85;
        inner.polyline("lead", &[(x + gap, lead), (knee, lead), item.at]);
        inner.circle("dot", item.at, 1.8, "");
        let mut base = y - high / 2.0 + size * 1.2;
        inner.text(&format!("note {}", item.class), (x, base), anchor, &item.head);
        for m in &item.more {
            base += line;
            inner.text("sub", (x, base), anchor, m);
        }
        let widest = std::iter::once(&item.head).chain(&item.more).map(|t| text_width(t, size)).fold(0.0, f64::max);
        let left = if anchor == Anchor::End { x - widest - 4.0 } else { x - 4.0 };
        let mut hit = Svg::new();
        hit.raw(&format!(
            "<rect class=\"hit\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            n(left),
            n(y - high / 2.0),
            n(widest + 8.0),
            n(*high)
        ));
        let spoken = format!("{} {}", item.head, item.more.join(" "));
        let all = format!("{}{}", hit.finish(), inner.finish());
        svg.raw(&crate::keys::linked(item.path.as_deref(), &spoken, &all));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_never_overlap_and_stay_within() {
        let wanted = [(10.0, 20.0), (12.0, 20.0), (90.0, 20.0), (11.0, 20.0), (99.0, 20.0)];
        let got = spread(&wanted, 0.0, 120.0);
        let mut sorted = got.clone();
        sorted.sort_by(f64::total_cmp);
        assert!(sorted.windows(2).all(|w| w[1] - w[0] >= 20.0 - 1e-9), "{got:?}");
        assert!(sorted[0] >= 10.0 - 1e-9 && sorted[4] <= 110.0 + 1e-9, "{got:?}");
        assert!(got[0] < got[3] && got[3] < got[1]);
        assert_eq!(spread(&[(50.0, 10.0)], 0.0, 100.0), vec![50.0]);
    }
}
