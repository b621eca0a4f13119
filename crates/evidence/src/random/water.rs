//! What holds and carries the water: reservoir, vessels, pumps, hoses, drains.

use super::pen::Pen;

/// Depth \[m\] and volume \[m³\] of a vessel that was written.
pub(super) struct Vessel {
    pub(super) depth: f64,
    full: f64,
    /// Plan where it is least \[m²\], or less.
    pub(super) least_plan: f64,
}

pub(super) fn vessel(pen: &mut Pen, reservoir: bool) -> Vessel {
    if pen.chance(0.1) {
        // Depth and a volume that the part holds for certain.
        let parts: &[(&str, f64, f64)] = if reservoir {
            &[("tote-40l", 0.2, 0.02), ("tote-100l", 0.3, 0.06), ("tote-120l", 0.3, 0.07), ("tank-400l", 0.3, 0.2)]
        } else {
            &[
                ("tub-86x55", 0.2, 0.06),
                ("tub-windowsill", 0.12, 0.005),
                ("tub-54x37", 0.15, 0.02),
                ("tray-120x60", 0.18, 0.1),
            ]
        };
        let (part, depth, full) = *pen.one_of(parts);
        pen.word("part", part);
        return Vessel { depth, full, least_plan: 0.9 * full / depth };
    }
    let (length, depth) = if reservoir {
        (pen.log(0.3, 1.2, 0.12, 5.9), pen.span(0.2, 0.5, 0.07, 2.9))
    } else {
        (pen.log(0.25, 2.4, 0.06, 5.9), pen.span(0.06, 0.3, 0.021, 2.0))
    };
    match pen.below(10) {
        0..7 => rectangle(pen, length, depth),
        7..9 => round(pen, length, depth),
        _ => table(pen, length, depth),
    }
}

fn rectangle(pen: &mut Pen, length: f64, depth: f64) -> Vessel {
    let width = (length * pen.span(0.4, 1.0, 0.3, 1.0)).max(0.06);
    pen.length("length", length);
    pen.length("width", width);
    pen.length("depth", depth);
    let (mut a, mut b) = (0.5 * length, 0.5 * width);
    if pen.chance(0.8) {
        (a, b) = (length * pen.span(0.8, 1.0, 0.5, 1.3), width * pen.span(0.8, 1.0, 0.5, 1.3));
        (a, b) = (a.clamp(0.031, 5.99), b.clamp(0.031, 5.99));
        pen.length("floor_length", a);
        pen.length("floor_width", b);
    }
    let middle = 0.25 * (length + a) * (width + b);
    let least_plan = (a * b).min(length * width);
    Vessel { depth, least_plan, full: depth / 6.0 * (length * width + 4.0 * middle + a * b) }
}

fn round(pen: &mut Pen, diameter: f64, depth: f64) -> Vessel {
    pen.word("shape", "tapered round");
    pen.length("diameter", diameter);
    pen.length("depth", depth);
    let mut floor = 0.5 * diameter;
    if pen.chance(0.7) {
        floor = (diameter * pen.span(0.75, 1.0, 0.5, 1.3)).clamp(0.031, 5.99);
        pen.length("floor_diameter", floor);
    }
    let quarter = std::f64::consts::FRAC_PI_4;
    let least_plan = quarter * floor.min(diameter).powi(2);
    Vessel { depth, least_plan, full: quarter * depth / 3.0 * (diameter * diameter + diameter * floor + floor * floor) }
}

fn table(pen: &mut Pen, length: f64, depth: f64) -> Vessel {
    let rows = 2 + pen.below(6);
    let (mut volume, mut text) = (0.0, Vec::new());
    for i in 1..=rows {
        // The format takes tables up to 40 m³.
        let rise = length * length * 0.6 * depth / rows as f64 * pen.span(0.8, 1.2, 0.3, 3.0);
        volume += rise.min(39.0 / rows as f64);
        let y = pen.length_text(depth * i as f64 / rows as f64);
        let v = pen.volume_text(volume);
        text.push(format!("[\"{y}\", \"{v}\"]"));
    }
    pen.line(&format!("table = [{}]", text.join(", ")));
    Vessel { depth, full: volume, least_plan: 0.5 * volume / depth }
}

pub(super) fn reservoir(pen: &mut Pen) {
    pen.section("[reservoir]");
    let v = if pen.chance(0.1) {
        let litres = pen.log(15.0, 400.0, 1.0, 10_000.0);
        pen.volume("capacity", litres * 1e-3);
        Vessel { depth: 0.05, full: litres * 1e-3, least_plan: 0.0 }
    } else {
        vessel(pen, true)
    };
    match pen.below(6) {
        0 => {}
        1 => {
            let share = pen.span(0.3, 0.95, 0.1, 0.999);
            pen.length("fill_depth", (v.depth * share).max(0.0055));
        }
        _ => {
            let share = pen.span(0.3, 0.98, 0.02, 0.999);
            pen.volume("fill", (v.full * share).clamp(6e-5, 19.9));
        }
    }
    if pen.chance(0.1) {
        let share = pen.span(0.6, 0.98, 0.3, 0.99);
        pen.length("lowest_hole", (v.depth * share).max(0.0055));
    }
    if pen.chance(0.2) {
        pen.flag("lid");
        let up = pen.span(0.0, 0.2, -1.0, 1.0);
        pen.length("elevation", up);
    }
    if pen.chance(0.2) {
        pen.word("top_up", "float valve");
        let share = pen.span(0.3, 0.9, 0.1, 0.99);
        pen.length("float_height", (v.depth * share).max(0.0055));
        if pen.chance(0.7) {
            let flow = pen.log(30.0, 400.0, 1.1, 2900.0);
            pen.flow("top_up_flow", flow);
        }
        if pen.chance(0.6) {
            let tank = pen.log(5e-3, 0.2, 2e-4, 10.0);
            pen.volume("top_up_tank", tank);
        }
    }
}

pub(super) fn pump(pen: &mut Pen, pumps: usize, index: usize) {
    if pumps > 1 {
        pen.word("name", &format!("pump {}", index + 1));
    }
    let head = pen.log(1.1, 4.0, 0.051, 50.0);
    let flow = pen.log(250.0, 4000.0, 6.0, 90_000.0);
    match pen.below(10) {
        0 => {
            let part = *pen.one_of(&["pump-250", "pump-700", "pump-833", "pump-1200", "pump-2000", "pump-4200"]);
            pen.word("part", part);
        }
        1 => {
            let rows: Vec<String> = [(0.0, 1.0), (0.35, 0.85), (0.6, 0.6), (0.85, 0.3), (1.0, 0.0)]
                .iter()
                .map(|(q, h)| {
                    let (q, h) = (pen.flow_text(q * flow), pen.length_text(h * head));
                    format!("[\"{q}\", \"{h}\"]")
                })
                .collect();
            pen.line(&format!("curve = [{}]", rows.join(", ")));
        }
        2 => {
            pen.length("max_head", head);
            let rows: Vec<String> = [0.3, 0.6]
                .iter()
                .map(|lift: &f64| {
                    let seconds = 0.005 / (flow / 3.6e6 * (1.0 - lift).sqrt()) * pen.span(0.9, 1.1, 0.5, 2.0);
                    let lift = pen.length_text(lift * head);
                    format!("[\"5 L\", \"{seconds:.2} s\", \"{lift}\"]")
                })
                .collect();
            pen.line(&format!("bucket_tests = [{}]", rows.join(", ")));
        }
        3 => pen.length("max_head", head),
        4 => pen.flow("open_flow", flow),
        _ => {
            pen.length("max_head", head);
            pen.flow("open_flow", flow);
        }
    }
    if pen.chance(0.3) {
        let share = pen.span(0.65, 1.05, 0.21, 1.19);
        pen.number("as_sold", share);
    }
    if pen.chance(0.3) {
        let loss = pen.log(2.0, 200.0, 1e-3, 9e4);
        pen.number("reverse_loss", loss);
    }
    if pen.chance(0.2) {
        let worn = pen.span(0.5, 0.9, 0.11, 1.0);
        pen.number("worn", worn);
    }
    if pen.chance(0.4) {
        let prime = pen.span(0.005, 0.06, 0.0, 0.9);
        pen.length("prime_depth", prime);
        pen.length("inlet_height", prime * 0.5);
    }
    if pen.chance(0.15) {
        let hz = *pen.one_of(&["50 Hz", "60 Hz"]);
        pen.word("rated_frequency", hz);
    }
    if pen.chance(0.12) {
        pen.line("check_valve = true");
    }
    if pen.chance(0.2) {
        let throttle = *pen.one_of(&["none", "open", "third shut", "half shut", "two thirds shut"]);
        pen.word("throttle", throttle);
    }
    if pen.chance(0.15) {
        let bore = pen.span(0.003, 0.013, 0.0021, 0.079);
        pen.length("bypass_bore", bore);
        if pen.chance(0.5) {
            let long = pen.span(0.05, 0.5, 0.011, 4.9);
            pen.length("bypass_length", long);
            let loss = pen.log(2.0, 50.0, 0.01, 9e4);
            pen.number("bypass_loss", loss);
        }
    }
}

pub(super) fn hose(pen: &mut Pen, branch: bool) {
    if !branch && pen.chance(0.15) {
        let part = *pen.one_of(&["hose-8", "hose-13", "pipe-16", "hose-16", "hose-19", "hose-25"]);
        pen.word("part", part);
    } else if pen.chance(0.15) {
        let nominal = *pen.one_of(&["1/2 in", "3/4 in", "3/8 in", "13 mm", "16 mm pipe", "25 mm"]);
        pen.word("nominal", nominal);
    } else if pen.chance(0.85) {
        let bore = if branch { pen.span(0.006, 0.016, 0.0021, 0.1) } else { pen.span(0.009, 0.026, 0.0021, 0.1) };
        pen.length("bore", bore);
    }
    if pen.chance(0.7) {
        let long = if branch { pen.span(0.2, 1.5, 0.011, 50.0) } else { pen.span(0.8, 4.0, 0.011, 99.0) };
        pen.length("length", long);
    }
    if pen.chance(0.2) {
        let rough = pen.span(0.0, 1e-4, 0.0, 1.9e-3);
        pen.length("roughness", rough);
    }
    if pen.chance(0.3) {
        let loss = pen.span(1.0, 20.0, 0.0, 9e4);
        pen.number("loss", loss);
    }
    if !branch && pen.chance(0.1) {
        let high = pen.span(0.5, 1.4, -2.0, 5.0);
        pen.length("high_point", high);
    }
    if pen.chance(0.3) {
        pen.line("fittings = { entrance = 1, elbow = 2, \"barbed insert\" = 3, \"tee through\" = 1, exit = 1 }");
    }
}

pub(super) fn drain(pen: &mut Pen, rim: f64) {
    if pen.chance(0.06) {
        pen.word("riser", "none");
    } else {
        if pen.chance(0.8) {
            let bore = pen.span(0.012, 0.04, 0.0041, 0.159);
            pen.length("riser_bore", bore);
        }
        if pen.chance(0.8) {
            let share = pen.span(0.25, 0.85, 0.06, 0.99);
            pen.length("crest", (rim * share).clamp(0.0011, 1.99));
        }
        if pen.chance(0.15) {
            let n = 1 + pen.below(3);
            pen.line(&format!("risers = {n}"));
        }
    }
    if pen.chance(0.4) {
        pen.flag("strainer");
    }
    if pen.chance(0.3) {
        let open = pen.log(1.0, 6.0, 0.051, 49.0);
        pen.number("strainer_open", open);
    }
    if pen.chance(0.2) {
        pen.flag("guard");
    }
    if pen.chance(0.3) {
        let bore = pen.span(0.012, 0.04, 0.0041, 0.159);
        pen.length("return_bore", bore);
        let long = pen.log(0.2, 3.0, 0.011, 49.0);
        pen.length("return_length", long);
        let drop = pen.span(0.05, 0.8, 0.0, 19.0);
        pen.length("return_drop", drop);
    }
    if pen.chance(0.4) {
        pen.flag("vented");
    }
    if pen.chance(0.15) {
        let weep = pen.span(0.001, 0.006, 0.00051, 0.049);
        pen.length("weep", weep);
    }
}
