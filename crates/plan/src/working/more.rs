//! How the numbers on air, heat, light and stand came about.

use super::{Working, from, metres, symbol};
use crate::climate::Climate;
use crate::survey::Survey;
use crate::{light, power, stand};
use tidewright_rig::Rig;
use tidewright_rig::units::round_to;
use tidewright_sim::climate::blown::{ALPHA, MOST_PER_METRE};
use tidewright_sim::climate::{HEATS, roots_mg_h};

/// Workings of what a bench has of these.
pub(super) fn all(s: &Survey) -> Vec<Working> {
    let mut out = Vec::new();
    let own;
    let climate = match &s.climate {
        Some(c) => Some(c),
        None => {
            own = Climate::of(&s.rig, None, None);
            own.as_ref()
        }
    };
    if let Some(c) = climate {
        out.extend(air_flow(&s.rig, c));
        out.push(oxygen(&s.rig, c));
        out.push(temperature(&s.rig, c));
    }
    for v in s.each() {
        out.extend(photons(&s.rig, v.index, &v.who()));
        out.extend(sag(&s.rig, v.index, &v.who()));
        out.extend(leg(&s.rig, v.index, &v.who()));
    }
    if s.rig.mains.stated {
        out.push(current(&s.rig));
    }
    out
}

/// Likely, and both ends.
fn spanned([low, likely, high]: [f64; 3], say: impl Fn(f64) -> String) -> String {
    format!("{}, {} to {}", say(likely), say(low), say(high))
}

fn air_flow(rig: &Rig, c: &Climate) -> Option<Working> {
    let (a, b) = (rig.aeration.as_ref()?, c.blown.as_ref()?);
    let curve = a.pump.curve.borrowed();
    let k = b.transfer_m3_s.map(|x| 3.6e6 * x);
    let litres = |x: f64| format!("{} L/h", round_to(x, 2));
    Some(Working {
        name: "air-transfer",
        title: "water changed towards full of oxygen by the stones".into(),
        value: spanned(k, litres),
        formula: "kLa V = min( kL · 6QH/(dU), e · H · Q C_air/C* ) · α, at 20 °C",
        symbols: vec![
            symbol("Q", "free air through the stones", format!("{:.2} L/min", 6e4 * b.flow_m3_s()), "pump curve, line, valve, pores and water solved together"),
            symbol("Q₀", "open flow of the air pump", format!("{:.1} L/min", 6e4 * curve.flow_m3_s(0.0)), from(&a.pump.curve)),
            symbol("p", "pressure at the manifold", format!("{:.1} kPa", 1e-3 * b.pressure_pa), "where pump and stones meet"),
            symbol("H", "water over the stones", metres(b.depth_m), "reservoir at rest, less the stones' height"),
            symbol("d", "diameter of the bubbles", metres(a.stones.first().map_or(0.0, |s| s.bubble.get().value)), a.stones.first().map_or_else(String::new, |s| from(&s.bubble))),
            symbol("e", "most that a metre takes up", format!("{:.1} to {:.1} %/m", 100.0 * MOST_PER_METRE[0], 100.0 * MOST_PER_METRE[2]), "published clean-water efficiencies"),
            symbol("α", "this water over clean water", format!("{} to {}", ALPHA[0], ALPHA[2]), "from memory: measure"),
        ],
        source: "Clift, Grace & Weber (1978); Higbie (1935), Frössling (1938); clean-water efficiencies as in the data",
        assumptions: vec!["a bubble's surface is rigid at the low end and mobile at the high end".into()],
        band: None,
        narrows: Some("Nobody has published small stones at these depths. A clean-water test (clean_water_test) replaces all of this.".into()),
    })
}

fn oxygen(rig: &Rig, c: &Climate) -> Working {
    let say = |x: f64| format!("{x:.1} mg/L");
    let t = tidewright_physics::quantity::celsius(c.likely.mean_k() - 273.15);
    let held = c.likely.course.iter().map(|m| m.saturation_mg_l).fold(f64::INFINITY, f64::min);
    Working {
        name: "oxygen-least",
        title: "least oxygen in the reservoir over the day".into(),
        value: spanned([c.low.oxygen_span().0, c.likely.oxygen_span().0, c.high.oxygen_span().0], say),
        formula: "d(V C)/dt = kLa V (C*∞ − C) + falling water − R C/(C + 0.43) ± what floods exchange",
        symbols: vec![
            symbol(
                "C*",
                "what the water could hold, at the least",
                say(held),
                "Benson & Krause 1984 at 2 mS/cm and the pressure of the altitude",
            ),
            symbol(
                "kLa V",
                "by the stones",
                c.blown
                    .as_ref()
                    .map_or_else(|| "none".into(), |b| format!("{} L/h", round_to(3.6e6 * b.transfer_m3_s[1], 2))),
                "working air-transfer",
            ),
            symbol(
                "R",
                "what all roots use",
                format!("{:.0} mg/h", roots_mg_h(rig, t)),
                "5 g of dry roots for a square metre of leaf, 40 nmol/(g s) at 22 °C, Q₁₀ 2: from memory",
            ),
            symbol(
                "",
                "of it in the reservoir, microbes included",
                "a fifth (a tenth to three tenths)".into(),
                "from memory",
            ),
        ],
        source: "Benson & Krause 1984; ASCE/EWRI 2; Gameson for falling water; docs/climate-model.md",
        assumptions: vec![
            "falling water is counted by half, at the low end not at all".into(),
            "the reservoir is well mixed".into(),
        ],
        band: None,
        narrows: Some("Read oxygen in the morning before the light goes on.".into()),
    }
}

fn temperature(rig: &Rig, c: &Climate) -> Working {
    let u = rig.system;
    let watts = |kind: &str| {
        let j = c.likely.heat.brought.iter().find(|(k, _)| *k == kind).map_or(0.0, |x| x.1);
        format!("{:+.1} W", j / 86_400.0)
    };
    let mut symbols = vec![
        symbol(
            "UA",
            "loss for each kelvin over the room",
            format!("{:.1} W/K", c.needs.loss_w_k),
            "walls, lid or open top: from memory, to a third",
        ),
        symbol(
            "T_a",
            "air of the room",
            format!("{} to {}", u.temperature(c.needs.room_k.0), u.temperature(c.needs.room_k.1)),
            from(&rig.growing.day),
        ),
    ];
    for kind in HEATS {
        symbols.push(symbol("", kind, watts(kind), "mean of the day, all vessels"));
    }
    Working {
        name: "water-temperature",
        title: "mean temperature of the reservoir".into(),
        value: u.temperature(c.likely.mean_k()),
        formula: "ρ c V dT/dt = P + UA (T_a − T) − λE + lamps + what floods exchange",
        symbols,
        source: "ASHRAE (evaporation of pools, 74 % of it on quiet ones); docs/climate-model.md",
        assumptions: vec!["all power of a submersible pump ends in the water".into()],
        band: None,
        narrows: Some("A thermometer in the reservoir, morning and evening.".into()),
    }
}

fn photons(rig: &Rig, tray: usize, who: &str) -> Option<Working> {
    let l = light::of(rig, tray)?;
    let now = l.stages.get(l.now)?;
    let lamp = rig.lamps.iter().find(|x| x.tray == tray)?;
    Some(Working {
        name: "light-on-leaves",
        title: format!("{who}mean light on the leaves"),
        value: format!("{:.0} µmol/(m² s), {:.0} to {:.0}", now.mean, now.least, now.most),
        formula: "E = Σ (m + 1) Φ/(2π) h^(m+1)/(h² + r²)^((m+3)/2); DLI = E · h · 0.0036",
        symbols: vec![
            symbol("Φ", "photons of all lamps", format!("{:.0} µmol/s", l.emitted_umol_s), from(&lamp.photons)),
            symbol("h", "lowest lamp over the leaves", metres(now.over_m), from(&lamp.height)),
            symbol(
                "",
                "leaves over the tray floor",
                metres(now.canopy_m),
                "block tops, and the crop's height in this stage (from memory)",
            ),
            symbol("h (light)", "hours lit", format!("{:.1} h", l.hours), from(&rig.growing.lit)),
            symbol("DLI", "light of the day", format!("{:.1} mol/(m² d)", now.dli), "of the mean"),
        ],
        source: "inverse square and cosine laws, IES Lighting Handbook; lamps split to a fifth of their height",
        assumptions: vec!["lamps hang level; walls give back what `walls` says".into()],
        band: None,
        narrows: Some(
            "The mean, the darkest and the brightest point. A light meter at nine points of the tray.".into(),
        ),
    })
}

fn sag(rig: &Rig, tray: usize, who: &str) -> Option<Working> {
    let (x, s) = (stand::of(rig, tray)?, rig.stand.as_ref()?);
    let u = rig.system;
    Some(Working {
        name: "rail-sag",
        title: format!("{who}sag of a rail after years"),
        value: u.length(x.sag_m[1]),
        formula: "δ = 5 w L⁴/(384 E I); σ = w L²/(8 S)",
        symbols: vec![
            symbol(
                "w",
                "load on a rail",
                format!("{:.0} N/m", x.on_rail_n_m),
                "tray to its rim or all water of the bench, media full, its own weight",
            ),
            symbol("L", "span", metres(x.span_m), from(&s.span)),
            symbol(
                "E",
                "stiffness left after years",
                format!("{:.2} GPa", 1e-9 * s.rail.stiffness_in_years.get().value),
                from(&s.rail.stiffness_in_years),
            ),
            symbol(
                "I",
                "second moment of area",
                format!("{} mm⁴", round_to(1e12 * s.rail.section.second_moment_m4, 3)),
                "of the section",
            ),
            symbol("σ", "bending stress", format!("{:.1} MPa", 1e-6 * x.stress_pa.0), "of what it may carry for years"),
        ],
        source: "AISC Manual, beam table (from memory); sizes of NDS and ASTM D1785",
        assumptions: vec!["simple spans, the load even; joints are not reckoned".into()],
        band: None,
        narrows: None,
    })
}

fn leg(rig: &Rig, tray: usize, who: &str) -> Option<Working> {
    let (x, s) = (stand::of(rig, tray)?, rig.stand.as_ref()?);
    Some(Working {
        name: "leg-load",
        title: format!("{who}load on a leg"),
        value: format!("{:.0} N", x.on_leg_n),
        formula: "P = π² E I/(K L)², at most σ A",
        symbols: vec![
            symbol("P", "load at which it buckles or is crushed", format!("{:.0} N", x.buckles_n), "after years"),
            symbol("K", "2 free to sway, 1 braced", if s.braced.get() { "1" } else { "2" }.into(), from(&s.braced)),
            symbol("L", "free length", metres(s.leg_length.get().value), from(&s.leg_length)),
        ],
        source: "Euler (1744)",
        assumptions: vec!["straight legs, loads along them".into()],
        band: None,
        narrows: None,
    })
}

fn current(rig: &Rig) -> Working {
    let e = power::of(rig);
    Working {
        name: "current",
        title: "current of everything together".into(),
        value: format!("{:.1} A", e.together_a),
        formula: "I = Σ P/(V cos φ) + others",
        symbols: e
            .loads
            .iter()
            .map(|l| {
                symbol(
                    "I",
                    "of it",
                    format!("{}: {:.2} A", l.name, l.current_a),
                    format!("{:.0} W, {}", l.power_w, l.switched_by),
                )
            })
            .collect(),
        source: "power factors from memory: pumps 0.6, drivers 0.9",
        assumptions: vec!["all at once".into()],
        band: None,
        narrows: Some("A plug-in meter.".into()),
    }
}
