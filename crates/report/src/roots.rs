//! The blocks of a bench over a day, as text.

use crate::text::{COLUMNS, plain, wrap};
use crate::words;
use std::fmt::Write as _;
use tidewright_rig::Rig;
use tidewright_rig::units::{System, clock, duration};
use tidewright_sim::roots::{BlockMoment, RootDay};

/// Rows of the table are this far apart \[s\].
const ROW_S: f64 = 7200.0;

/// Answer of `roots`.
pub fn table(rig: &Rig, days: &[RootDay]) -> String {
    let mut out = String::new();
    if days.is_empty() {
        return "No tray has blocks: there is nothing to follow. A bed of grains is not followed yet.\n".into();
    }
    for d in days {
        one(&mut out, rig, d);
    }
    let media: Vec<String> = {
        let mut m: Vec<String> = rig
            .trays
            .iter()
            .filter_map(|t| t.blocks.as_ref())
            .map(|b| format!("{}: {}", b.medium.name, b.medium.source))
            .collect();
        m.dedup();
        m
    };
    out.push_str(&wrap(
        &format!(
            "How sure: the equations are held against published columns, the media are not measured on yours ({}). \
             What a crop drinks is good to a third; weigh a block after a flood and before the next, and write \
             \"drinks\" under [crop].",
            media.join("; ")
        ),
        0,
        COLUMNS,
    ));
    out
}

fn one(out: &mut String, rig: &Rig, d: &RootDay) {
    let u = rig.system;
    let _ = writeln!(out, "{}", plain(&rig.trays[d.tray].name));
    let lasts = if d.lasts_s.is_finite() {
        format!("One flood lasts {} of light before roots are short of water", duration(d.lasts_s))
    } else {
        "One flood lasts two weeks and more".to_owned()
    };
    let gap = if d.longest_gap_s.is_finite() {
        format!("the longest time between two floods is {}", duration(d.longest_gap_s))
    } else {
        "no flood comes".to_owned()
    };
    let got = if d.demand_m3 > 0.0 { d.drunk_m3 / d.demand_m3 } else { 1.0 };
    let lines = format!(
        "A plant asks for {} a day, the tray for {} ({} an hour lit, {} dark); it gets {:.0} %. Floods bring the blocks \
         {}, {} runs back. {lasts}; {gap}.",
        small(u, d.demand_per_plant_m3),
        small(u, d.demand_m3),
        small(u, d.lit_m3_s * 3600.0),
        small(u, d.dark_m3_s * 3600.0),
        100.0 * got,
        small(u, d.taken_m3),
        small(u, d.given_back_m3),
    );
    out.push_str(&wrap(&lines, 0, COLUMNS));
    let _ = writeln!(
        out,
        "\n{:>6}  {:>6} {:>6} {:>6} {:>6}  water and air, % of the block",
        "time", "mean", "top", "base", "air"
    );
    for row in rows(&d.course) {
        let percent = |x: f64| format!("{:.0}", 100.0 * x);
        let _ = writeln!(
            out,
            "{:>6}  {:>6} {:>6} {:>6} {:>6}{}",
            clock(row.t_s.min(86_399.0)),
            percent(row.mean),
            percent(row.top),
            percent(row.base),
            percent(row.air),
            if row.supplied < 0.9 { "  short of water" } else { "" }
        );
    }
    let day = if d.periodic {
        format!("Day {} repeats the one before", d.days)
    } else {
        format!("After {} days the blocks still dry or fill from day to day", d.days)
    };
    let _ = writeln!(
        out,
        "{day}; the water account closes to {} of what the blocks hold.\n",
        words::power_of_ten(d.ledger_error)
    );
}

/// One moment every two hours, and the driest.
fn rows(course: &[BlockMoment]) -> Vec<BlockMoment> {
    let mut out: Vec<BlockMoment> = Vec::new();
    let mut next = 0.0;
    for m in course {
        if m.t_s >= next {
            out.push(*m);
            next = (m.t_s / ROW_S).floor() * ROW_S + ROW_S;
        }
    }
    out
}

/// Millilitres below a litre.
fn small(u: System, m3: f64) -> String {
    if u == System::Metric && m3 < 9.95e-4 { format!("{:.0} mL", m3 * 1e6) } else { u.volume(m3) }
}

/// The courses as CSV.
pub fn csv(days: &[RootDay]) -> String {
    let mut out = String::from("tray,t_s,mean_content,top_content,base_content,air_filled,supplied\n");
    for d in days {
        for m in &d.course {
            let _ = writeln!(
                out,
                "{},{:.1},{:.5},{:.5},{:.5},{:.5},{:.4}",
                d.tray, m.t_s, m.mean, m.top, m.base, m.air, m.supplied
            );
        }
    }
    out
}
