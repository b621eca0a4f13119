//! Pages on air and heat, light and stand.

use tidewright_browser::{Page, Served, browser};

fn change(page: &Page, path: &str, value: &str) {
    page.run(&format!(
        "(() => {{ const e = document.querySelector('[data-path=\"{path}\"]'); e.value = '{value}'; \
         e.dispatchEvent(new Event('change', {{bubbles: true}})); }})()"
    ));
}

#[test]
fn air_and_heat_redraw_and_save() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1200, 1000);
    let page = Page::open(&b, &format!("{}air", served.address));
    page.until("document.querySelectorAll('.chart-svg.wide .curve').length >= 4 && document.querySelector('.when-it-stops td')");
    let before = page.text("document.querySelector('.held p').textContent");
    change(&page, "air.open_flow", "12 L/min");
    page.until(&format!("document.querySelector('.held p').textContent !== {before:?}"));
    page.until("document.querySelector('.unsaved')");
    // A pump on the floor is a stop, told at once.
    change(&page, "air.height", "20 mm");
    page.until("document.querySelector('.finding.care, .finding.stop')");
    // A wrong unit is told and loses nothing.
    change(&page, "air.open_flow", "3 kg");
    page.until("document.querySelector('.made-from .warned') && document.querySelector('.chart-svg')");
    change(&page, "air.open_flow", "4 L/min");
    page.until("!document.querySelector('.made-from .warned')");
    page.run("document.querySelector('[data-save]').click()");
    page.until("document.querySelector('.made-from .saved')");
    let kept = std::fs::read_to_string(&served.file).expect("kept");
    assert!(kept.contains("height = \"20 mm\""), "{kept}");
    page.phone();
    page.until("innerWidth === 390");
    assert!(page.number("document.documentElement.scrollWidth") <= 390.0);
    assert_eq!(page.troubles(), "[]");
}

#[test]
fn light_and_stand_begin_from_nothing() {
    let served = Served::example("long-tray");
    let b = browser(1200, 1000);
    let page = Page::open(&b, &format!("{}light", served.address));
    page.until("document.querySelector('[data-add=\"lamp.part\"]')");
    page.run("document.querySelector('[data-add=\"lamp.part\"]').click()");
    page.until("document.querySelectorAll('.light-map.wide .lux').length > 20");
    page.run("document.querySelector('[data-add=\"stand.floor\"]').click()");
    page.until("document.querySelector('.standing td')");
    change(&page, "lamp.height", "1200 mm");
    page.until("document.querySelector('.light-map.wide')");
    assert!(page.text("document.querySelector('.standing .caution').textContent").contains("climb"));
    page.phone();
    page.until("innerWidth === 390");
    assert!(page.number("document.documentElement.scrollWidth") <= 390.0);
    assert_eq!(page.troubles(), "[]");
}

/// Layers of the drawing can be put away.
#[test]
fn layers_of_the_drawing_can_be_put_away() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('.section .layer-air') && document.querySelector('.section .layer-cord')");
    for layer in ["stand", "lamp", "air", "cord"] {
        let shown = format!("getComputedStyle(document.querySelector('.section.wide .layer-{layer}')).display");
        assert_ne!(page.text(&shown), "none", "{layer}");
        page.run(&format!("document.querySelector('#show-{layer}').click()"));
        assert_eq!(page.text(&shown), "none", "{layer}");
    }
}
