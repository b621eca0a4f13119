//! How long from a changed field of the solution's page to the redrawn part, in a real browser: `cargo run --release -p
//! tidewright-browser --example redraw_solution`. Needs `cargo build --release` and Chromium.

use tidewright_browser::{Page, Served, browser};

fn main() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1280, 1000);
    let page = Page::open(&b, &format!("{}solution", served.address));
    page.until("document.querySelector('.weighed')");
    let script = r#"(async () => {
        const times = [];
        for (let i = 0; i < 60; i++) {
            const e = document.querySelector('[data-path="solution.strength"]');
            const want = 50 + i % 40;
            e.focus(); e.value = want + ' %';
            document.body.getBoundingClientRect();
            const t0 = performance.now();
            e.dispatchEvent(new Event('change', {bubbles: true}));
            const part = document.querySelector('#solution');
            await new Promise(r => {
                const o = new MutationObserver(() => { if (part.textContent.includes(', ' + want + ' %')) { o.disconnect(); r(); } });
                o.observe(part, {subtree: true, childList: true, characterData: true});
            });
            document.body.getBoundingClientRect();
            times.push(performance.now() - t0);
            await new Promise(r => setTimeout(r, 600));
        }
        const at = (v, q) => Math.round(v.sort((a, b) => a - b)[Math.floor(v.length * q)]);
        return `${at(times, 0.5)} and ${at(times, 0.95)}`;
    })()"#;
    println!("edit to redrawn, 60 edits, ms at 50 and 95 %: {}", page.text(script));
}
