//! The weigh-out sheet as text.

use super::{amount, capital, dilution, hazards, ms_cm, volume};
use crate::text::{COLUMNS, plain, wrap};
use std::fmt::Write as _;
use tidewright_plan::solution::acid::PORTIONS;
use tidewright_plan::solution::mix::{Sheet, Weighed};
use tidewright_plan::solution::solid_words;
use tidewright_plan::solution::tanks::{Saturation, Tank};
use tidewright_rig::Rig;
use tidewright_rig::bench::MeterScale;

/// One step of the work.
pub struct Step {
    /// What to do.
    pub say: String,
    /// A caution that belongs to it.
    pub caution: Option<String>,
}

/// The order of work.
pub fn steps(rig: &Rig, s: &Sheet) -> Vec<Step> {
    let u = rig.system;
    let step = |say: String| Step { say, caution: None };
    let wet_hands = || {
        Some(
            "Pump unplugged while your hands are in the water; dry hands at the timer and the meter's mains adapter."
                .to_owned(),
        )
    };
    let mut out = vec![step(
        "Calibrate the meters first: EC in a standard of known conductivity, pH in two buffers, at the temperature of the solution.".into(),
    )];
    if s.lines.iter().any(|l| l.dilution.is_some()) {
        out.push(Step {
            say: "Make the small bottles of the list first; what is left of them serves the next fillings. Label each with name, strength and date.".into(),
            caution: Some("Trace salts are poison in these bottles: no drink bottles, in the dark, locked away from children; leftovers are no drain water.".into()),
        });
    }
    if s.concentrate > 1.0 {
        out.push(step(format!(
            "Fill each tank to four fifths of {} with source water, dissolve its salts one after the other as listed, each until it is clear, then fill up. Label both.",
            volume(u, s.tank_litres)
        )));
        out.push(Step {
            say: format!("Fill the reservoir with {} of water: A and B bring the rest.", volume(u, s.water_litres())),
            caution: wet_hands(),
        });
        out.extend(acid_steps(s, true));
        let each = s.reservoir_litres * 1000.0 / s.concentrate;
        out.push(step(format!(
            "By hand: {} of A, stir by a flood, then {} of B ({:.1} mL of each for a litre of solution). By a proportional doser: 1 to {:.0}, A and B at separate points with mixing between.",
            amount(each, "mL"),
            amount(each, "mL"),
            1000.0 / s.concentrate,
            s.concentrate
        )));
    } else {
        out.push(Step {
            say: format!(
                "Fill the reservoir with all of its {} of water; water for dissolving is dipped out of it.",
                volume(u, s.reservoir_litres)
            ),
            caution: wet_hands(),
        });
        out.extend(acid_steps(s, true));
        out.push(step(
            "Dissolve each salt by itself in a jug of that water and pour it in, in the order of the list, stirring between; calcium last.".into(),
        ));
    }
    out.extend(acid_steps(s, false));
    out.push(step("Stir by one flood: run the pump through a whole flood and let it drain.".into()));
    let m = rig.mixing.meter.get();
    out.push(step(format!(
        "Read: EC {} (between {} and {}), pH {:.1} (between {:.1} and {:.1}).",
        m.shows(s.ec_25[1]),
        m.shows(s.ec_25[0]),
        m.shows(s.ec_25[2]),
        s.ph[1],
        s.ph[0],
        s.ph[2]
    )));
    // A step that the meter shows: 0.1 mS/cm is 0.01 S/m.
    let off = 0.01;
    let (part, _) = s.correct(s.ec_25[1] - off);
    let (_, replaced) = s.correct(s.ec_25[1] + off);
    let more = if s.concentrate > 1.0 {
        format!("{} more of A and of B", amount(part * 1000.0 / s.concentrate * s.reservoir_litres, "mL"))
    } else {
        format!("{:.0} % more of every salt", 100.0 * part)
    };
    let shown = match m {
        MeterScale::Conductivity => "0.1 mS/cm",
        MeterScale::Ppm500 => "50 ppm",
        MeterScale::Ppm700 => "70 ppm",
    };
    out.push(step(format!(
        "For each {shown} too low: {more}. For each {shown} too high: {} taken out and water put in its place; then read the pH again.",
        volume(u, replaced)
    )));
    if let Some((salt, x, unit)) = s.per_tenth() {
        out.push(step(format!(
            "For each 0.1 of pH too {}: {} of {}, stirred in; read again after an hour with air.",
            if salt.is_acid() { "high" } else { "low" },
            amount(x, unit),
            salt.name
        )));
    }
    out
}

fn acid_steps(s: &Sheet, acids: bool) -> Vec<Step> {
    s.acids
        .iter()
        .filter(|(line, _)| line.amount > 0.0 && s.shelf[line.salt].is_base() != acids)
        .map(|(line, portions)| {
            let salt = &s.shelf[line.salt];
            let parts: Vec<String> = PORTIONS
                .iter()
                .zip(portions)
                .map(|(share, p)| {
                    let taken = line.dilution.map_or_else(
                        || amount(share * line.amount, line.unit),
                        |d| format!("{} of the dilution", amount(share * d.take_ml, "mL")),
                    );
                    format!("{taken} (pH {:.1} at once, {:.1} later)", p.ph_at_once, p.ph_later)
                })
                .collect();
            let (say, caution) = if acids {
                (
                    format!(
                        "{}, {} in portions: {}. After each a flood, then some hours with air before the next; salts only when the pH stays. The salts then bring it to {:.1}.",
                        capital(&salt.name),
                        amount(line.amount, line.unit),
                        parts.join(", "),
                        s.ph[1]
                    ),
                    "Acid slowly into the water, never the other way; goggles and gloves; stir between.",
                )
            } else {
                (
                    format!("{}, {} in portions, by the meter: {}.", capital(&salt.name), amount(line.amount, line.unit), parts.join(", ")),
                    "A lye goes slowly into cold water, never water onto it: it gets hot. Goggles and gloves.",
                )
            };
            Step { say, caution: Some(caution.to_owned()) }
        })
        .collect()
}

/// How much of a line.
pub fn how(l: &Weighed) -> String {
    l.dilution.map_or_else(|| amount(l.amount, l.unit), |d| dilution(&d, l.unit))
}

/// A line of the list; a long one in two.
pub fn line(s: &Sheet, l: &Weighed) -> String {
    let (name, how) = (&s.shelf[l.salt].name, how(l));
    const WIDE: usize = 94;
    let used = name.chars().count() + how.chars().count();
    if used + 2 <= WIDE { format!("{name}{}{how}", " ".repeat(WIDE - used)) } else { format!("{name}\n  {how:>WIDE$}") }
}

/// Answer of `mix`.
pub fn answer(rig: &Rig, s: &Sheet) -> String {
    let u = rig.system;
    let m = &rig.mixing;
    let strength = m.strength.get();
    let mut out = wrap(
        &format!(
            "{} at {:.0} % in {}, for {}.",
            plain(&m.recipe.borrowed().name),
            100.0 * strength,
            plain(&m.water.borrowed().name),
            if s.concentrate > 1.0 {
                format!(
                    "two tanks of {:.1} L, {:.0} times as strong: {} of solution",
                    s.tank_litres,
                    s.concentrate,
                    volume(u, s.litres)
                )
            } else {
                format!("{} in the reservoir", volume(u, s.litres))
            }
        ),
        0,
        COLUMNS,
    );
    for r in &s.source.remarks {
        out.push_str(&wrap(&format!("▲ {r}"), 0, COLUMNS));
    }
    for tank in [Tank::A, Tank::B] {
        let lines: Vec<&Weighed> = s.lines.iter().filter(|l| l.tank == tank).collect();
        if lines.is_empty() {
            continue;
        }
        let head = if s.concentrate > 1.0 {
            format!("Tank {tank:?}")
        } else if tank == Tank::A {
            "Last, calcium and iron".into()
        } else {
            "First".into()
        };
        if s.concentrate > 1.0 {
            let _ = writeln!(out, "\n{head}");
            for l in lines {
                let _ = writeln!(out, "  {}", line(s, l));
            }
        }
    }
    if s.concentrate <= 1.0 {
        let _ = writeln!(out, "\nIn this order");
        for l in direct_order(s) {
            let _ = writeln!(out, "  {}", line(s, &l));
        }
    }
    if !s.acids.is_empty() {
        let _ = writeln!(out, "\nInto the reservoir of {}", volume(u, s.reservoir_litres));
        for (l, _) in &s.acids {
            let _ = writeln!(out, "  {}", line(s, l));
        }
    }
    let _ = writeln!(out, "\nWork");
    for (k, step) in steps(rig, s).iter().enumerate() {
        let text = wrap(&format!("{}. {}", k + 1, step.say), 2, COLUMNS);
        out.push_str(&text);
        if let Some(c) = &step.caution {
            out.push_str(&wrap(&format!("▲ {c}"), 5, COLUMNS));
        }
    }
    let _ = writeln!(
        out,
        "\nA litre then holds\n  {:<8} {:>10} {:>18} {:>11} {:>9}",
        "", "mg/L", "wanted", "of it water", "miss"
    );
    for t in &s.solved.targets {
        let mg = |x: f64| {
            tidewright_rig::solution::amount::analyte(t.target.name)
                .map_or(x, |a| tidewright_rig::solution::amount::mg_l(a, x))
        };
        let wanted = if t.target.low == t.target.high {
            number(mg(t.target.low))
        } else {
            format!("{}–{}", number(mg(t.target.low)), number(mg(t.target.high)))
        };
        let _ = writeln!(
            out,
            "  {:<8} {:>10} {:>18} {:>11} {:>9}{}",
            t.target.name,
            number(mg(t.amount)),
            wanted,
            number(mg(t.from_water)),
            percent(t.miss),
            t.why.as_ref().map_or_else(String::new, |w| format!("  {}", w.say()))
        );
    }
    out.push_str(&price(s));
    for held in &s.tanks {
        let nearest = held.solids.first().map_or_else(String::new, nearest);
        let fullest = held.fullness.first().map_or_else(String::new, |f| {
            format!("; {} fills {:.0} % of what the water holds", s.shelf[f.0].name, 100.0 * f.1)
        });
        out.push_str(&wrap(
            &format!(
                "Tank {:?} at {}: pH {:.1}{fullest}{nearest}. A guide, not a measure, at this strength.",
                held.tank,
                u.temperature(m.coldest.get().value),
                held.ph
            ),
            0,
            COLUMNS,
        ));
    }
    out.push_str(&wrap(
        "Never mix undiluted: calcium with sulphates or phosphates, acid with chelate, anything with chlorine bleach.",
        0,
        COLUMNS,
    ));
    let used: Vec<&tidewright_rig::solution::Salt> =
        s.lines.iter().chain(s.acids.iter().map(|a| &a.0)).map(|l| &s.shelf[l.salt]).collect();
    let _ = writeln!(out, "\nHazards");
    let mut seen: Vec<&str> = Vec::new();
    for salt in &used {
        if seen.contains(&salt.id.as_str()) {
            continue;
        }
        seen.push(&salt.id);
        if !salt.hazards.is_empty() {
            out.push_str(&wrap(&format!("{}: {}", salt.name, hazards::line(salt)), 2, COLUMNS));
        }
        if !salt.note.is_empty() {
            out.push_str(&wrap(&format!("▲ {}: {}.", salt.name, salt.note), 2, COLUMNS));
        }
    }
    for c in hazards::cautions(&used) {
        out.push_str(&wrap(&format!("▲ {c}"), 2, COLUMNS));
    }
    out
}

/// Lines for weighing straight into the reservoir: parts of one salt together again, in the order of work.
pub fn direct_order(s: &Sheet) -> Vec<Weighed> {
    let mut out: Vec<Weighed> = Vec::new();
    for l in s.lines.iter().filter(|l| l.tank == Tank::B).chain(s.lines.iter().filter(|l| l.tank == Tank::A)) {
        match out.iter_mut().find(|o| o.salt == l.salt && o.dilution.is_none() && l.dilution.is_none()) {
            Some(found) => {
                found.amount += l.amount;
                found.exact += l.exact;
            }
            None => out.push(l.clone()),
        }
    }
    out
}

fn price(s: &Sheet) -> String {
    let Some(p) = s.exact.price_m3 else { return String::new() };
    let ends = match s.exact.ends {
        (Some(dear), Some(cheap)) if dear - cheap > 0.01 * dear => {
            format!(
                " Closest costs {dear:.2}, cheapest within 5 % of every target {cheap:.2} (`cheaper` in the bench file goes between them)."
            )
        }
        _ => String::new(),
    };
    wrap(&format!("Salts cost {p:.2} a cubic metre at the prices of the parts data.{ends}"), 0, COLUMNS)
}

/// A miss in whole per cent, without a sign before nil.
pub(crate) fn percent(x: f64) -> String {
    let whole = (100.0 * x).round();
    if whole == 0.0 { "0 %".into() } else { format!("{whole:+.0} %") }
}

/// How near a solid is to falling out.
pub(crate) fn nearest(s: &Saturation) -> String {
    let name = solid_words(s.solid);
    if s.index > 1.0 {
        format!("; {name} far beyond saturation")
    } else if s.index > 0.0 {
        format!("; {name} beyond saturation, {:.1} times", s.times())
    } else {
        format!("; nearest to falling out {name}, at {:.0} % of saturation", 100.0 * s.times())
    }
}

/// mg/L to three figures.
pub(crate) fn number(x: f64) -> String {
    if x >= 100.0 { format!("{x:.0}") } else { tidewright_rig::units::round_to(x, 3) }
}

/// One more gram of each salt: what it costs and what it does to the typical miss.
pub fn margins(s: &Sheet) -> String {
    let mut out = String::from("One more gram of each salt in 100 L\n");
    let mut all = s.exact.margins.clone();
    all.sort_by(|a, b| a.miss.total_cmp(&b.miss));
    for m in &all {
        let _ = writeln!(
            out,
            "  {:<52} {:>10} {:>+9.2} % typical miss",
            s.shelf[m.salt].name,
            m.price.map_or_else(|| "no price".into(), |p| format!("{p:.4}")),
            100.0 * m.miss
        );
    }
    let _ = writeln!(out, "  EC {} mS/cm, typical miss {:.2} %", ms_cm(s.ec_25[1]), 100.0 * s.exact.miss);
    out
}
