//! The sheet that drawings are fitted to: units, margins, and the true scale in print.

use crate::layout::Layout;

/// Scales that drawings come out at in print, 1 to so many.
const SCALES: [f64; 13] = [1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0];
/// Width and height of what a printed page has room for \[mm\]: A4 and Letter upright, and lying.
const PAGE_MM: [(f64, f64); 2] = [(194.0, 240.0), (260.0, 165.0)];

/// The same of a book's page: what A4 and Letter both have between their margins, upright, with its heading above.
const BOOK_MM: (f64, f64) = (193.0, 205.0);

/// From the drawing to the words at its left, past two dimension lines \[units\].
pub const LEFT_LANE: f64 = 54.0;
/// From the drawing to the words at its right, past the level marks \[units\].
pub const RIGHT_LANE: f64 = 68.0;

/// Margins around a drawing \[units\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// Left.
    pub left: f64,
    /// Right.
    pub right: f64,
    /// Above.
    pub above: f64,
    /// Below.
    pub below: f64,
}

/// How the two drawings are fitted to the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Drawing units per metre, the same in section and plan.
    pub k: f64,
    /// Whether the plan stands beside the section.
    pub side_by_side: bool,
    /// 1 to so many, in print.
    pub scale: f64,
    /// Whether it is printed on a lying page.
    pub lying: bool,
    /// For a narrow screen: less is written.
    pub narrow: bool,
    /// Margins of the section.
    pub section: Margins,
    /// Margins of the plan.
    pub plan: Margins,
    /// Width of the wider of the two drawings \[units\].
    pub widest: f64,
    /// Begins every id, so that two drawings on one page do not share any.
    pub prefix: &'static str,
}

impl Paper {
    /// For a wide screen and for print, with so much room for the words: width at the left and at the
    /// right of the section, and height.
    pub fn wide(layout: &Layout, lanes: (f64, f64, f64)) -> Self {
        let mut paper = Self::fit(
            layout,
            1030.0,
            500.0,
            Margins { left: lanes.0 + LEFT_LANE + 6.0, right: lanes.1 + RIGHT_LANE + 6.0, above: 46.0, below: 44.0 },
            Margins { left: 36.0, right: 42.0, above: 48.0, below: 16.0 },
            false,
        );
        // A low bench would leave its words no room.
        let m = &mut paper.section;
        let missing = (lanes.2 - m.above - m.below - layout.height() * paper.k).max(0.0);
        m.above += missing * 0.4;
        m.below += missing * 0.6;
        paper
    }

    /// For a phone.
    pub fn narrow(layout: &Layout) -> Self {
        Self::fit(
            layout,
            364.0,
            520.0,
            Margins { left: 46.0, right: 70.0, above: 46.0, below: 26.0 },
            Margins { left: 40.0, right: 40.0, above: 46.0, below: 12.0 },
            true,
        )
    }

    fn fit(layout: &Layout, width: f64, height: f64, section: Margins, plan: Margins, narrow: bool) -> Self {
        let (ls, hs) = (layout.length(), layout.height().max(0.05));
        let lp = plan_length(layout);
        let around = section.left + section.right;
        let beside = ((width - around - plan.left - plan.right) / (ls + lp)).min(height / hs);
        let stacked = ((width - around) / ls).min((width - plan.left - plan.right) / lp).min(height / hs).max(1.0);
        let side_by_side = !narrow && beside > 0.52 * stacked;
        let k = if side_by_side { beside } else { stacked }.clamp(8.0, 1600.0);
        let mm = |units: f64| units / k * 1e3;
        let widest = (ls * k + around).max(lp * k + plan.left + plan.right);
        let wide = mm(widest);
        let high = mm(hs * k + section.above + section.below);
        let fits = |page: (f64, f64)| {
            SCALES.into_iter().find(|s| wide / s <= page.0 && high / s <= page.1).unwrap_or(SCALES[SCALES.len() - 1])
        };
        let scale = fits(PAGE_MM[0]).min(fits(PAGE_MM[1]));
        let lying = scale < fits(PAGE_MM[0]);
        Self { k, side_by_side, scale, narrow, section, plan, widest, lying, prefix: if narrow { "n" } else { "w" } }
    }

    /// The same for a book whose pages all stand upright: smaller, where it would have needed a lying page. A drawing wider
    /// than its page would make a browser shrink the whole book, templates and all.
    #[must_use]
    pub fn upright(mut self, layout: &Layout) -> Self {
        let section = layout.height().max(0.05) * self.k + self.section.above + self.section.below;
        let (wide, high) = (self.widest / self.k * 1e3, section / self.k * 1e3);
        let fits = |s: &f64| wide / s <= BOOK_MM.0 && high / s <= BOOK_MM.1;
        let last = SCALES[SCALES.len() - 1];
        // Larger than any scale of the trade: as small as it takes.
        let shrunk = (wide / BOOK_MM.0).max(high / BOOK_MM.1).ceil().max(last);
        self.scale = SCALES.into_iter().find(fits).unwrap_or(shrunk);
        self.lying = false;
        self
    }

    /// Millimetres on paper of so many drawing units.
    pub fn printed_mm(&self, units: f64) -> f64 {
        units / self.k * 1e3 / self.scale
    }

    /// "1 : 10".
    pub fn scale_words(&self) -> String {
        format!("1 : {}", self.scale)
    }

    /// The opening tag of a drawing of this size in units.
    pub fn open(&self, size: (f64, f64), class: &str, title: &str) -> String {
        use crate::svg::{escape, n};
        format!(
            "<svg class=\"drawing {class} {}{}\" viewBox=\"0 0 {} {}\" role=\"group\" aria-label=\"{}\" data-scale=\"{}\" \
             data-units-per-m=\"{:.4}\" style=\"--share:{:.4};--print-w:{:.2}mm;--print-h:{:.2}mm\">",
            if self.narrow { "narrow" } else { "wide" },
            if self.lying { " lying" } else { "" },
            n(size.0),
            n(size.1),
            escape(title),
            self.scale,
            self.k,
            size.0 / self.widest,
            self.printed_mm(size.0),
            self.printed_mm(size.1),
        )
    }
}

/// Length of the plan \[m\]: the trays without what stands beside them.
pub fn plan_length(layout: &Layout) -> f64 {
    let (left, right) = plan_ends(layout);
    right - left
}

/// Left and right end of the plan \[m\].
pub fn plan_ends(layout: &Layout) -> (f64, f64) {
    let ends = |t: &crate::layout::TrayPlace| {
        let half = t.length.0.max(t.length.1) / 2.0;
        (t.middle - half, t.middle + half)
    };
    layout.trays.iter().map(ends).fold((f64::INFINITY, f64::NEG_INFINITY), |a, b| (a.0.min(b.0), a.1.max(b.1)))
}
