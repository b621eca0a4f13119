//! The timer program as text: a table for the fridge door, then stage by stage what it rests on.

use crate::text::{COLUMNS, plain, wrap};
use std::fmt::Write as _;
use tidewright_plan::program::{Judged, Offer, StageProgram};
use tidewright_rig::Rig;
use tidewright_rig::bench::{Medium, TimerKind};
use tidewright_rig::units::{clock, duration};

const HOUR_S: f64 = 3600.0;
/// Where a timer is set.
pub const CAUTION: &str = "Take care. Timer and plugs stay above and away from water, every cord with a drip loop, every socket with a \
     residual-current device. Mains wiring is work for a licensed electrician; local code rules.";

/// Starts as times of day, near enough for a timer.
pub fn starts(offer: &Offer) -> String {
    offer.starts.iter().map(|t| clock(*t)).collect::<Vec<_>>().join(" ")
}

/// Days of a stage, as in "days 11–20".
pub fn days(p: &StageProgram) -> String {
    if p.days.1 < p.days.0 { "—".into() } else { format!("{:.0}–{:.0}", p.days.0, p.days.1) }
}

/// What the blocks are, in a few words.
pub fn blocks_words(rig: &Rig, tray: usize) -> String {
    let Some(b) = rig.trays[tray].blocks.as_ref() else { return String::new() };
    let u = rig.system;
    format!(
        "{:.0} blocks of {}, {} high, {}",
        b.count.get(),
        b.medium.name,
        u.length(b.total_height().value),
        if b.wrapped.get() { "wrapped" } else { "open at the sides" }
    )
}

/// What must be said wherever a medium's curve is used.
pub fn medium_words(medium: &Medium) -> String {
    format!("{}: {}", medium.name, medium.source)
}

/// Answer of `program`.
pub fn table(rig: &Rig, tray: usize, programs: &[StageProgram]) -> String {
    let mut out = String::new();
    let u = rig.system;
    let t = &rig.trays[tray];
    let head = format!(
        "Timer program for {}: {} under {} on {}",
        plain(&rig.name),
        rig.growing.crop.name,
        light_words(rig),
        blocks_words(rig, tray)
    );
    out.push_str(&wrap(&head, 0, COLUMNS));
    if rig.trays.len() > 1 {
        let _ = writeln!(out, "Tray: {}", plain(&t.name));
        let others = rig.trays.iter().enumerate().filter(|(i, o)| *i != tray && o.pump == t.pump && o.blocks.is_some());
        let names: Vec<String> = others.map(|(i, o)| format!("{} (--tray {})", plain(&o.name), i + 1)).collect();
        if !names.is_empty() {
            let words =
                format!("On the same pump, and not looked at here: {}. One pump floods them all.", names.join(", "));
            out.push_str(&wrap(&words, 0, COLUMNS));
        }
    }
    let _ = writeln!(out, "\n{:>8}  {:<8} {:>7}  {:>10}  floods at", "days", "stage", "minutes", "a plant");
    for p in programs {
        let (minutes, at) = match &p.offer {
            Some(o) => (duration(o.run_s), starts(o)),
            None => ("—".into(), "no program keeps it wet: see below".into()),
        };
        let mut lines = wrap_times(&at, COLUMNS - 41).into_iter();
        let _ = writeln!(
            out,
            "{:>8}  {:<8} {:>7}  {:>10}  {}",
            days(p),
            p.stage.word(),
            minutes,
            format!("{}/day", u.sip(p.demand_per_plant_m3)),
            lines.next().unwrap_or_default()
        );
        for more in lines {
            let _ = writeln!(out, "{:41}{more}", "");
        }
    }
    out.push('\n');
    for p in programs {
        stage(&mut out, rig, tray, p);
    }
    out.push_str(&wrap(CAUTION, 0, COLUMNS));
    sure(&mut out, rig, tray);
    out
}

fn wrap_times(text: &str, width: usize) -> Vec<String> {
    wrap(text, 0, width).lines().map(str::to_owned).collect()
}

fn light_words(rig: &Rig) -> String {
    let g = &rig.growing;
    format!("{} of light from {}", duration(g.lit.get().value), clock(g.on.get()))
}

/// What a stage's program rests on.
fn stage(out: &mut String, rig: &Rig, tray: usize, p: &StageProgram) {
    let mut say = |text: &str| out.push_str(&wrap(text, 2, COLUMNS));
    let head = format!("{}, days {}", p.stage.word(), days(p));
    say(&head);
    for line in remarks(rig, tray, p) {
        say(&line);
    }
    let mut all: Vec<(&Offer, &str)> = p.others.iter().map(|o| (o, "")).collect();
    all.extend(p.offer.as_ref().map(|o| (o, "offered")));
    if rig.growing.stage.get() == p.stage || p.offer.is_none() {
        all.push((&p.written, "as the file has it"));
    }
    all.sort_by_key(|(o, _)| o.starts.len());
    let _ = writeln!(
        out,
        "\n  {:>6} {:>8} {:>8} {:>9} {:>9} {:>8} {:>8}",
        "floods", "minutes", "driest", "crop gets", "no air", "may fail", "pump"
    );
    for (o, what) in all {
        let j = &o.judged;
        let row = format!(
            "  {:>6} {:>8} {:>8} {:>9} {:>9} {:>8} {:>8}  {what}",
            o.starts.len(),
            duration(o.run_s),
            format!("{:.0} %", 100.0 * j.driest),
            format!("{:.0} %", 100.0 * j.supplied.clamp(0.0, 1.0)),
            format!("{:.0} %", 100.0 * j.starved),
            misses(j),
            format!("{:.1} Wh", j.energy_j / HOUR_S),
        );
        let _ = writeln!(out, "{}", row.trim_end());
    }
    out.push('\n');
}

/// Floods in a row that may fail.
fn misses(j: &Judged) -> String {
    match j.may_miss {
        u32::MAX => "any".into(),
        n => n.to_string(),
    }
}

/// What is to be said of a stage, one sentence a line.
pub fn remarks(rig: &Rig, tray: usize, p: &StageProgram) -> Vec<String> {
    let u = rig.system;
    let mut out = Vec::new();
    match &p.offer {
        None => out.push(format!(
            "→ No number of floods keeps all roots wet at the dry end: water by hand, {} a plant and day at least, or take a \
             medium that lifts more, lower blocks or a higher crest.",
            u.sip(p.demand_per_plant_m3)
        )),
        Some(o) => {
            let slack = match o.judged.may_miss {
                u32::MAX => "floods may fail for two weeks".to_owned(),
                0 => "no flood may fail".to_owned(),
                1 => "one flood may fail".to_owned(),
                n => format!("{n} floods in a row may fail"),
            };
            out.push(format!("One flood lasts {} at the dry end, its puddle left out: {slack} before roots are short of water.", lasts(p.lasts_s)));
            let medium = rig.trays[tray].blocks.as_ref().map(|b| &b.medium);
            if let Some([low, high]) = medium.and_then(|m| m.usual_floods(p.stage)) {
                let more = if (o.starts.len() as f64) < low { ": more than water asks for, to renew salts" } else { "" };
                let usual = if high < 0.9 {
                    format!("one flood in {:.0} to {:.0} days", 1.0 / high, 1.0 / low)
                } else if low < 0.9 {
                    format!("one flood in {:.0} days to {high:.0} a day", 1.0 / low)
                } else {
                    format!("{low:.0} to {high:.0} floods a day")
                };
                out.push(format!("Growers give {usual} in this medium{more} (common practice, no source)."));
            }
            if !o.judged.keeps_air() {
                out.push(format!(
                    "→ {:.0} % of the roots may be short of oxygen: set the blocks on a ribbed mat, keep the floor dry under them, or take \
                     taller blocks or a coarser medium; more floods make it worse.",
                    100.0 * o.judged.starved
                ));
            }
            if o.starts.iter().any(|t| !rig.growing.is_lit(*t)) {
                out.push("The night dries them: one flood in the dark.".to_owned());
            }
            let by_clock = rig.timer.kind.get() != TimerKind::Interval;
            if !by_clock {
                out.push("An interval timer cannot keep these hours: set its pause to the shortest gap between them.".to_owned());
            }
            if p.lasts_s.is_finite() && p.lasts_s > 2.5 * 86_400.0 && o.starts.len() == 1 {
                let every = (0.5 * p.lasts_s / 86_400.0).floor().max(1.0);
                if every >= 2.0 {
                    out.push(format!("Every {every:.0} days would do, where somebody or the timer can count days."));
                }
            }
        }
    }
    if let Some(f) = &p.first_days {
        out.push(format!(
            "Soak the blocks first: {} each, until no bubbles come{}.",
            u.sip(f.soak_m3),
            if rig.trays[tray].blocks.as_ref().is_some_and(|b| b.medium.id.starts_with("stone-wool")) {
                " (stone wool in water of pH 5.5; common practice, no source)"
            } else {
                ""
            }
        ));
        out.push(if f.reached() {
            format!("The flood stands {} over the blocks' undersides and reaches the plug.", u.length(f.flood_m))
        } else if f.lifted {
            format!(
                "The flood stays {} below the plug; the block lifts water to it. Water the plugs once by hand when you set them.",
                u.length(f.plug_m - f.flood_m)
            )
        } else {
            format!(
                "→ The flood stays {} below the plug and the block does not lift water that far at its dry end: water each plug by \
                 hand until roots leave it, 3 to 7 days (common practice, no source).",
                u.length(f.plug_m - f.flood_m)
            )
        });
    }
    out
}

/// How long a flood lasts, in words.
pub fn lasts(seconds: f64) -> String {
    match seconds {
        s if !s.is_finite() => "two weeks and more".into(),
        s if s < HOUR_S => "less than an hour".into(),
        s if s < 48.0 * HOUR_S => format!("{:.0} h", s / HOUR_S),
        s => format!("{:.0} days", s / 86_400.0),
    }
}

fn sure(out: &mut String, rig: &Rig, tray: usize) {
    let Some(b) = rig.trays[tray].blocks.as_ref() else { return };
    let crop = &rig.growing.crop;
    out.push_str(&wrap(
        &format!(
            "How sure: \"driest\" and \"crop gets\" are the worst of the day with a third more thirst than likely and a medium that \
             was wetted from dry; \"no air\" is the share of roots under 2.1 mg/L of oxygen with a third less thirst and the \
             lowest published diffusion. Media are representative unless you measured yours ({}). Stages and leaf: {}. \
             Look at the plants before you trust the table: dull leaves at noon ask for a flood, yellow lower leaves and brown \
             roots for air.",
            medium_words(&b.medium),
            crop.source
        ),
        0,
        COLUMNS,
    ));
}
