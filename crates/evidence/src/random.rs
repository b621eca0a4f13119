//! Random bench files, all valid: for property tests and for the comparison with the second program.

mod lot;
mod pen;
mod water;

pub use lot::Lot;
use pen::Pen;
use std::cell::Cell;
use tidewright_rig::parts::Library;

/// The text of a valid bench file, the same for the same seed.
///
/// Every eighth seed may draw extreme values that are still allowed; the others stay near what people
/// build. The files span the format: every vessel shape, one to four trays, own and shared pumps,
/// every way to give a pump's curve, media, floors, entries, float valves, timers, both unit systems.
///
/// A draw that the reader refuses (blocks that do not fit, a float above the lowest hole) is drawn again.
pub fn bench_file(seed: u64) -> String {
    let library = Library::shipped();
    let sound = |text: &String| tidewright_rig::read(text, &library).rig.is_some();
    (0..64).map(|turn| draw(seed, turn)).find(sound).unwrap_or_else(|| draw(seed, 0))
}

fn draw(seed: u64, turn: u64) -> String {
    let mut pen = Pen::new(seed + turn * 1_000_003, seed % 8 == 7);
    head(&mut pen);
    let trays = *pen.one_of(&[1, 1, 1, 1, 2, 2, 3, 4]);
    let plan = Plan::draw(&mut pen, trays);
    water::reservoir(&mut pen);
    for pump in 0..plan.pumps {
        pen.section(if plan.pumps > 1 { "[[pump]]" } else { "[pump]" });
        water::pump(&mut pen, plan.pumps, pump);
        if plan.pumps > 1 || pen.chance(0.3) {
            pen.section("[pump.feed]");
        } else {
            pen.section("[feed]");
        }
        water::hose(&mut pen, false);
    }
    timer(&mut pen);
    let shared = trays > 1 && pen.chance(0.2);
    if shared {
        // Defaults for all trays: blocks that fit anywhere.
        pen.section("[blocks]");
        blocks(&mut pen, 0.15, 0.2, 0.05);
    }
    let mut rims = Vec::new();
    for tray in 0..trays {
        rims.push(one_tray(&mut pen, &plan, tray, shared));
    }
    if pen.chance(0.1) {
        pen.section("[[reading]]");
        let (of, key, value) = match pen.below(3) {
            0 => ("crest wet", "time", "2 min"),
            1 => ("highest water", "depth", "60 mm"),
            _ => ("drained", "time", "310 s"),
        };
        pen.word("of", of);
        pen.word(key, value);
        if trays > 1 {
            pen.word("tray", "tray 1");
        }
    }
    pen.finish()
}

/// Which pump feeds which tray.
struct Plan {
    pumps: usize,
    pump_of: Vec<usize>,
    trays: usize,
    /// Highest floor that the next tray may have \[m\].
    above: Cell<f64>,
}

impl Plan {
    fn draw(pen: &mut Pen, trays: usize) -> Self {
        let pumps = match trays {
            1 => 1,
            _ if pen.chance(0.45) => trays,
            2 => 1,
            _ => *pen.one_of(&[1, 1, 2]),
        };
        Self {
            pumps,
            pump_of: (0..trays).map(|i| if pumps == trays { i } else { i % pumps }).collect(),
            trays,
            above: Cell::new(f64::INFINITY),
        }
    }

    fn is_shared(&self, tray: usize) -> bool {
        self.pump_of.iter().filter(|&&p| p == self.pump_of[tray]).count() > 1
    }
}

fn head(pen: &mut Pen) {
    if pen.chance(0.5) {
        let name = format!("Random bench {}", pen.below(1000));
        pen.word("name", &name);
        pen.word("about", "drawn by lot");
    }
    if pen.chance(0.05) {
        pen.line("wet_metal = [\"brass barb\"]");
    }
    if pen.chance(0.5) {
        pen.section("[site]");
        let t = pen.span(4.0, 34.0, 0.2, 44.9);
        let text = if pen.customary() { format!("{:.1} degF", t * 1.8 + 32.0) } else { format!("{t:.2} degC") };
        pen.word("water_temperature", &text);
        if pen.chance(0.3) {
            pen.length("altitude", 800.0);
        }
        if pen.chance(0.3) {
            let hz = *pen.one_of(&["50 Hz", "60 Hz"]);
            pen.word("mains_frequency", hz);
        }
    }
}

fn timer(pen: &mut Pen) {
    pen.section("[timer]");
    if pen.chance(0.8) {
        let kind = *pen.one_of(&["pins", "digital", "interval"]);
        pen.word("kind", kind);
    }
    if pen.chance(0.2) {
        let cut = *pen.one_of(&["keeps time", "loses time", "starts over"]);
        pen.word("after_power_cut", cut);
        pen.word("step", "1 min");
    }
    schedule(pen);
}

fn schedule(pen: &mut Pen) {
    if pen.chance(0.8) {
        let count = 1 + pen.below(6);
        let mut starts: Vec<usize> = (0..count).map(|_| pen.below(24 * 60)).collect();
        starts.sort_unstable();
        starts.dedup();
        let list: Vec<String> = starts.iter().map(|m| format!("\"{:02}:{:02}\"", m / 60, m % 60)).collect();
        pen.line(&format!("floods = [{}]", list.join(", ")));
    }
    if pen.chance(0.9) {
        let seconds = pen.log(120.0, 2400.0, 6.0, 36_000.0);
        pen.time("minutes", seconds);
    }
}

/// One tray with all that stands in it; gives its rim height \[m\].
fn one_tray(pen: &mut Pen, plan: &Plan, tray: usize, shared_blocks: bool) -> f64 {
    let many = plan.trays > 1;
    pen.section(if many { "[[tray]]" } else { "[tray]" });
    if many {
        pen.word("name", &format!("tray {}", tray + 1));
    }
    let vessel = water::vessel(pen, false);
    let rim = vessel.depth;
    // A tray may drain only into one that stands lower.
    let top = plan.above.get();
    let cascade = tray + 1 < plan.trays && pen.chance(0.2);
    let elevation = pen.span(0.45, 1.3, -0.5, 3.0).min(top);
    let below = elevation - rim - 0.05;
    let cascade = cascade && below > -1.9;
    plan.above.set(if cascade { below } else { f64::INFINITY });
    pen.length("elevation", elevation);
    floor(pen);
    entry(pen, rim);
    if plan.pumps > 1 && plan.pumps < plan.trays || (many && pen.chance(0.3)) {
        let name = if plan.pumps > 1 { format!("pump {}", plan.pump_of[tray] + 1) } else { "pump".to_owned() };
        pen.word("pump", &name);
    }
    if cascade {
        pen.word("drains_into", &format!("tray {}", tray + 2));
    }
    if pen.chance(0.3) {
        schedule(pen);
    }
    // Several trays carry their sections below themselves; a single one may have them beside it.
    let below = many || pen.chance(0.3);
    let name = |s: &str| if below { format!("[tray.{s}]") } else { format!("[{s}]") };
    let media = pen.below(10);
    let bed = (if media >= 7 { pen.span(0.3, 0.95, 0.2, 1.0) * rim } else { 0.0 }).min(1.9);
    if media < 5 && !shared_blocks || media == 7 {
        pen.section(&name("blocks"));
        blocks(pen, rim, 0.6, vessel.least_plan);
    }
    if bed > 0.0105 {
        pen.section(&name("bed"));
        pen.medium();
        pen.length("depth", (bed * 0.999).max(0.0101));
        if pen.chance(0.5) {
            let share = pen.span(0.3, 0.6, 0.11, 0.89);
            pen.number("void_fraction", share);
        }
    }
    pen.section(&name("drain"));
    water::drain(pen, rim);
    let branch = if plan.is_shared(tray) { 0.8 } else { 0.05 };
    if pen.chance(branch) {
        pen.section("[tray.branch]");
        if pen.chance(0.5) {
            pen.word("valve", "timed");
            let open = pen.log(1.0, 3600.0, 1.0, 40_000.0);
            pen.time("stays_open", open);
        }
        water::hose(pen, true);
    }
    rim
}

fn floor(pen: &mut Pen) {
    if pen.chance(0.4) {
        let lip = pen.span(0.0, 0.012, 0.0, 0.058);
        pen.length("lip", lip);
    }
    match pen.below(6) {
        0 => {
            let tilt = pen.span(0.001, 0.03, 0.0, 0.19);
            pen.length("tilt", tilt);
            let low = *pen.one_of(&["drain", "away"]);
            pen.word("tilt_to", low);
        }
        1 => {
            let bow = pen.span(0.001, 0.015, 0.0, 0.058);
            pen.length("bow", bow);
        }
        2 => {
            let nine: Vec<String> = (0..9).map(|_| format!("\"{:.1} mm\"", pen.span(-6.0, 8.0, -90.0, 90.0))).collect();
            pen.line(&format!("floor_readings = [{}]", nine.join(", ")));
        }
        _ => {}
    }
}

fn entry(pen: &mut Pen, rim: f64) {
    if !pen.chance(0.3) {
        return;
    }
    pen.word("enters", "over the rim");
    let end = pen.span(0.0, 0.6 * rim, 0.0, 1.2 * rim).min(1.9);
    pen.length("end_height", end);
    if pen.chance(0.5) {
        let hole = pen.span(0.0, rim, 0.0, 1.9);
        pen.length("break_hole", hole);
    }
    if pen.chance(0.3) {
        pen.length("bend_height", rim + 0.05);
    }
}

fn blocks(pen: &mut Pen, rim: f64, tallest: f64, plan_area: f64) {
    pen.medium();
    let side = pen.log(0.03, 0.16, 0.011, 0.5);
    pen.length("length", side);
    if pen.chance(0.5) {
        pen.length("width", side * 1.1);
    }
    if pen.chance(0.7) {
        let height = pen.span(0.5 * rim, 1.2 * rim, 0.02, tallest).clamp(0.011, 1.9);
        pen.length("height", height);
    }
    for (key, most) in [("layers", 2), ("rows", 5)] {
        if pen.chance(0.3) {
            let n = 1 + pen.below(most);
            pen.line(&format!("{key} = {n}"));
        }
    }
    let most = if pen.wild() { 24 } else { (0.9 * plan_area / (1.1 * side * side)).clamp(1.0, 24.0) as usize };
    let count = 1 + pen.below(most);
    pen.line(&format!("count = {count}"));
    if pen.chance(0.5) {
        pen.flag("wrapped");
    }
    if pen.chance(0.7) {
        let start = *pen.one_of(&["moist", "dry"]);
        pen.word("start", start);
    }
    if pen.chance(0.2) {
        let base = pen.span(0.0, 0.3 * rim, 0.0, 0.4);
        pen.length("base", base);
    }
}
