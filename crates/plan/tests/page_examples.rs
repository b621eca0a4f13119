//! What a page says of its example is what the program says of it: each example, laid over the demo's bench file,
//! brings the finding of its page, as grave as the page says.

use std::panic::{AssertUnwindSafe, catch_unwind};
use tidewright_plan::pages::{self, Page};
use tidewright_plan::survey::QUICK_RUNS;
use tidewright_plan::{Survey, advice, judge_some};
use tidewright_rig::parts::Library;
use tidewright_rig::{Finding, Severity, read, room};
use tidewright_sim::band::USUAL_RUNS;
use tidewright_sim::split;
use toml_edit::{DocumentMut, Item, TableLike};

const DEMO: &str = include_str!("../../../examples/quayside-kitchen.toml");

/// Their examples are about bytes and disks; the tests of the reader and of the program make those.
const OF_FILES: [&str; 2] = ["unreadable-text", "unsaved-draft"];

/// Sections of a parts file.
const OF_PARTS: [&str; 9] = ["part", "fitting", "medium", "crop", "salt", "recipe", "water", "feeding", "price"];

/// The fenced text of a page's example in a language.
fn fenced<'t>(example: &'t str, language: &str) -> Option<&'t str> {
    let (_, rest) = example.split_once(&format!("```{language}\n"))?;
    rest.split_once("```").map(|(text, _)| text)
}

/// The first severity that a page says of its example.
fn said(example: &str) -> Option<Severity> {
    let words = [
        ("**stop**", Severity::Stop),
        ("**care**", Severity::Care),
        ("**note**", Severity::Note),
        ("**good**", Severity::Good),
    ];
    words.into_iter().filter_map(|(w, s)| Some((example.find(w)?, s))).min_by_key(|x| x.0).map(|x| x.1)
}

fn lay_over(demo: &mut dyn TableLike, example: &dyn TableLike) {
    for (key, item) in example.iter() {
        let there = demo.get_mut(key);
        match (there, item.as_table_like()) {
            (Some(Item::ArrayOfTables(all)), Some(new)) if !item.is_array_of_tables() => {
                if let Some(first) = all.get_mut(0) {
                    lay_over(first, new);
                }
            }
            (Some(old), Some(new)) if old.is_table_like() => {
                lay_over(old.as_table_like_mut().expect("a table"), new);
            }
            _ => {
                demo.insert(key, item.clone());
            }
        }
    }
}

/// The example as a bench file and the parts beside it.
fn bench(example: &str) -> (String, Library, Vec<Finding>) {
    let mut library = Library::shipped();
    let Ok(mut example) = example.parse::<DocumentMut>() else {
        return (example.to_owned(), library, Vec::new());
    };
    let mut parts = DocumentMut::new();
    for key in OF_PARTS {
        // `[crop]` is of the bench, `[[crop]]` a part.
        if example.get(key).is_some_and(Item::is_array_of_tables) {
            parts.insert(key, example.remove(key).expect("it is there"));
        }
    }
    let faults = library.add("parts.toml", &parts.to_string()).err().map(|f| *f);
    let mut demo: DocumentMut = DEMO.parse().expect("the demo");
    lay_over(demo.as_table_mut(), example.as_table());
    (demo.to_string(), library, faults.into_iter().collect())
}

/// What the program finds of a page's matter in its example, ever closer until it is what the page says.
fn found(page: &Page, example: &str, expected: Option<Severity>) -> Vec<Severity> {
    let of_page =
        |all: &[Finding]| all.iter().filter(|f| f.name == page.name).map(|f| f.severity).collect::<Vec<Severity>>();
    if let Some(rows) = fenced(example, "csv") {
        return of_page(&room::read("room.csv", rows).1);
    }
    let Some(text) = fenced(example, "toml") else { return Vec::new() };
    let (text, library, mut findings) = bench(text);
    let reading = read(&text, &library);
    findings.extend(reading.findings);
    let Some(rig) = reading.rig else { return of_page(&findings) };
    let rig = advice::settle_crests(&rig).0;
    let looks: [&dyn Fn() -> Survey; 3] =
        [&|| Survey::of(&rig, QUICK_RUNS), &|| Survey::with_crop(&rig, QUICK_RUNS), &|| {
            Survey::with_crop(&rig, USUAL_RUNS)
        }];
    let mut of_last = Vec::new();
    for look in looks {
        let mut all = findings.clone();
        all.extend(judge_some(&look(), &[page.name]));
        of_last = of_page(&all);
        if expected.map_or(!of_last.is_empty(), |e| of_last.iter().min() == Some(&e)) {
            break;
        }
    }
    of_last
}

#[test]
fn a_page_and_its_example_agree() {
    let pages: Vec<&Page> = pages::all().iter().filter(|p| !OF_FILES.contains(&p.name)).collect();
    let wrong = split::map(pages.len(), |i| {
        let page = pages[i];
        let example = page.text.split_once("## Example").expect("every page has an example").1;
        let expected = said(example);
        let got = catch_unwind(AssertUnwindSafe(|| found(page, example, expected)));
        match got {
            Ok(got) if expected.is_some() && got.iter().min() == expected.as_ref() => String::new(),
            Ok(got) => format!("{}: the page says {expected:?}, the program {got:?}\n", page.name),
            Err(_) => format!("{}: panic\n", page.name),
        }
    })
    .concat();
    assert!(wrong.is_empty(), "\n{wrong}");
}
