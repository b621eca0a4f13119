//! The build book on paper: measured in millimetres on a picture of the printed page, not by the browser's own word.

use std::fs;
use std::path::Path;
use std::process::Command;
use tidewright_browser::{Page, Served, browser};

/// Pixels in a millimetre at 254 dots an inch.
const PER_MM: f64 = 10.0;

fn said(c: &mut Command) -> String {
    let out = c.output().expect("poppler's tools are installed");
    String::from_utf8_lossy(&out.stdout).into_owned()
}

/// Page, from 1, that holds a text.
fn page_with(pdf: &Path, text: &str) -> usize {
    let all = said(Command::new("pdftotext").arg("-layout").arg(pdf).arg("-"));
    all.split('\u{c}').position(|p| p.contains(text)).unwrap_or_else(|| panic!("\"{text}\" is not printed")) + 1
}

/// Lengths of dark runs on one page \[mm\]: level ones and upright ones.
fn runs(pdf: &Path, page: usize) -> (Vec<f64>, Vec<f64>) {
    let stem = pdf.with_extension(format!("page{page}"));
    let number = page.to_string();
    let status = Command::new("pdftoppm")
        .args(["-r", "254", "-gray", "-f", &number, "-l", &number, "-singlefile"])
        .arg(pdf)
        .arg(&stem)
        .status()
        .expect("poppler's tools are installed");
    assert!(status.success());
    let picture = fs::read(stem.with_extension(format!("page{page}.pgm"))).expect("a picture");
    let mut head = picture.splitn(4, |b| b.is_ascii_whitespace());
    assert_eq!(head.next(), Some(&b"P5"[..]));
    let number = |b: Option<&[u8]>| -> usize {
        std::str::from_utf8(b.expect("a head")).expect("digits").parse().expect("a number")
    };
    let (w, h) = (number(head.next()), number(head.next()));
    let rest = head.next().expect("pixels");
    let begin = rest.iter().position(|b| *b == b'\n').expect("a line end") + 1;
    let pixels = &rest[begin..];
    let dark = |x: usize, y: usize| pixels[y * w + x] < 150;
    let lengths = |outer: usize, inner: usize, at: &dyn Fn(usize, usize) -> bool| {
        let mut out = Vec::new();
        for o in 0..outer {
            let mut run = 0;
            for i in 0..=inner {
                if i < inner && at(o, i) {
                    run += 1;
                } else {
                    if run > 200 {
                        out.push(run as f64 / PER_MM);
                    }
                    run = 0;
                }
            }
        }
        out
    };
    (lengths(h, w, &|y, x| dark(x, y)), lengths(w, h, &|x, y| dark(x, y)))
}

fn has(all: &[f64], mm: f64) -> bool {
    // Half a line's width at each end.
    all.iter().any(|x| (x - mm).abs() <= 0.5)
}

#[test]
fn the_book_prints_in_true_millimetres_on_both_papers() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1000, 1000);
    for (paper, points) in [("a4", (595.0, 842.0)), ("letter", (612.0, 792.0))] {
        let page = Page::open(&b, &format!("{}book?paper={paper}", served.address));
        page.until("document.querySelectorAll('.book section').length > 10");
        let pdf = served.file.with_file_name(format!("book-{paper}.pdf"));
        fs::write(&pdf, page.pdf()).expect("written");
        let size = said(Command::new("pdfinfo").arg(&pdf));
        let line = size.lines().find(|l| l.starts_with("Page size")).expect("a size");
        let numbers: Vec<f64> = line.split_whitespace().filter_map(|w| w.parse().ok()).collect();
        assert!((numbers[0] - points.0).abs() < 1.5 && (numbers[1] - points.1).abs() < 1.5, "{paper}: {line}");
        // The line that a printer is checked by, and a template: 50 mm of flange, 24 of margin, cross lines 2 mm off the edge.
        let (level, upright) = runs(&pdf, page_with(&pdf, "fit to page"));
        assert!(has(&level, 100.0), "{paper}: no line of 100 mm among {level:?}");
        assert!(has(&level, 70.0) && has(&upright, 70.0), "{paper}: no cross of 70 mm");
        // The stand at 1 : 10: its rail of 760 mm; the section at its stated scale: 860 mm.
        let (level, _) = runs(&pdf, page_with(&pdf, "from the front ·"));
        assert!(has(&level, 76.0), "{paper}: no rail of 76 mm among {level:?}");
        let text = said(Command::new("pdftotext").arg("-layout").arg(&pdf).arg("-"));
        assert!(text.contains("Scale 1 : 10"), "the section's scale of the demo");
        let (level, _) = runs(&pdf, page_with(&pdf, "measure the line of 100 mm"));
        assert!(has(&level, 86.0), "{paper}: no tray of 86 mm among {level:?}");
    }
}

#[test]
fn the_book_speaks_of_every_bench() {
    let served = Served::example("nursery-bench");
    let b = browser(900, 1000);
    let page = Page::open(&b, &format!("{}book", served.address));
    page.until("document.querySelectorAll('.book section').length > 8");
    let text = page.text("document.querySelector('.book').textContent");
    for word in [
        "Order of work",
        "Card of the first day",
        "for the fridge door",
        "Turning over",
        "What was assumed",
        "seedlings",
    ] {
        assert!(text.contains(word), "{word}");
    }
    page.phone();
    page.until("innerWidth === 390");
    assert!(page.number("document.documentElement.scrollWidth") <= 390.0);
}

/// One drawing too wide for its page and a browser shrinks the whole book, templates and all.
#[test]
fn no_bench_makes_a_browser_shrink_its_book() {
    let b = browser(1000, 1000);
    for name in
        ["big-table", "nursery-manifold", "long-tray", "pellet-bed", "nursery-bench", "tray-in-tote", "windowsill-tub"]
    {
        let served = Served::example(name);
        for paper in ["a4", "letter"] {
            let page = Page::open(&b, &format!("{}book?paper={paper}", served.address));
            page.until("document.querySelectorAll('.book section').length > 8");
            let pdf = served.file.with_file_name(format!("book-{paper}.pdf"));
            fs::write(&pdf, page.pdf()).expect("written");
            let (level, _) = runs(&pdf, page_with(&pdf, "fit to page"));
            assert!(has(&level, 100.0), "{name} on {paper}: no line of 100 mm among {level:?}");
        }
    }
}
