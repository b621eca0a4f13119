//! How cost grows with trays and days: the exponent of a line through log time over log size.
//! `cargo bench -p tidewright-sim --bench scaling`. 1.0 is linear.

#![allow(clippy::print_stdout, reason = "a bench speaks to the terminal")]

use std::fmt::Write as _;
use std::time::Instant;
use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Program, Scenario, run};

/// Trays with pumps of their own over one tank, flooded one after the other.
fn bench(trays: usize) -> Rig {
    let mut text = String::from(
        "[reservoir]\npart = \"tank-400l\"\nfill = \"300 L\"\n[timer]\nkind = \"digital\"\nminutes = \"6 min\"\n",
    );
    for i in 0..trays {
        let _ = write!(text, "[[pump]]\nname = \"p{i}\"\npart = \"pump-833\"\n");
    }
    for i in 0..trays {
        let (h, m) = (6 + i / 2, 30 * (i % 2));
        let _ = write!(
            text,
            "[[tray]]\nname = \"t{i}\"\npump = \"p{i}\"\npart = \"tub-54x37\"\nelevation = \"800 mm\"\nfloods = [\"{h:02}:{m:02}\"]\n"
        );
    }
    read(&text, &Library::shipped()).rig.expect("sound")
}

fn seconds(rig: &Rig, program: Program) -> f64 {
    let options = Options { keep: Keep::Events, ..Options::default() };
    let scenario = Scenario { program, options, ..Scenario::one_flood(rig) };
    let mut best = f64::INFINITY;
    for _ in 0..15 {
        let start = Instant::now();
        assert!(run(rig, &scenario).ledger.closes());
        best = best.min(start.elapsed().as_secs_f64());
    }
    best
}

/// Least squares through (ln x, ln y).
fn exponent(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let logs: Vec<(f64, f64)> = points.iter().map(|p| (p.0.ln(), p.1.ln())).collect();
    let (mx, my) = (logs.iter().map(|p| p.0).sum::<f64>() / n, logs.iter().map(|p| p.1).sum::<f64>() / n);
    logs.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum::<f64>() / logs.iter().map(|p| (p.0 - mx).powi(2)).sum::<f64>()
}

fn main() {
    let mut trays = Vec::new();
    for n in [1usize, 2, 4, 8, 16] {
        let t = seconds(&bench(n), Program::Day);
        println!("{n:>3} trays, one flood each in a day: {:>9.1} µs", t * 1e6);
        trays.push((n as f64, t));
    }
    println!("exponent in trays (each brings its own flood): {:.2}", exponent(&trays));
    let rig = bench(3);
    let mut days = Vec::new();
    for n in [1u32, 2, 4] {
        // Days run until one repeats; asked for more than it takes, the count is what was run.
        let options = Options { keep: Keep::Events, ..Options::default() };
        let scenario =
            Scenario { program: Program::DaysUntilPeriodic { most: n }, options, ..Scenario::one_flood(&rig) };
        let ran = run(&rig, &scenario).days;
        let t = seconds(&rig, Program::DaysUntilPeriodic { most: n });
        println!("{ran:>3} days of three trays: {:>9.1} µs", t * 1e6);
        days.push((f64::from(ran), t));
    }
    days.dedup_by(|a, b| a.0 == b.0);
    println!("exponent in days: {:.2}", exponent(&days));
}
