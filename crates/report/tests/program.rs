//! The timer program as text, page and calendar; the calendar is read back by another crate's parser.

use ical::IcalParser;
use std::collections::HashSet;
use tidewright_plan::program::{StageProgram, programs};
use tidewright_report::{calendar, program, program_page};
use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};

fn kitchen(change: impl Fn(&str) -> String) -> (Rig, Vec<StageProgram>) {
    let text = change(include_str!("../../../examples/quayside-kitchen.toml"));
    let rig = read(&text, &Library::shipped()).rig.expect("the demo reads");
    let all = programs(&rig, 0, &|_| {}).expect("blocks stand in it");
    (rig, all)
}

fn as_written(text: &str) -> String {
    text.to_owned()
}

#[test]
fn offers_keep_the_roots_wet_on_the_timers_steps_and_in_the_light() {
    let (rig, all) = kitchen(as_written);
    assert_eq!(all.len(), 5);
    for p in &all {
        let o = p.offer.as_ref().expect("stone wool can be kept wet");
        assert!(o.judged.supplied >= 0.9 && o.judged.keeps_wet());
        assert!((o.run_s / 900.0).fract() == 0.0 && o.starts.iter().all(|t| (t / 900.0).fract() == 0.0), "{o:?}");
        assert!(o.starts.iter().all(|t| rig.growing.is_lit(*t)));
        assert!(p.demand_m3.1 > p.demand_m3.0);
        for other in &p.others {
            assert!(other.starts.len() <= o.starts.len() || other.judged.pump_s > o.judged.pump_s);
        }
    }
    assert!(all.windows(2).all(|w| w[1].days.0 == w[0].days.1 + 1.0));
    let thirst: Vec<f64> = all.iter().map(|p| p.demand_per_plant_m3).collect();
    assert!(thirst[..4].windows(2).all(|w| w[1] > w[0]));
    assert!(all[0].first_days.is_some() && all[1..].iter().all(|p| p.first_days.is_none()));
}

#[test]
fn trade_pellets_ask_for_more_floods_than_wool() {
    let floods = |change: &dyn Fn(&str) -> String| {
        let (_, all) = kitchen(change);
        all[3].offer.as_ref().map_or(usize::MAX, |o| o.starts.len())
    };
    let wool = floods(&as_written);
    let pellets = floods(&|t| t.replace("medium = \"stone-wool\"", "medium = \"clay-pellets\""));
    assert!(pellets > wool, "{pellets} {wool}");
}

#[test]
fn the_calendar_reads_back_with_every_flood() {
    let (rig, all) = kitchen(|t| {
        t.replace("name = \"Quayside kitchen\"", "name = \"Kitchen; \\\"quay\\\", north\\\\side\"")
            .replace("basil for a", "ß 水 for a")
    });
    let first = calendar::day("2026-02-20").unwrap();
    let text = calendar::calendar(&rig, 0, &all, first);
    assert!(text.split("\r\n").all(|l| l.len() <= 75), "lines are folded");
    assert!(!text.replace("\r\n", "").contains('\n'), "every line ends with CR LF");
    let read: Vec<_> = IcalParser::new(text.as_bytes()).collect::<Result<_, _>>().expect("another parser reads it");
    assert_eq!(read.len(), 1);
    let events = &read[0].events;
    let of = |e: &ical::parser::ical::component::IcalEvent, name: &str| {
        e.properties.iter().find(|p| p.name == name).and_then(|p| p.value.clone())
    };
    let uids: HashSet<String> = events.iter().filter_map(|e| of(e, "UID")).collect();
    assert_eq!(uids.len(), events.len(), "every event has a name of its own");
    for e in events {
        assert!(of(e, "DTSTAMP").is_some() && of(e, "DTSTART").is_some() && of(e, "SUMMARY").is_some());
    }
    let floods: Vec<_> = events.iter().filter(|e| of(e, "RRULE").is_some()).collect();
    let offered: usize = all.iter().flat_map(|p| &p.offer).map(|o| o.starts.len()).sum();
    assert_eq!(floods.len(), offered);
    let days: u32 = floods.iter().filter_map(|e| of(e, "RRULE")?.rsplit_once('=')?.1.parse::<u32>().ok()).sum();
    let asked: f64 =
        all.iter().flat_map(|p| p.offer.as_ref().map(|o| o.starts.len() as f64 * (p.days.1 - p.days.0 + 1.0))).sum();
    assert_eq!(f64::from(days), asked);
    // The second stage begins ten days after the first: over the end of a February.
    assert!(of(&events[2], "DTSTART").unwrap_or_default().starts_with("20260302"), "{:?}", of(&events[2], "DTSTART"));
    assert_eq!(text, calendar::calendar(&rig, 0, &all, first), "the same program gives the same file");
}

#[test]
fn days_that_are_none_are_refused() {
    for text in ["", "tomorrow", "2026-13-01", "2026-02-30", "99999-01-01", "0000-00-00", "9999-12-31"] {
        assert!(calendar::day(text).is_none(), "{text}");
    }
}

#[test]
fn no_line_of_the_table_is_too_wide_and_the_page_says_the_same() {
    let (rig, all) = kitchen(as_written);
    let table = program::table(&rig, 0, &all);
    assert!(table.lines().all(|l| l.chars().count() <= 100 && l == l.trim_end()), "{table}");
    let page = program_page(&rig, 0, &all, "");
    for p in &all {
        let o = p.offer.as_ref().expect("offered");
        assert!(table.contains(&program::starts(o)) && page.contains(&program::starts(o)));
        assert!(page.contains(p.stage.word()));
    }
}
