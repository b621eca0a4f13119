//! Random blocks and days for `evidence/twin/random_blocks.py`: what was asked of each block and what our own run
//! gave, to standard output; how long a day took, to standard error.
//!
//! `random_blocks [COUNT] [CONTENT]`: 50 blocks unless said otherwise, run with errors of a step below 10⁻⁵ in content
//! unless said otherwise, and again with those of ordinary use.

use serde_json::{Value, json};
use std::io::Write;
use std::sync::Arc;
use std::time::Instant;
use tidewright_evidence::random::Lot;
use tidewright_physics::media::{Hydraulic, Porous, Retention};
use tidewright_sim::block::{Around, Base, Beside, Column, Entry, Exchange, Layer, Roots, Settings, Stuck, Top};

const DAY_S: f64 = 86_400.0;
/// Lights on and off.
const LIT_S: [f64; 2] = [21_600.0, 79_200.0];
const STRESS_M: [f64; 4] = [2.0, 1.0, -0.5, -1.0];
/// Errors of a step in content: for the comparison, and as benches are run.
const TIGHT: f64 = 1e-5;
const ORDINARY: f64 = 1e-3;

/// One medium over a height in equal cells.
struct Part {
    medium: Hydraulic,
    height_m: f64,
    cells: usize,
}

struct Flood {
    start_s: f64,
    end_s: f64,
    depth_m: f64,
}

/// A block and its day.
struct Case {
    seed: u64,
    parts: Vec<Part>,
    width_m: f64,
    length_m: f64,
    wrapped: bool,
    /// What the crop asks for, by light and by dark \[m/s\].
    uptake_m_s: [f64; 2],
    evaporation_m_s: f64,
    floods: Vec<Flood>,
}

impl Case {
    fn draw(seed: u64) -> Self {
        let mut lot = Lot(seed.wrapping_mul(0xd134_2543_de82_ef95));
        let height = lot.span(0.04, 0.2);
        let lower = if lot.chance(0.5) { lot.span(0.25, 0.75) } else { 1.0 };
        let cell = lot.span(0.002, 0.003);
        let shares = if lower < 1.0 { vec![lower, 1.0 - lower] } else { vec![1.0] };
        let part = |share: f64| {
            let height_m = height * share;
            Part { medium: medium(&mut lot), height_m, cells: (height_m / cell).round().max(3.0) as usize }
        };
        let parts = shares.into_iter().map(part).collect();
        let lit = lot.span(0.0, 3.0) / 3.6e6;
        let uptake_m_s = [lit, lit * lot.span(0.0, 0.5)];
        let evaporation_m_s = lot.span(0.0, 3.0) * 1e-3 / DAY_S;
        let (width_m, length_m) = (lot.span(0.05, 0.2), lot.span(0.05, 0.2));
        let wrapped = lot.chance(0.5);
        let count = lot.up_to(6);
        let slot = DAY_S / count as f64;
        let floods = (0..count)
            .map(|i| {
                let lasts = lot.span(180.0, 1800.0).round();
                let start_s = (i as f64 * slot + lot.unit() * (slot - lasts - 1.0)).round();
                Flood { start_s, end_s: start_s + lasts, depth_m: lot.span(0.05, 0.95) * height }
            })
            .collect();
        Self { seed, parts, width_m, length_m, wrapped, uptake_m_s, evaporation_m_s, floods }
    }

    fn height_m(&self) -> f64 {
        self.parts.iter().map(|p| p.height_m).sum()
    }

    fn entry(&self) -> Option<Entry> {
        (!self.wrapped).then(|| Entry::of_block(self.width_m, self.length_m))
    }

    fn column(&self) -> Column {
        let layers: Vec<Layer> = self
            .parts
            .iter()
            .map(|p| {
                let medium: Arc<dyn Porous> = Arc::new(p.medium);
                Layer::even(medium, p.height_m, p.cells)
            })
            .collect();
        Column::resting(&layers)
    }

    /// Moments at which something changes, midnight last.
    fn switches(&self) -> Vec<f64> {
        let mut all: Vec<f64> = self.floods.iter().flat_map(|f| [f.start_s, f.end_s]).collect();
        all.extend(LIT_S);
        all.push(DAY_S);
        all.retain(|t| *t > 0.0);
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    }

    fn around(&self, middle_s: f64, column: &Column) -> (Around, bool) {
        let lit = middle_s > LIT_S[0] && middle_s < LIT_S[1];
        let flood = self.floods.iter().find(|f| f.start_s < middle_s && middle_s < f.end_s);
        let level_m = flood.map_or(0.0, |f| f.depth_m);
        let around = Around {
            base: flood.map_or(Base::Seeping, |f| Base::Standing(f.depth_m)),
            beside: self.entry().map(|entry| Beside { level_m, entry }),
            top: Top::Drying(self.evaporation_m_s),
            roots: Some(Roots {
                demand_m_s: self.uptake_m_s[usize::from(!lit)],
                shares: column.sizes_m().iter().map(|d| d / column.height_m()).collect(),
                stress_m: STRESS_M,
                makes_up_from: 1.0,
            }),
        };
        (around, flood.is_some())
    }

    /// The day; what stands in the block and what has crossed its bounds at each switch. Where it is stuck, also the
    /// switch before.
    fn run(&self, content: f64) -> Result<(Vec<Value>, u32), (f64, Stuck)> {
        let settings = Settings { content, ..Settings::default() };
        let mut column = self.column();
        let start = column.water_m();
        let (mut sum, mut taken, mut back) = (Exchange::default(), 0.0, 0.0);
        let (mut at, mut rows) = (0.0, Vec::new());
        for to in self.switches() {
            let (around, flooded) = self.around(0.5 * (at + to), &column);
            let x = column.advance(to - at, &around, &settings).map_err(|s| (at, s))?;
            let net = x.base_m + x.sides_m;
            taken += net.max(0.0);
            back += (-net).max(0.0);
            sum += x;
            let all = column.contents();
            rows.push(json!({
                "from_s": at,
                "to_s": to,
                "flooded": flooded,
                "mean": column.mean_content(),
                "top": all.last(),
                "base": all.first(),
                "taken_m": taken,
                "given_back_m": back,
                "drunk_m": -sum.roots_m,
                "evaporated_m": -sum.top_m,
                "through_base_m": sum.base_m,
                "through_sides_m": sum.sides_m,
                "unaccounted_m": column.water_m() - start - sum.total_m(),
            }));
            at = to;
        }
        Ok((rows, sum.steps))
    }

    /// Everything that another program needs, and what we found.
    fn told(&self) -> Value {
        let side_per_m2 = self.entry().and_then(|e| match e {
            Entry::Through(per_m2) => Some(per_m2),
            Entry::AtOnce => None,
        });
        let layers: Vec<Value> = self
            .parts
            .iter()
            .map(|p| {
                let r = &p.medium.retention;
                json!({
                    "theta_r": r.theta_r, "theta_s": r.theta_s, "alpha_per_m": r.alpha_per_m, "n": r.n,
                    "ks_m_s": p.medium.ks_m_s, "height_m": p.height_m, "cells": p.cells,
                })
            })
            .collect();
        let floods: Vec<Value> = self
            .floods
            .iter()
            .map(|f| json!({ "start_s": f.start_s, "end_s": f.end_s, "depth_m": f.depth_m }))
            .collect();
        json!({
            "seed": self.seed,
            "layers": layers,
            "height_m": self.height_m(),
            "width_m": self.width_m,
            "length_m": self.length_m,
            "wrapped": self.wrapped,
            "side_per_m2": side_per_m2,
            "uptake_lit_m_s": self.uptake_m_s[0],
            "uptake_dark_m_s": self.uptake_m_s[1],
            "lit_s": LIT_S,
            "evaporation_m_s": self.evaporation_m_s,
            "stress_m": STRESS_M,
            "floods": floods,
        })
    }
}

fn medium(lot: &mut Lot) -> Hydraulic {
    Hydraulic {
        retention: Retention {
            theta_r: lot.span(0.02, 0.15),
            theta_s: lot.span(0.4, 0.95),
            alpha_per_m: lot.span(3.0, 40.0),
            n: lot.span(1.4, 4.0),
            second: None,
        },
        ks_m_s: lot.log(1e-5, 5e-3),
        connection: 0.5,
    }
}

/// A run as another program reads it; its steps and how long it took \[s\].
///
/// A run that found no step is told as such: it is a finding, not an end.
fn timed(case: &Case, content: f64) -> (Value, u32, f64) {
    let began = Instant::now();
    let run = case.run(content);
    let seconds = began.elapsed().as_secs_f64();
    match run {
        Ok((rows, steps)) => (json!({ "rows": rows, "steps": steps, "seconds": seconds }), steps, seconds),
        Err((from_s, s)) => (json!({ "stuck_at_s": from_s + s.after_s, "seconds": seconds }), 0, seconds),
    }
}

fn main() -> std::io::Result<()> {
    let mut asked = std::env::args().skip(1);
    let count = asked.next().and_then(|n| n.parse().ok()).unwrap_or(50);
    let content = asked.next().and_then(|c| c.parse().ok()).unwrap_or(TIGHT);
    let (mut cases, mut spent, mut steps) = (Vec::new(), [0.0; 2], [0u32; 2]);
    for seed in 0..count {
        let case = Case::draw(seed);
        let mut told = case.told();
        for (i, (name, content)) in [("result", content), ("ordinary", ORDINARY)].into_iter().enumerate() {
            let (run, made, seconds) = timed(&case, content);
            if let Some(at) = run.get("stuck_at_s") {
                writeln!(std::io::stderr(), "seed {seed} at content {content:e}: stuck at {at} s")?;
            }
            told[name] = run;
            spent[i] += seconds;
            steps[i] += made;
        }
        cases.push(told);
    }
    writeln!(std::io::stdout(), "{}", json!({ "cases": cases }))?;
    for (i, at) in [content, ORDINARY].into_iter().enumerate() {
        let days = count.max(1) as f64;
        let (ms, mean) = (1e3 * spent[i] / days, f64::from(steps[i]) / days);
        writeln!(std::io::stderr(), "content {at:e}: {ms:.2} ms a day, {mean:.0} steps, mean of {count} blocks")?;
    }
    Ok(())
}
