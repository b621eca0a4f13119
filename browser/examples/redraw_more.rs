//! How long from a changed field to the redrawn part on the pages of air and heat, light and stand, in a real browser:
//! `cargo run --release -p tidewright-browser --example redraw_more`. Needs `cargo build --release` and Chromium.

use tidewright_browser::{Page, Served, browser};

fn main() {
    for (name, path, from, unit) in [("air", "air.height", 600, "mm"), ("light", "lamp.height", 700, "mm")] {
        let served = Served::example("quayside-kitchen");
        let b = browser(1280, 1000);
        let page = Page::open(&b, &format!("{}{name}", served.address));
        page.until("document.querySelector('#solution [data-path]')");
        let script = format!(
            r#"(async () => {{
            const times = [], part = document.querySelector('#solution');
            const at = (v, q) => Math.round(v.sort((a, b) => a - b)[Math.floor(v.length * q)]);
            for (let i = 0; i < 60; i++) {{
                const e = [...document.querySelectorAll('[data-path]')].find(e => /^{path}$/.test(e.dataset.path.replace(/\[\d+\]/, '')));
                const want = ({from} + i) + ' {unit}';
                e.focus(); e.value = want;
                document.body.getBoundingClientRect();
                const t0 = performance.now();
                const drawn = new Promise(r => {{
                    const o = new MutationObserver(() => {{ o.disconnect(); r(); }});
                    o.observe(part, {{subtree: true, childList: true, characterData: true}});
                }});
                e.dispatchEvent(new Event('change', {{bubbles: true}}));
                await drawn;
                document.body.getBoundingClientRect();
                times.push(performance.now() - t0);
                await new Promise(r => setTimeout(r, 600));
            }}
            return `${{at(times, 0.5)}} and ${{at(times, 0.95)}}`;
        }})()"#
        );
        println!("{name}, edit to redrawn, 60 edits, ms at 50 and 95 %: {}", page.text(&script));
    }
}
