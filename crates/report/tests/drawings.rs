//! The drawings and the page as strings, over all example benches and a few nasty ones.

use std::path::PathBuf;
use std::sync::OnceLock;
use tidewright_plan::Survey;
use tidewright_report::layout::Layout;
use tidewright_report::section::Now;
use tidewright_report::{Advice, Given, Meta, State, page, state};
use tidewright_rig::finding::{Change, Place};
use tidewright_rig::parts::Library;
use tidewright_rig::{Finding, Severity};

struct Case {
    name: String,
    survey: Survey,
    state: State,
    page: String,
}

fn files() -> Vec<PathBuf> {
    let here = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut out = Vec::new();
    for folder in [here.join("tests/benches"), here.join("../../examples")] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "toml") {
                out.push(path);
            }
        }
    }
    out.sort();
    out
}

fn make(text: &str, name: String, faults: &[Finding], findings: &[Finding]) -> Option<Case> {
    let rig = tidewright_rig::read(text, &Library::shipped()).rig?;
    let survey = Survey::of(&rig, 4);
    let advice = Advice::of(&survey);
    let meta = Meta { file_name: name.clone(), revision: 7, ..Meta::default() };
    let given = Given { survey: &survey, findings, faults, advice: &advice, spills: &[], meta: &meta };
    let state = state(&given);
    let page = page(&state);
    Some(Case { name, survey, state, page })
}

fn cases() -> &'static [Case] {
    static ALL: OnceLock<Vec<Case>> = OnceLock::new();
    ALL.get_or_init(|| {
        files()
            .into_iter()
            .filter_map(|f| {
                let name = f.file_name().unwrap().to_string_lossy().into_owned();
                let case = make(&std::fs::read_to_string(&f).unwrap(), name, &[], &[]);
                assert!(case.is_some(), "{f:?} does not read");
                case
            })
            .collect()
    })
}

/// Values of an attribute, in order.
fn attribute<'t>(text: &'t str, name: &str) -> Vec<&'t str> {
    text.split(&format!(" {name}=\"")).skip(1).filter_map(|r| r.split('"').next()).collect()
}

fn numbers(text: &str) -> Vec<f64> {
    text.split_whitespace().map(|x| x.parse().unwrap()).collect()
}

#[test]
fn there_are_cases() {
    assert!(cases().len() >= 9, "{}", cases().len());
}

#[test]
fn nothing_is_not_a_number() {
    for c in cases() {
        for bad in ["NaN", "inf\"", "\"-inf", "=\"inf", "undefined"] {
            assert!(!c.page.split("<script>").next().unwrap().contains(bad), "{}: {bad}", c.name);
        }
        for svg in c.page.split("<svg").skip(1) {
            let size = numbers(attribute(svg, "viewBox")[0]);
            assert!(size[2] > 50.0 && size[3] > 30.0 && size[2] < 1100.0 && size[3] < 6000.0, "{}: {size:?}", c.name);
        }
    }
}

#[test]
fn water_stands_where_the_run_has_it() {
    for c in cases() {
        let (reservoir, trays) = c.state.series.now();
        let now = Now { reservoir_m: reservoir, trays_m: trays, blocks: Vec::new() };
        let mut seen = 0;
        for rect in c.state.fragments["bench"].split("<rect class=\"water\"").skip(1) {
            let get = |n: &str| attribute(rect, n)[0].parse::<f64>().unwrap();
            let id = attribute(rect, "data-water")[0];
            let depth = match id.strip_prefix("tray-") {
                Some(i) => now.trays_m[i.parse::<usize>().unwrap()],
                None => now.reservoir_m,
            };
            let (y, h, y0, k) = (get("y"), get("height"), get("data-y0"), get("data-k"));
            assert!((y + h - y0).abs() < 0.02, "{}: the water hangs in the air", c.name);
            assert!((h / k - depth.max(0.0)).abs() < 2e-4 + 0.01 / k, "{}: {id} {} against {depth}", c.name, h / k);
            seen += 1;
        }
        // Both widths, every tray and the reservoir.
        assert_eq!(seen, 2 * (c.survey.rig.trays.len() + 1), "{}", c.name);
    }
}

#[test]
fn section_and_plan_share_one_scale_and_say_it() {
    for c in cases() {
        let bench = &c.state.fragments["bench"];
        for size in ["wide", "narrow"] {
            let of: Vec<(&str, &str)> = bench
                .split("<svg class=\"drawing ")
                .skip(1)
                .filter(|s| s.split('"').next().unwrap().split(' ').any(|w| w == size))
                .map(|s| (attribute(s, "data-scale")[0], attribute(s, "data-units-per-m")[0]))
                .collect();
            assert!(of.len() == 2 && of[0] == of[1], "{}: {of:?}", c.name);
        }
        let wide = bench.split("<svg class=\"drawing ").nth(1).unwrap();
        let scale: f64 = attribute(wide, "data-scale")[0].parse().unwrap();
        let k: f64 = attribute(wide, "data-units-per-m")[0].parse().unwrap();
        let width = numbers(attribute(wide, "viewBox")[0])[2];
        let printed: f64 = wide.split("--print-w:").nth(1).unwrap().split("mm").next().unwrap().parse().unwrap();
        assert!((printed - width / k * 1e3 / scale).abs() < 0.05, "{}", c.name);
        assert!(printed <= 260.5, "{}: wider than the page", c.name);
        assert!(bench.contains(&format!("1 : {scale}")), "{}", c.name);
    }
}

#[test]
fn blocks_stand_alike_in_section_and_plan() {
    for c in cases() {
        let layout = Layout::of(&c.survey.rig);
        for (tray, place) in c.survey.rig.trays.iter().zip(&layout.trays) {
            let all = tidewright_report::layout::blocks(tray);
            let count = tray.blocks.as_ref().map_or(0, |b| b.count.get() as usize);
            assert_eq!(all.len(), count, "{}", c.name);
            for x in tidewright_report::layout::front_row(tray) {
                assert!(all.iter().any(|b| (b.x - x).abs() < 1e-12));
            }
            for b in &all {
                assert!(b.x.abs() <= place.length.0 / 2.0 && b.y >= 0.0 && b.y <= place.width.0, "{}", c.name);
            }
        }
    }
}

#[test]
fn trays_do_not_stand_in_each_other() {
    for c in cases() {
        let all = &Layout::of(&c.survey.rig).trays;
        for (i, a) in all.iter().enumerate() {
            for b in &all[..i] {
                let beside = (a.middle - b.middle).abs() >= (a.length.1 + b.length.1) / 2.0 - 1e-9;
                let above = a.floor >= b.floor + b.depth - 1e-9 || b.floor >= a.floor + a.depth - 1e-9;
                assert!(beside || above, "{}", c.name);
            }
        }
    }
}

#[test]
fn hostile_names_stay_text() {
    let c = cases().iter().find(|c| c.name == "hostile.toml").unwrap();
    let body = c.page.split("<body").nth(1).unwrap();
    assert_eq!(body.matches("<script").count(), 2, "only the page's own two scripts");
    assert_eq!(body.matches("</script").count(), 2);
    for bad in ["<img", "onload=\"x", "<b>A", " data-x=\"1"] {
        assert!(!body.contains(bad), "{bad}");
    }
    assert!(c.page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    let f = Finding::new(Severity::Care, "x", "<i>t</i>", "<script>s</script>").at(Place::key("a\"><b>")).mend_by(
        "<u>",
        "<s>",
        Change { path: "\"><x>".into(), value: "\"1 mm\"".into() },
    );
    let html = tidewright_report::findings::one(&f).into_string();
    for bad in ["<i>", "<script", "<b>", "<u>", "<s>", "<x>"] {
        assert!(!html.contains(bad), "{bad} in {html}");
    }
    assert!(html.contains("data-value=\"&quot;1 mm&quot;\""));
}

#[test]
fn every_field_stands_once_and_every_drawn_part_has_one() {
    for c in cases() {
        let values = &c.state.fragments["values"];
        let ids: Vec<&str> =
            attribute(values, "id").into_iter().filter(|i| i.starts_with("f-") && !i.ends_with("-h")).collect();
        let mut sorted = ids.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), ids.len(), "{}", c.name);
        let inside = attribute(&c.state.fragments["bench"], "href").into_iter().filter(|h| h.starts_with('#'));
        for href in inside {
            assert!(ids.contains(&href.trim_start_matches('#')), "{}: {href} leads nowhere", c.name);
        }
        for line in &c.survey.rig.sheet {
            assert!(ids.contains(&tidewright_report::keys::field_id(&line.path).as_str()), "{}: {}", c.name, line.path);
        }
    }
}

#[test]
fn courses_are_short_and_miss_nothing() {
    for c in cases() {
        let n = c.survey.rig.trays.len();
        let day = &c.state.series.day;
        assert!(day.t_s.len() <= 600 && day.t_s.windows(2).all(|w| w[0] <= w[1]), "{}", c.name);
        let high = c.survey.day.course.iter().flat_map(|m| m.trays.iter().map(|t| t.depth_m)).fold(0.0, f64::max);
        let mut worst: f64 = 0.0;
        for m in &c.survey.day.course {
            let (_, trays) = day.at(m.t_s);
            assert_eq!(trays.len(), n);
            worst = trays.iter().zip(&m.trays).map(|(a, b)| (a - b.depth_m).abs()).fold(worst, f64::max);
        }
        assert!(worst <= 0.02 * high + 1e-4, "{}: misses {worst} of {high}", c.name);
    }
}

#[test]
fn faults_stand_above_and_at_their_field() {
    let fault = Finding::new(Severity::Stop, "missing-unit", "The unit is missing", "\"crest\" is 80.").at(Place {
        path: "drain.crest".into(),
        span: None,
        line: 37,
        column: 9,
    });
    let text =
        std::fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/benches/round.toml")).unwrap();
    let c = make(&text, "round.toml".into(), std::slice::from_ref(&fault), &[]).unwrap();
    assert!(c.state.fragments["faults"].contains("line 37"));
    let field = c.state.fragments["values"].split("id=\"f-drain-crest\"").nth(1).unwrap();
    assert!(field.split("</div>").next().unwrap().contains("fault-words"));
    assert_eq!(c.state.faults.len(), 1);
    assert!(c.state.fragments["bench"].contains("data-water"), "the last good drawing stays");
    let json = serde_json::to_value(&c.state).unwrap();
    assert_eq!(json["meta"]["revision"], 7);
}

#[test]
fn texts_for_the_terminal_fit_and_the_table_of_a_run_is_square() {
    for c in cases() {
        let text = tidewright_report::text::figure_table(&c.survey);
        assert!(text.lines().all(|l| l.chars().count() <= 100), "{}", c.name);
        let csv = tidewright_report::text::run_csv(&c.survey.day);
        let columns = csv.lines().next().unwrap().split(',').count();
        assert!(
            csv.lines().all(|l| l.split(',').count() == columns)
                && csv.lines().count() == c.survey.day.course.len() + 1
        );
    }
}
