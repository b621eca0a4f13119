//! The timer program as a calendar, RFC 5545: what a calendar application imports.
//!
//! Times are local ("floating", section 3.3.5, form 1): a bench's timer knows no time zone. Nothing here reads a
//! clock: the same program and first day give the same file.

use crate::program;
use jiff::ToSpan;
pub use jiff::civil::Date as Day;
use jiff::civil::Date;
use std::fmt::Write as _;
use tidewright_plan::program::StageProgram;
use tidewright_rig::Rig;
use tidewright_rig::units::{clock, duration};

/// Octets in a line before it must be folded (RFC 5545, section 3.1).
const LINE: usize = 75;

/// A day written as 2026-03-01.
pub fn day(text: &str) -> Option<Date> {
    let date: Date = text.trim().parse().ok()?;
    // Stages are counted on from it, and calendars do not go further.
    (1900..=9000).contains(&date.year()).then_some(date)
}

/// The calendar of one tray's crop that is set out on `first`.
pub fn calendar(rig: &Rig, tray: usize, programs: &[StageProgram], first: Date) -> String {
    let mut out = String::new();
    let mut line = |text: &str| fold(&mut out, text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//Tidewright//Timer program//EN");
    line("CALSCALE:GREGORIAN");
    let name = escape(&format!("{}: floods", rig.name));
    line(&format!("NAME:{name}"));
    for p in programs.iter().filter(|p| p.days.1 >= p.days.0) {
        let Ok(begin) = first.checked_add((p.days.0 as i64 - 1).days()) else { continue };
        let length = (p.days.1 - p.days.0 + 1.0) as i64;
        let Ok(next) = begin.checked_add(1.day()) else { continue };
        let uid = |what: &str| format!("{}-{tray}-{}-{what}@tidewright.invalid", ymd(first), p.stage.word());
        let mut event = |uid: &str, when: &[String], summary: &str, about: &str, busy: bool| {
            line("BEGIN:VEVENT");
            line(&format!("UID:{uid}"));
            line(&format!("DTSTAMP:{}T000000Z", ymd(first)));
            for w in when {
                line(w);
            }
            line(&format!("SUMMARY:{}", escape(summary)));
            if !about.is_empty() {
                line(&format!("DESCRIPTION:{}", escape(about)));
            }
            line(if busy { "TRANSP:OPAQUE" } else { "TRANSP:TRANSPARENT" });
            line("END:VEVENT");
        };
        let set = match &p.offer {
            Some(o) => format!("Set the timer: {}, {} each", program::starts(o), duration(o.run_s)),
            None => "No timer program keeps it wet: water by hand".to_owned(),
        };
        let about = program::remarks(rig, tray, p).join("\n");
        let all_day = [format!("DTSTART;VALUE=DATE:{}", ymd(begin)), format!("DTEND;VALUE=DATE:{}", ymd(next))];
        let whose =
            if rig.trays.len() > 1 { format!("{}, {}", rig.name, rig.trays[tray].name) } else { rig.name.clone() };
        event(&uid("set"), &all_day, &format!("{whose}: {} stage. {set}", p.stage.word()), &about, true);
        if p.first_days.is_some_and(|f| f.by_hand()) {
            let when = [all_day[0].clone(), all_day[1].clone(), format!("RRULE:FREQ=DAILY;COUNT={}", length.min(7))];
            event(&uid("hand"), &when, "Water the plugs by hand until roots leave them", "", true);
        }
        for (k, start) in p.offer.iter().flat_map(|o| &o.starts).enumerate() {
            let run_s = p.offer.as_ref().map_or(0.0, |o| o.run_s);
            let when = [
                format!("DTSTART:{}T{}00", ymd(begin), clock(*start).replace(':', "")),
                format!("DURATION:PT{:.0}S", run_s),
                format!("RRULE:FREQ=DAILY;COUNT={length}"),
            ];
            event(&uid(&format!("flood{k}")), &when, &format!("Flood, {}", duration(run_s)), "", false);
        }
    }
    line("END:VCALENDAR");
    out
}

fn ymd(date: Date) -> String {
    format!("{:04}{:02}{:02}", date.year(), date.month(), date.day())
}

/// Text as a value: section 3.3.11.
fn escape(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(c);
            }
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// One content line, folded between characters; every line ends with CR LF.
fn fold(out: &mut String, text: &str) {
    let mut used = 0;
    for c in text.chars() {
        if used + c.len_utf8() > LINE {
            out.push_str("\r\n ");
            used = 1;
        }
        let _ = write!(out, "{c}");
        used += c.len_utf8();
    }
    out.push_str("\r\n");
}
