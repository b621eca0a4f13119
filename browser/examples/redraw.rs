//! How long from a typed value to the redrawn page, in a real browser: `cargo run --release -p
//! tidewright-browser --example redraw`. Needs `cargo build --release` and Chromium.

use std::time::Instant;
use tidewright_browser::{Page, Served, browser};

fn main() {
    let start = Instant::now();
    let served = Served::example("quayside-kitchen");
    let up = start.elapsed();
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('#values [data-path=\"drain.crest\"]')");
    let first = page.number("performance.getEntriesByType('navigation')[0].responseEnd");
    let script = r#"(async () => {
        const times = [], whole = [];
        for (let i = 0; i < 60; i++) {
            const e = document.querySelector('#values [data-path="drain.crest"]');
            for (let d = e.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
            const want = 60 + i % 20;
            // The field has the focus and the new text stands in it before the hand presses Enter.
            e.focus(); e.value = want + ' mm';
            document.body.getBoundingClientRect();
            const t0 = performance.now();
            e.dispatchEvent(new Event('input', {bubbles: true}));
            e.dispatchEvent(new Event('change', {bubbles: true}));
            e.blur();
            const bench = document.querySelector('#bench');
            await new Promise(r => {
                const o = new MutationObserver(() => { if (bench.textContent.includes('crest ' + want + ' mm')) { o.disconnect(); r(); } });
                o.observe(bench, {subtree: true, childList: true, characterData: true});
            });
            document.body.getBoundingClientRect();
            times.push(performance.now() - t0);
            // The frame itself, with all that stands below it.
            await new Promise(r => requestAnimationFrame(() => setTimeout(r, 30)));
            whole.push(performance.now() - t0 - 30);
            await new Promise(r => setTimeout(r, 600));
        }
        const at = (v, q) => Math.round(v.sort((a, b) => a - b)[Math.floor(v.length * q)]);
        return `drawing ${at(times, 0.5)} and ${at(times, 0.95)}, next frame on the screen ${at(whole, 0.5)} and ${at(whole, 0.95)}`;
    })()"#;
    println!("program up after {} ms, page answered after {first:.0} ms", up.as_millis());
    println!("edit to redrawn, 60 edits, ms at 50 and 95 %: {}", page.text(script));
}
