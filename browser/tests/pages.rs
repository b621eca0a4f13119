//! The pages as a person uses them.

use std::fs;
use tidewright_browser::{Page, Served, browser};

const SECTION: &str = "document.querySelector('#bench svg').outerHTML";

#[test]
fn the_front_page_shows_the_bench_and_nothing_goes_wrong() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelectorAll('#bench svg').length >= 2");
    assert!(page.text("document.querySelector('h1').textContent").contains("Quayside kitchen"));
    assert!(page.number("document.querySelectorAll('#findings article, #findings li').length") >= 5.0);
    for bad in ["NaN", "undefined", "Infinity"] {
        assert!(
            !page.text("document.body.innerHTML.replace(/<script[^]*?<\\/script>/g, '')").contains(bad),
            "{bad} in the page"
        );
    }
    // Nothing comes from anywhere else.
    let foreign = page.text("JSON.stringify(performance.getEntriesByType('resource').map(e => e.name).filter(n => !n.startsWith(location.origin) && !n.startsWith('data:')))");
    assert_eq!(foreign, "[]");
    assert_eq!(page.troubles(), "[]");
}

#[test]
fn an_edit_redraws_and_can_be_undone_and_saved() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('#values [data-path=\"drain.crest\"]')");
    let before = page.text(SECTION);
    page.type_in("drain.crest", "60 mm");
    page.until("document.querySelector('#bench').textContent.includes('crest 60 mm')");
    assert_ne!(before, page.text(SECTION));
    assert!(served.draft().is_file(), "edits are kept beside the file");
    page.run("document.querySelector('[data-do=undo]').click()");
    page.until("document.querySelector('#bench').textContent.includes('crest 80 mm')");
    page.run("document.querySelector('[data-do=redo]').click()");
    page.until("document.querySelector('#bench').textContent.includes('crest 60 mm')");
    // The head follows the drawing: until it does it still says what held before.
    page.until("document.querySelector('#top').textContent.includes('not saved')");
    page.run("document.querySelector('[data-do=save]').click()");
    page.until("document.querySelector('#top').textContent.includes('✓ saved')");
    let text = fs::read_to_string(&served.file).expect("the file");
    assert!(text.contains("crest = \"60 mm\"") && text.contains("# draws air below this depth"), "{text}");
    assert!(!served.draft().exists());
    assert_eq!(page.troubles(), "[]");
}

#[test]
fn bad_input_is_told_at_its_field_and_keeps_the_drawing() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('#values [data-path=\"tray.elevation\"]')");
    for (typed, word) in
        [("", ""), ("75", "unit"), ("75 L", "length"), ("-3 m", "from"), ("NaN m", "finite"), ("'\"\\", "")]
    {
        page.type_in("tray.elevation", typed);
        if !word.is_empty() {
            page.until(&format!("document.querySelector('#faults').textContent.includes('{word}')"));
            page.until("document.querySelector('#values .faulty [data-path=\"tray.elevation\"]')");
        }
        assert!(page.number("document.querySelectorAll('#bench svg').length") >= 2.0, "{typed}: the drawing is gone");
    }
    page.type_in("tray.elevation", "800 mm");
    page.until("!document.querySelector('#faults').textContent.trim()");
    page.until("document.querySelector('#bench').textContent.includes('800')");
    assert_eq!(page.troubles(), "[]");
}

#[test]
fn the_strip_moves_the_water_by_keys() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    let height = "Number(document.querySelector('#bench svg [data-water=\"tray-0\"], #bench svg [data-water]').getAttribute('height'))";
    page.until("document.querySelector('[role=slider]')");
    let all = "JSON.stringify([...document.querySelectorAll('#bench svg [data-water]')].map(e => [e.dataset.water, e.getAttribute('height')]))";
    let before = page.text(all);
    assert!(page.number(height) >= 0.0);
    page.run(
        "[...document.querySelectorAll('#strip [role=slider]')].find(e => e.getBoundingClientRect().width > 0).focus()",
    );
    page.key("Home");
    page.until(&format!("{all} !== {before:?}"));
    let say = "[...document.querySelectorAll('#strip [role=slider]')].find(e => e.getBoundingClientRect().width > 0).getAttribute('aria-valuetext')";
    let first = page.text(say);
    page.key("ArrowRight");
    page.until(&format!("{say} !== {first:?}"));
    assert_eq!(page.troubles(), "[]");
}

#[test]
fn edits_survive_a_killed_program() {
    let mut served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('#values [data-path=\"drain.crest\"]')");
    page.type_in("drain.crest", "66 mm");
    page.until("document.querySelector('#bench').textContent.includes('crest 66 mm')");
    served.kill();
    let before = fs::read_to_string(&served.file).expect("the file");
    assert!(before.contains("crest = \"80 mm\""), "the file itself is as it was");
    let again = Served::open(served.file.clone());
    let page = Page::open(&b, &again.address);
    page.until("document.querySelector('#bench').textContent.includes('crest 66 mm')");
    page.run("document.querySelector('[data-do=undo]').click()");
    page.until("document.querySelector('#bench').textContent.includes('crest 80 mm')");
}

#[test]
fn a_phone_needs_no_sideways_scroll() {
    for name in ["quayside-kitchen", "nursery-bench"] {
        let served = Served::example(name);
        let b = browser(1000, 900);
        let page = Page::open(&b, &served.address);
        page.phone();
        page.until("innerWidth === 390");
        let over = "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 391 && !e.closest('svg') && getComputedStyle(e).position !== 'absolute' && !e.closest('[hidden]') && e.getBoundingClientRect().width > 0 && !e.closest('.scrolls')).map(e => e.tagName + '.' + e.className).slice(0, 5).join(' ')";
        assert_eq!(page.number("document.documentElement.scrollWidth"), 390.0, "{name}: {}", page.text(over));
        assert_eq!(page.troubles(), "[]", "{name}");
    }
}

#[test]
fn hostile_names_are_only_text() {
    let text = "name = \"<img src=x onerror=alert(1)>\"\nabout = \"</script><script>window.pwned=1</script>\"\n[tray]\npart = \"tub-86x55\"\nname = \"<b>tray</b>\"\n";
    let served = Served::text("hostile", text);
    let b = browser(1200, 900);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelectorAll('#bench svg').length >= 2");
    assert_eq!(
        page.value("window.pwned === undefined && document.querySelector('img') === null"),
        serde_json::Value::Bool(true)
    );
    assert!(page.text("document.querySelector('h1').textContent").contains("<img"));
}

#[test]
fn explanations_open_from_the_findings() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1200, 900);
    let page = Page::open(&b, &format!("{}explain/gulping", served.address));
    assert!(page.text("document.body.textContent").contains("Hills"));
}

/// In print a metre of the bench is a metre over the stated scale, in section and plan alike.
#[test]
fn drawings_print_to_their_stated_scale() {
    for name in ["quayside-kitchen", "big-table", "windowsill-tub"] {
        let served = Served::example(name);
        let b = browser(1440, 1000);
        let page = Page::open(&b, &served.address);
        page.until("document.querySelectorAll('#bench svg').length >= 2");
        let pdf = page.pdf();
        assert!(pdf.starts_with(b"%PDF") && pdf.len() > 20_000);
        page.paper();
        let of = |script: &str| {
            page.number(&format!(
                "(() => {{ const s = [...document.querySelectorAll('#bench svg')].filter(e => e.getBoundingClientRect().width > 0); return {script} }})()"
            ))
        };
        let drawn = of("s.length");
        assert!(drawn >= 2.0, "{name}: {drawn} drawings on paper");
        for i in 0..2 {
            // 96 CSS pixels are an inch by definition (CSS Values and Units, section 6.2).
            let mm_per_unit =
                of(&format!("s[{i}].getBoundingClientRect().width / s[{i}].viewBox.baseVal.width * 25.4 / 96"));
            let units_per_m = of(&format!("Number(s[{i}].dataset.unitsPerM)"));
            let scale = of(&format!("Number(s[{i}].dataset.scale)"));
            let metre = mm_per_unit * units_per_m;
            assert!((metre * scale / 1000.0 - 1.0).abs() < 0.005, "{name} {i}: a metre is {metre} mm at 1 : {scale}");
        }
    }
}

/// The full answer, with the blocks' day, comes by itself once the page rests; an edit changes it too.
#[test]
fn the_blocks_day_follows_once_the_hand_rests() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('#roots svg path.curve')");
    assert!(page.text("document.querySelector('#roots').textContent").contains("Blocks through the day"));
    let before = page.text("document.querySelector('#roots path.air').getAttribute('d')");
    page.run(
        "const e = document.querySelector('#values [data-path=\"blocks.medium\"]'); e.value = 'fibre'; \
         e.dispatchEvent(new Event('change', {bubbles: true}))",
    );
    page.until(&format!("document.querySelector('#roots path.air').getAttribute('d') !== '{before}'"));
}

#[test]
fn the_timer_program_has_a_page_and_a_calendar() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1000, 900);
    let page = Page::open(&b, &format!("{}program?tray=1", served.address));
    page.phone();
    page.until("innerWidth === 390");
    page.until("document.querySelectorAll('.stages svg').length >= 2");
    assert_eq!(page.number("document.querySelectorAll('.door tbody tr').length"), 5.0);
    assert!(page.number("document.documentElement.scrollWidth") <= 390.0);
    let get = |path: &str| {
        page.text(&format!(
            "(() => {{ const r = new XMLHttpRequest(); r.open('GET', '/{path}', false); r.send(); return r.responseText; }})()"
        ))
    };
    let calendar = get("program.ics?tray=1&first=2026-03-01");
    assert!(calendar.starts_with("BEGIN:VCALENDAR") && calendar.trim_end().ends_with("END:VCALENDAR"), "{calendar}");
    for (path, word) in
        [("program.ics?tray=1&first=soon", "no day"), ("program?tray=0", "no tray"), ("program?tray=99", "no program")]
    {
        assert!(get(path).contains(word), "{path}: {}", get(path));
    }
}

#[test]
fn the_blocks_darken_as_the_flood_comes() {
    let served = Served::example("tray-in-tote");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until(
        "document.querySelector('#bench .wide [data-moist]') && document.querySelector('#roots [data-profile]')",
    );
    let shade = "[...document.querySelectorAll('#bench .wide [data-moist=\"0 8\"]')].map(e => e.getAttribute('fill-opacity')).join()";
    let profile = "document.querySelector('[data-profile]').getAttribute('d')";
    let (before, line) = (page.text(shade), page.text(profile));
    page.run("document.querySelector('[data-strip].wide .handle').focus()");
    page.run("document.querySelector('[data-strip].wide .handle').dispatchEvent(new KeyboardEvent('keydown', {key: 'Home', bubbles: true}))");
    page.until(&format!("{profile} !== '{line}'"));
    assert_ne!(before, page.text(shade));
}

#[test]
fn the_solution_page_takes_a_water_report_and_redraws() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1280, 1000);
    let page = Page::open(&b, &format!("{}solution", served.address));
    page.until("document.querySelectorAll('.ions.wide .ion').length >= 10 && document.querySelector('.weighed')");
    // An edit redraws the sheet.
    page.run(
        "(() => { const e = document.querySelector('[data-path=\"solution.strength\"]'); e.value = '50 %'; \
         e.dispatchEvent(new Event('change', {bubbles: true})); })()",
    );
    page.until("document.querySelector('.weigh-out').textContent.includes('50 %')");
    page.until("document.querySelector('.unsaved')");
    // A wrong one is told and loses nothing.
    page.run(
        "(() => { const e = document.querySelector('[data-path=\"solution.ph\"]'); e.value = '99'; \
         e.dispatchEvent(new Event('change', {bubbles: true})); })()",
    );
    page.until("document.querySelector('.made-from .warned') && document.querySelector('.weighed')");
    page.run(
        "(() => { const e = document.querySelector('[data-path=\"solution.ph\"]'); e.value = '5.9'; \
         e.dispatchEvent(new Event('change', {bubbles: true})); })()",
    );
    page.until("!document.querySelector('.made-from .warned')");
    // The balance follows the typing, and the report is kept beside the bench.
    page.run(
        "(() => { document.querySelector('[name=name]').value = 'Our tap'; const e = document.querySelector('#w-Ca'); \
         e.value = '400'; e.dispatchEvent(new Event('input', {bubbles: true})); })()",
    );
    page.until("document.querySelector('#balance .warned')");
    page.run(
        "(() => { const e = document.querySelector('#w-Ca'); e.value = 'much'; e.dispatchEvent(new Event('input', {bubbles: true})); })()",
    );
    page.until("document.querySelector('#said.wrong')");
    page.run(
        "(() => { const e = document.querySelector('#w-Ca'); e.value = '20'; e.dispatchEvent(new Event('input', {bubbles: true})); \
         document.querySelector('#report').requestSubmit(); })()",
    );
    page.until("document.querySelector('[data-path=\"solution.water\"]').value === 'our-tap'");
    let kept = std::fs::read_to_string(served.file.with_file_name("parts.toml")).expect("kept");
    assert!(kept.contains("our-tap") && kept.contains("20 mmol/L"), "{kept}");
    page.phone();
    page.until("innerWidth === 390");
    assert!(page.number("document.documentElement.scrollWidth") <= 390.0);
    let salt = Page::open(&b, &format!("{}solution/salt", served.address));
    salt.until("document.querySelector('.told').textContent.includes('surface')");
}

#[test]
fn an_answer_brings_first_what_the_eye_is_on_then_the_whole() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    let ask = |width: &str, crest: &str| {
        page.text(&format!(
            r#"(async () => {{
                const r = await fetch('/api/edit?width={width}', {{ method: 'POST', headers: {{ 'content-type': 'application/json' }},
                    body: JSON.stringify({{ path: 'drain.crest', value: '{crest}' }}) }});
                const parts = (await r.text()).split('\u001e').slice(1).map(t => JSON.parse(t));
                return JSON.stringify([r.headers.get('content-type'), parts.length, ...parts.map(p =>
                    Object.keys(p.fragments).join(' ') + ['narrow', 'wide'].filter(w => new RegExp(`<svg class="[^"]*\\b${{w}}\\b`).test(p.fragments.bench)).map(w => ' ' + w).join(''))]);
            }})()"#
        ))
    };
    let whole = "advice bench charts faults findings foot spills strip top values narrow wide";
    let first =
        |width: &str| format!(r#"["application/json-seq",2,"bench faults findings strip top {width}","{whole}"]"#);
    assert_eq!(ask("wide", "61 mm"), first("wide"));
    assert_eq!(ask("narrow", "62 mm"), first("narrow"));
    // A width that is none is told, and nothing is written.
    let refused = page.number(
        "(async () => (await fetch('/api/edit?width=9', { method: 'POST', headers: { 'content-type': 'application/json' }, body: '{}' })).status)()",
    );
    assert_eq!(refused as u32, 400);
}

#[test]
fn a_change_on_a_change_ends_with_the_last_one_everywhere() {
    let served = Served::example("quayside-kitchen");
    let b = browser(1440, 1000);
    let page = Page::open(&b, &served.address);
    page.until("document.querySelector('#values [data-path=\"drain.crest\"]')");
    for crest in ["61 mm", "62 mm", "63 mm", "64 mm"] {
        page.type_in("drain.crest", crest);
    }
    page.until("document.querySelector('#bench').textContent.includes('crest 64 mm')");
    page.until("document.querySelector('#values [data-path=\"drain.crest\"]').defaultValue === '64 mm'");
    page.until("!document.querySelector('#bench').textContent.includes('(quick)')");
    assert_eq!(page.troubles(), "[]");
}
