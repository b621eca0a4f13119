//! A weighed medium as text.

use crate::text::{COLUMNS, plain, wrap};
use std::fmt::Write as _;
use tidewright_plan::medium::MediumFit;
use tidewright_rig::weighed::Weighing;

/// Answer of `medium`.
pub fn answer(w: &Weighing, fit: &MediumFit) -> String {
    let mut out = String::new();
    let mut say = |text: &str| out.push_str(&wrap(text, 0, COLUMNS));
    say(&format!("{}: {}.", plain(&w.name), fit.how));
    say(&format!(
        "Soaked through it is {:.0} % water; α is {:.1} 1/m ({:.1} to {:.1}), n {:.2} ({:.2} to {:.2}).",
        100.0 * fit.theta_s,
        fit.alpha_per_m[0],
        fit.alpha_per_m[1],
        fit.alpha_per_m[2],
        fit.n[0],
        fit.n[1],
        fit.n[2]
    ));
    if let Some(r) = fit.residual {
        say(&format!("The curve misses the points by {:.1} % of water in the mean (root mean square).", 100.0 * r));
    }
    let _ = writeln!(out, "\ndrained, standing     water     air    (with the band of α)");
    for mm in [50.0, 75.0, 100.0, 150.0, 200.0] {
        let [c, lo, hi] = fit.drained(mm * 1e-3);
        let _ = writeln!(
            out,
            "{mm:>11.0} mm high    {:>4.0} %  {:>4.0} %    water {:.0} to {:.0} %",
            100.0 * c,
            100.0 * (fit.theta_s - c),
            100.0 * lo.min(hi),
            100.0 * lo.max(hi)
        );
    }
    let _ = writeln!(
        out,
        "\nAdd this to parts.toml beside the bench file and write medium = \"{}\" under [blocks]:\n",
        w.id
    );
    out.push_str(&fit.as_part());
    out.push('\n');
    out.push_str(&wrap(
        "Take care: dry stone wool, perlite and pellets shed dust; wet them before you break them, wear gloves and a mask. How sure: dry means dried at 60 °C or in the sun until two weighings agree; saturated means lifted out of water that stands to its \
         rim; drained means an hour on a rack, then on a flat floor. Weights say nothing of how fast water moves: that is lent by the medium \
         it is likened to.",
        0,
        COLUMNS,
    ));
    out
}
