//! The blocks of a bench over a day, as text.

use crate::text::{COLUMNS, plain, wrap};
use crate::words;
use std::fmt::Write as _;
use tidewright_plan::survey::crop::THIRST;
use tidewright_rig::units::{clock, duration};
use tidewright_rig::{Finding, Rig, Severity};
use tidewright_sim::roots::RootDay;
use tidewright_sim::stack::BlockMoment;

/// Rows of the table are this far apart \[s\].
const ROW_S: f64 = 7200.0;
const HOUR_S: f64 = 3600.0;

/// What `check` calls a stop, to be said before anything that rests on the floods.
pub fn stops(findings: &[Finding]) -> String {
    let stops = findings.iter().filter(|f| f.severity == Severity::Stop);
    stops
        .map(|f| format!("■ Stop, says check: {}. What follows holds only once that is mended. ", plain(&f.title)))
        .collect()
}

/// Answer of `roots`; `findings` are those of the bench.
pub fn table(rig: &Rig, days: &[RootDay], findings: &[Finding]) -> String {
    let mut out = String::new();
    let mut say = |text: &str| out.push_str(&wrap(text, 0, COLUMNS));
    say(&stops(findings));
    let total: f64 = days.iter().map(|d| d.drunk_m3 + d.evaporated_m3).sum();
    for (i, t) in rig.trays.iter().enumerate() {
        if !days.iter().any(|d| d.tray == i) {
            let why = if t.bed.is_some() { "a bed of grains is not followed yet" } else { "no blocks stand in it" };
            say(&format!("{}: {why}.", plain(&t.name)));
        }
    }
    if days.is_empty() {
        return out;
    }
    say(&format!(
        "Crop and tops take {} a day out of the reservoir: so much is to be topped up.\n",
        rig.system.sip(total)
    ));
    for d in days {
        one(&mut out, rig, d);
    }
    let mut media: Vec<String> = rig
        .trays
        .iter()
        .filter_map(|t| t.blocks.as_ref())
        .map(|b| format!("{}: {}", b.medium.name, b.medium.source))
        .collect();
    media.dedup();
    out.push_str(&wrap(
        &format!(
            "How sure: the equations are held against published columns, the media are not measured on yours ({}). \
             What a crop drinks is good to a third at best; weigh a block after a flood and before the next, and write \
             \"drinks\" under [crop]. Roots' use of oxygen and how they lie in the block are usual values from memory.",
            media.join("; ")
        ),
        0,
        COLUMNS,
    ));
    out
}

fn one(out: &mut String, rig: &Rig, d: &RootDay) {
    let u = rig.system;
    let g = &rig.growing;
    let _ = writeln!(out, "{}", plain(&rig.trays[d.tray].name));
    let mut say = |text: &str| out.push_str(&wrap(text, 0, COLUMNS));
    let by = if g.drinks.is_some() {
        "as written".to_owned()
    } else {
        format!("leaves over {:.0} % of the tray", 100.0 * g.cover.get())
    };
    let dark =
        if g.lit.get().value < 86_340.0 { format!(", {} dark", u.sip(d.dark_m3_s * HOUR_S)) } else { String::new() };
    let got = if d.demand_m3 > 1e-9 { (d.drunk_m3 / d.demand_m3).clamp(0.0, 1.0) } else { 1.0 };
    say(&format!(
        "A plant asks for {} a day ({} to {}), the tray for {} ({by}; {} an hour lit{dark}), and gets {:.0} % of it. Floods and the \
         puddles that they leave bring the blocks {}; {} of that runs back, {} leaves through their tops.",
        u.sip(d.demand_per_plant_m3),
        u.sip(d.demand_per_plant_m3 / THIRST),
        u.sip(d.demand_per_plant_m3 * THIRST),
        u.sip(d.demand_m3),
        u.sip(d.lit_m3_s * HOUR_S),
        100.0 * got,
        u.sip(d.taken_m3),
        u.sip(d.given_back_m3),
        u.sip(d.evaporated_m3),
    ));
    let lasts = match d.lasts_s {
        s if !s.is_finite() => "One flood lasts two weeks and more.".to_owned(),
        s if s < HOUR_S => "One flood does not last an hour: it does not reach all roots.".to_owned(),
        s if s < 48.0 * HOUR_S => {
            format!("One flood lasts {} before roots are short of water, its puddle left out.", duration(s))
        }
        s => format!("One flood lasts {:.0} days before roots are short of water, its puddle left out.", s / 86_400.0),
    };
    let gap = match d.longest_gap_s {
        s if !s.is_finite() => "No flood is in the program.".to_owned(),
        s if s < 60.0 => "The pump hardly ever stops.".to_owned(),
        s => format!("The longest pause between floods is {}.", duration(s)),
    };
    say(&format!("{lasts} {gap}"));
    let least = d.course.iter().map(|m| m.mean).fold(f64::INFINITY, f64::min);
    let most = d.course.iter().map(|m| m.mean).fold(0.0, f64::max);
    say(&format!("Over the day the blocks are between {:.0} and {:.0} % water.", 100.0 * least, 100.0 * most));
    if got < 0.9 {
        say("→ Short of water: flood more often or deeper, or take a medium that holds more.");
    }
    air(&mut say, d);
    let _ = writeln!(
        out,
        "\n{:>6}  {:>6} {:>6} {:>6} {:>6} {:>7}   % of the block: water in all, in its top, in its base; air in all;",
        "time", "water", "top", "base", "air", "oxygen"
    );
    let _ = writeln!(out, "{:>43}   of that in air, mean at the roots", "");
    for (t, row) in rows(&d.course) {
        let percent = |x: f64| format!("{:.0}", 100.0 * x);
        let _ = writeln!(
            out,
            "{:>6}  {:>6} {:>6} {:>6} {:>6} {:>7}{}",
            clock(t),
            percent(row.mean),
            percent(row.top),
            percent(row.base),
            percent(row.air),
            percent(row.oxygen),
            if row.supplied < 0.9 { "   short of water" } else { "" }
        );
    }
    let day = if d.periodic {
        format!("Day {} repeats the one before", d.days)
    } else {
        format!("After {} days the blocks still dry or fill from day to day", d.days)
    };
    let _ = writeln!(
        out,
        "{day}; the whole bench's water account closes to {}.\n",
        words::power_of_ten(d.ledger_error.max(1e-16))
    );
}

/// Oxygen at the roots, and how long it lasts.
fn air(say: &mut impl FnMut(&str), d: &RootDay) {
    let after =
        |s: f64| if s.is_finite() { format!("after {}", duration(s)) } else { "not within two days".to_owned() };
    say(&format!(
        "Roots find {:.0} % of the oxygen of air on the day's mean, and {:.0} % of them less than 2.1 mg/L. Half of them run short \
         {} under a flood that stays, and {} in blocks that are drained and get none.",
        100.0 * d.oxygen,
        100.0 * d.starved,
        after(d.stuffy_flooded_s),
        after(d.stuffy_drained_s)
    ));
    if d.starved > 0.3 {
        say(
            "→ The foot of the blocks has little air: set them on a ribbed mat, flood less often, or take taller blocks or a coarser medium.",
        );
    }
}

/// The state at every second hour.
fn rows(course: &[BlockMoment]) -> Vec<(f64, BlockMoment)> {
    (0..12)
        .filter_map(|i| {
            let t = ROW_S * f64::from(i);
            // At midnight stands what the day before left.
            let upto = if i == 0 { f64::INFINITY } else { t + 1.0 };
            course.iter().rev().find(|m| m.t_s <= upto).map(|m| (t, *m))
        })
        .collect()
}

/// The courses as CSV.
pub fn csv(days: &[RootDay]) -> String {
    let mut out =
        String::from("tray,t_s,mean_content,top_content,base_content,air_filled,supplied,oxygen,starved_roots\n");
    for d in days {
        for m in &d.course {
            let _ = writeln!(
                out,
                "{},{:.1},{:.5},{:.5},{:.5},{:.5},{:.4},{:.4},{:.4}",
                d.tray, m.t_s, m.mean, m.top, m.base, m.air, m.supplied, m.oxygen, m.starved
            );
        }
    }
    out
}
