//! Whole answers for the terminal, one for each command.

use crate::advice::Advice;
use crate::figures;
use crate::program::medium_words;
use crate::text::{figure_table, findings, plain, wrap};
use crate::words;
use std::fmt::Write as _;
use tidewright_plan::Survey;
use tidewright_plan::working::Working;
use tidewright_rig::units::{System, duration, stopwatch};
use tidewright_rig::{Birth, Finding, Rig};
use tidewright_sim::{EventKind, Run};

/// Answer of `check`: name, findings, figures, where to cut and where to mark.
pub fn check(survey: &Survey, list: &[Finding], all: bool) -> String {
    let mut out = format!("{}\n", plain(&survey.rig.name));
    if !survey.rig.about.is_empty() {
        let _ = writeln!(out, "{}", plain(&survey.rig.about));
    }
    out.push('\n');
    out.push_str(&findings(list, all));
    out.push('\n');
    out.push_str(&figure_table(survey));
    out.push('\n');
    out.push_str(&cut_and_mark(survey));
    let _ = writeln!(out, "\n{}", figures::ledger_words(survey));
    if survey.crop.is_some() {
        let mut media: Vec<String> =
            survey.rig.trays.iter().filter_map(|t| t.blocks.as_ref()).map(|b| medium_words(&b.medium)).collect();
        media.dedup();
        if !media.is_empty() {
            let words =
                format!("What is said of blocks rests on media that are not measured on yours: {}.", media.join("; "));
            out.push_str(&wrap(&words, 0, crate::text::COLUMNS));
        }
    }
    out.push_str(
        "Mains and water: drip loops, residual-current protection, a licensed electrician; local code rules.\n",
    );
    out
}

fn cut_and_mark(survey: &Survey) -> String {
    let u = survey.units();
    let advice = Advice::of(survey);
    let mut out = String::new();
    for a in &advice.risers {
        let tray = &survey.rig.trays[a.tray];
        let who = if survey.trays.len() > 1 { format!("{}: ", plain(&tray.name)) } else { String::new() };
        let line = if a.holds {
            format!(
                "{who}Riser: crest {} above the floor{}, tube {} long; cut it {} longer, run, trim. Set by {}.",
                u.length(a.crest_m),
                if tray.drain.riser.as_ref().is_some_and(|r| r.crest.advise) {
                    String::new()
                } else {
                    format!(" (now {})", u.length(a.present_crest_m))
                },
                u.length(a.cut_m),
                u.length(0.01),
                a.set_by
            )
        } else {
            format!(
                "{who}Riser: no cut is advised until what stands above is mended (throttle the pump, or take a wider riser)."
            )
        };
        out.push_str(&wrap(&line, 0, crate::text::COLUMNS));
        if let Some((count, trim)) = a.rings {
            let _ = writeln!(out, "  as rings: {count}, the last trimmed by {}", u.length(trim));
        }
    }
    let l = &advice.lines;
    let (step, step_m) = words::step(u);
    let now =
        format!("Now {} below the rim. {step} is {}.", u.length(l.present_below_rim_m), u.volume(l.per_cm_m3 * step_m));
    let lines = if l.possible {
        format!(
            "Fill lines at rest (pump off, trays empty): highest {} below the rim ({}), set by {}; lowest {} below the rim ({}). {now}",
            u.length(l.highest_below_rim_m),
            u.volume(l.highest_m3),
            l.highest_set_by,
            u.length(l.lowest_below_rim_m),
            u.volume(l.lowest_m3),
        )
    } else {
        format!(
            "Fill lines: none can be drawn. The flood needs {} at rest to keep the pump wet, and {} lets no more than {} stand in the reservoir: it is too small for this flood. {now}",
            u.volume(l.lowest_m3),
            l.highest_set_by,
            u.volume(l.highest_m3),
        )
    };
    out.push_str(&wrap(&lines, 0, crate::text::COLUMNS));
    out
}

/// Answer of `bench`: every value and where it came from.
pub fn sheet(rig: &Rig) -> String {
    let mut out = String::new();
    let mut section = "";
    for l in &rig.sheet {
        let head = l.path.rsplit_once('.').map_or("", |(s, _)| s);
        if head != section {
            let _ = writeln!(out, "\n[{head}]");
            section = head;
        }
        let key = l.path.rsplit('.').next().unwrap_or("");
        let story = match &l.birth {
            Birth::Given { line } => format!("line {line}"),
            other => other.story(),
        };
        let _ = writeln!(out, "{:<18} {:<22} {}", plain(key), plain(&l.text), plain(&story));
    }
    out
}

/// Answer of `working`.
pub fn workings(all: &[Working]) -> String {
    let mut out = String::new();
    for w in all {
        let _ = writeln!(out, "{} [{}]: {}", plain(&w.title), w.name, w.value);
        let _ = writeln!(out, "    {}", w.formula);
        for s in &w.symbols {
            let _ = writeln!(out, "    {:<10} {:<14} {} ({})", s.symbol, s.value, s.meaning, plain(&s.birth));
        }
        if let Some([low, likely, high]) = &w.band {
            let _ = writeln!(out, "    band       {low} · {likely} · {high} (5, 50 and 95 of a hundred lie below)");
        }
        if let Some(n) = &w.narrows {
            out.push_str(&wrap(n, 4, crate::text::COLUMNS));
        }
        for a in &w.assumptions {
            out.push_str(&wrap(&format!("Assumed: {a}."), 4, crate::text::COLUMNS));
        }
        out.push_str(&wrap(&format!("Source: {}.", w.source), 4, crate::text::COLUMNS));
        out.push('\n');
    }
    out
}

/// Answer of `flood`: events in order, floods, the water account.
pub fn run(rig: &Rig, run: &Run) -> String {
    let u = rig.system;
    let mut out = String::new();
    let _ = writeln!(out, "{:>10}  {:<28} {:<16} depth", "time", "event", "where");
    for e in &run.events {
        let pump = matches!(
            e.kind,
            EventKind::PumpOn
                | EventKind::PumpOff
                | EventKind::HoseFull
                | EventKind::PrimeLost
                | EventKind::PrimeRegained
        );
        let reservoir = matches!(
            e.kind,
            EventKind::FloatOpens | EventKind::FloatShuts | EventKind::ReservoirOverflow | EventKind::ReservoirBelowRim
        );
        let place = match (pump, reservoir) {
            (true, _) => rig.pumps.get(e.index).map_or("", |p| p.name.as_str()),
            (_, true) => "reservoir",
            _ => rig.trays.get(e.index).map_or("", |t| t.name.as_str()),
        };
        let depth = if pump { format!("reservoir {}", u.length(e.depth_m)) } else { u.length(e.depth_m) };
        let _ = writeln!(out, "{:>10}  {:<28} {:<16} {depth}", stopwatch(e.t_s), e.kind.words(), plain(place));
    }
    out.push('\n');
    for f in &run.floods {
        let name = rig.trays.get(f.tray).map_or("", |t| t.name.as_str());
        let _ = writeln!(
            out,
            "{} at {}: crest wet {}, highest {}; after the stop, drained {}",
            plain(name),
            stopwatch(f.start_s),
            reached(f.crest_wet_s),
            u.length(f.highest_m),
            reached(f.drained_s)
        );
    }
    ledger(u, run, &mut out);
    out
}

fn reached(seconds: f64) -> String {
    if seconds.is_finite() { format!("after {}", duration(seconds)) } else { "never".into() }
}

fn ledger(u: System, run: &Run, out: &mut String) {
    let (a, b) = (&run.ledger.start, &run.ledger.end);
    let sum = |v: &[f64]| v.iter().sum::<f64>();
    let _ = writeln!(out, "\n{:<14} {:>12} {:>12}", "water", "start", "end");
    let rows = [
        ("reservoir", a.reservoir_m3, b.reservoir_m3),
        ("trays", sum(&a.trays_m3), sum(&b.trays_m3)),
        ("media", sum(&a.media_m3), sum(&b.media_m3)),
        ("hoses", sum(&a.hoses_m3), sum(&b.hoses_m3)),
        ("floor", a.floor_m3, b.floor_m3),
        ("supply", a.supply_m3, b.supply_m3),
        ("all", a.total_m3(), b.total_m3()),
    ];
    for (name, x, y) in rows {
        let _ = writeln!(out, "{name:<14} {:>12} {:>12}", u.volume(x), u.volume(y));
    }
    let _ = writeln!(out, "largest error of the account: {:.0e} of all water", run.ledger.error);
    if run.days > 0 {
        let _ = writeln!(
            out,
            "day {} {}",
            run.days,
            if run.periodic { "repeats the one before" } else { "does not repeat the one before" }
        );
    }
    if run.broke_off {
        out.push_str("The simulation gave up here: trust nothing after the last event.\n");
    }
}
