//! Stand, power and fit as text.

use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_plan::fit;
use tidewright_plan::power::Electric;
use tidewright_plan::stand::{self, SAG_LIMIT, Standing};
use tidewright_rig::Rig;

/// Answer of `stand`.
pub fn stand_answer(rig: &Rig, all: &[Standing]) -> String {
    let u = rig.system;
    let mut out = format!("{}: stand\n", rig.name);
    if all.is_empty() {
        out.push_str("\nThe bench file says nothing of a stand: write [stand] with [stand.rail] and [stand.leg].\n");
        for (i, t) in rig.trays.iter().enumerate() {
            let l = stand::load(rig, i, None);
            let _ = writeln!(
                out,
                "{} weighs {} with its drain blocked and its blocks full.",
                t.name,
                u.weight(l.on_rails_kg())
            );
        }
    }
    for x in all {
        let l = x.load;
        let s = rig.stand.as_ref();
        let _ = writeln!(out, "\n{}, its drain blocked, media full of water", rig.trays[x.tray].name);
        for (what, kg) in [("water", l.water_kg), ("media", l.media_kg), ("plants", l.plants_kg), ("tray", l.shell_kg)]
        {
            let _ = writeln!(out, "  {what:<34}{:>12}", u.weight(kg));
        }
        let _ = writeln!(out, "  {:<34}{:>12}", "on the rails", u.weight(l.on_rails_kg()));
        if let Some(s) = s {
            let _ = writeln!(out, "{:.0} × {}, span {}", s.rails.get(), s.rail.name, u.length(x.span_m));
        }
        let [new, old] = x.sag_m;
        let _ = writeln!(out, "  {:<34}{:>12}  after years {}", "sag on the first day", u.length(new), u.length(old));
        let _ = writeln!(
            out,
            "  {:<34}{:>12}",
            format!("a level tray bears (span/{SAG_LIMIT:.0})"),
            u.length(x.sag_limit_m)
        );
        let _ = writeln!(out, "  {:<34}{:>12}", "fall of the tray over that span", u.length(x.fall_m));
        let _ = writeln!(
            out,
            "  {:<34}{:>9.1} MPa  for years {:.1}",
            "bending stress",
            1e-6 * x.stress_pa.0,
            1e-6 * x.stress_pa.1
        );
        let _ = writeln!(out, "  {:<34}{:>12}", "longest span that holds", u.length(x.longest_span_m));
        if let Some(s) = s {
            let how = if s.braced.get() { "braced" } else { "free to sway" };
            let _ = writeln!(
                out,
                "{:.0} × {}, {} long, {how}",
                s.legs.get(),
                s.leg.name,
                u.length(stand::leg_length_m(s, &rig.trays[x.tray]))
            );
        }
        let _ = writeln!(out, "  {:<34}{:>10.0} N  gives way at {:.0} N", "on a leg", x.on_leg_n, x.buckles_n);
        if let Some(m) = x.sway_m {
            let _ = writeln!(out, "  {:<34}{:>12}", "sway under a tenth of the weight", u.length(m));
        }
        let _ = writeln!(
            out,
            "  {:<34}{:>10.0} N  empty {:.0} N",
            "push at the rim that tips it", x.tips_n[0], x.tips_n[1]
        );
        let _ = writeln!(
            out,
            "  {:<34}{:>8.2} kPa  under a leg {:.2} N/mm²",
            "on the floor, reservoir included",
            1e-3 * x.on_floor_pa,
            1e-6 * x.under_leg_pa
        );
    }
    out.push('\n');
    out.push_str(&wrap(&stand::refusal(rig), 0, COLUMNS));
    out.push_str(&wrap(
        "Simple beams and straight posts, loads that stand still; stiffness of wood and plastic from memory. Joints are not reckoned: they fail first.",
        0,
        COLUMNS,
    ));
    out
}

/// Answer of `power`.
pub fn power_answer(rig: &Rig, e: &Electric) -> String {
    let mut out = format!("{}: electricity, in the order to start after a cut\n\n", rig.name);
    let _ = writeln!(out, "{:<24}{:>8}{:>9}{:>9}{:>9}  switched by", "load", "W", "A", "peak A", "h/day");
    for l in &e.loads {
        let _ = writeln!(
            out,
            "{:<24}{:>8.0}{:>9.2}{:>9.1}{:>9.1}  {}",
            l.name, l.power_w, l.current_a, l.peak_a, l.hours, l.switched_by
        );
    }
    let _ = writeln!(
        out,
        "\nTogether {:.1} A of {:.1} A that may run for hours on a circuit of {:.0} A; {:.2} kWh a day, what thermostats switch left out.",
        e.together_a,
        e.allowed_a,
        rig.mains.circuit.get().value,
        e.energy_kwh_d
    );
    if let Some(h) = e.battery_h {
        let _ = writeln!(out, "The battery carries the air pump for {h:.0} h.");
    }
    let _ = writeln!(
        out,
        "Water can stand as high as {} over the floor of the room.",
        rig.system.length(e.highest_water_m)
    );
    out.push_str(&wrap(
        "Residual-current device (RCD 30 mA, GFCI class A) before every socket, tested monthly; drip loops in all cords; sockets above the water and off the wet wall, no strip under a tray; all plugs out before hands go into the water; a pump that trips it is scrapped. The device stops pump and air, too: have an alarm. Information, not permission: local code and a licensed electrician decide.",
        0,
        COLUMNS,
    ));
    out
}

/// Answer of `fit`.
pub fn fit_answer(rig: &Rig) -> String {
    let u = rig.system;
    let mut out = format!("{}: does it go together\n\n", rig.name);
    let many = rig.trays.len() > 1;
    for c in fit::checks(rig) {
        let sign = if c.holds() { "✓" } else { "▲" };
        let who = if many { format!("{}: ", rig.trays[c.tray].name) } else { String::new() };
        let say = |x: f64| if c.rule == "return-sags" { u.fall(x) } else { u.length(x) };
        let words = format!("{sign} {who}{}: {}, at least {}", c.what, say(c.number), say(c.limit));
        out.push_str(&wrap(&words, 0, COLUMNS));
    }
    for p in &rig.pumps {
        let words = match &p.feed.high_point {
            None => format!(
                "✓ Feed of {}: no high point is named; look along it when it hangs: it must rise all the way",
                p.name
            ),
            Some(h) => format!(
                "○ Feed of {}: a high point at {}; air gathers there: a 3 mm hole at its top lets it out",
                p.name,
                u.length(h.get().value)
            ),
        };
        out.push_str(&wrap(&words, 0, COLUMNS));
    }
    for (i, t) in rig.trays.iter().enumerate() {
        let _ = writeln!(out, "\nHoles of {}, from {}:", t.name, t.corner());
        for h in fit::holes(t) {
            let _ = writeln!(
                out,
                "  {:<16}{} along, {} across, {} wide",
                h.what,
                u.length(h.at_m.0),
                u.length(h.at_m.1),
                u.length(h.diameter_m)
            );
        }
        if let Some(c) = fit::cover(rig, i) {
            let _ =
                writeln!(out, "Cover: {}; {} of wet floor lie in the light without it.", c.size(u), u.area(c.lit_m2));
            for (count, l, w) in &c.openings {
                let word = if *count == 1 { "opening" } else { "openings" };
                let _ = writeln!(out, "  {count} {word} of {} × {}", u.length(*l), u.length(*w));
            }
        }
    }
    out.push_str(&wrap(
        "Dry-fit everything on the stand before a hole is cut; measure the fitting, not its name.",
        0,
        COLUMNS,
    ));
    out
}
