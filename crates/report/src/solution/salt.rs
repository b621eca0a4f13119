//! Salt in the blocks through weeks as text.

use crate::text::{COLUMNS, wrap};
use std::fmt::Write as _;
use tidewright_sim::salt::SaltDay;

/// What was asked, for the words.
pub struct Told<'a> {
    /// Name of the tray.
    pub tray: &'a str,
    /// Conductivity of the reservoir \[mS/cm\].
    pub ec_ms_cm: f64,
    /// Over which strength a white crust forms, and of what.
    pub crust: Option<(f64, String)>,
    /// Water that evaporates from the tops \[mm/d\] and that roots drink \[mm/d\].
    pub water_mm: (f64, f64),
    /// Days of the plain course.
    pub plain: &'a [SaltDay],
    /// Days with a leach from above, how much \[mm\] and every how many days.
    pub leached: Option<(&'a [SaltDay], f64, u32)>,
    /// Days at a weaker feed and its strength.
    pub weaker: Option<(&'a [SaltDay], f64)>,
    /// Worst error of the salt account.
    pub ledger_error: f64,
}

/// First day on which the top cell is past a strength.
pub fn crust_day(days: &[SaltDay], over: f64) -> Option<u32> {
    days.iter().find(|d| d.surface >= over).map(|d| d.day)
}

/// Answer of `salt`.
pub fn answer(t: &Told<'_>) -> String {
    let mut out = wrap(
        &format!(
            "{}: {:.1} mm a day evaporate from the tops and {:.1} mm are drunk; nothing leaches from below, so what roots leave is carried up. Reservoir at {:.2} mS/cm.",
            t.tray, t.water_mm.0, t.water_mm.1, t.ec_ms_cm
        ),
        0,
        COLUMNS,
    );
    let _ = writeln!(
        out,
        "\n{:>5} {:>10} {:>10} {:>10} {:>10} {:>10}   mS/cm in the block's water",
        "day", "base", "middle", "top 15 mm", "surface", "mean"
    );
    for d in t.plain.iter().filter(|d| d.day % 7 == 0) {
        let ec = |x: f64| format!("{:.1}", t.ec_ms_cm * x);
        let n = d.profile.len();
        let _ = writeln!(
            out,
            "{:>5} {:>10} {:>10} {:>10} {:>10} {:>10}",
            d.day,
            ec(d.profile.first().copied().unwrap_or(0.0)),
            ec(d.profile.get(n / 2).copied().unwrap_or(0.0)),
            ec(d.top),
            ec(d.surface),
            ec(d.mean)
        );
    }
    out.push('\n');
    let last = t.plain.last();
    if let Some((over, solid)) = &t.crust {
        let words = match crust_day(t.plain, *over) {
            Some(day) => format!(
                "▲ A white crust of {solid} from about day {day}: the surface is then {over:.0} times as strong as the reservoir."
            ),
            None => format!(
                "✓ No white crust in {} days: {solid} would show at {over:.0} times the reservoir's strength, the surface comes to {:.1} times.",
                t.plain.len(),
                last.map_or(1.0, |d| d.surface)
            ),
        };
        out.push_str(&wrap(&words, 0, COLUMNS));
    }
    if let (Some((days, mm, every)), Some(end)) = (&t.leached, last) {
        let most = days.iter().map(|d| d.top).fold(0.0, f64::max);
        out.push_str(&wrap(
            &format!(
                "Poured over the tops, {mm:.0} mm of water every {every} days keep the top below {:.1} times the reservoir's strength; without it comes to {:.1}. A tray's drain must take what runs out, and the reservoir's EC falls a little.",
                most, end.top
            ),
            0,
            COLUMNS,
        ));
    }
    if let (Some((days, strength)), Some(end)) = (&t.weaker, last)
        && let Some(d) = days.last()
    {
        out.push_str(&wrap(
            &format!(
                "Fed at {:.0} % strength the top comes to {:.1} mS/cm in place of {:.1}.",
                100.0 * strength,
                t.ec_ms_cm * d.top,
                t.ec_ms_cm * end.top
            ),
            0,
            COLUMNS,
        ));
    }
    out.push_str(&wrap(
        &format!(
            "How sure: dispersion and what roots take are from memory, the pattern is not: growers find the top 2 to 5 times as strong after 3 to 6 weeks (common practice). The account of salt closes to {:.0e}.",
            t.ledger_error.max(1e-17)
        ),
        0,
        COLUMNS,
    ));
    out
}
