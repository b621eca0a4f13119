use super::Rule;
use crate::survey::Survey;
use tidewright_rig::{Finding, Severity};
use tidewright_sim::ledger::Ledger;

pub(super) const RULE: Rule = Rule { name: "ledger-closes", judge };

/// Water in all places stays the same in every run; otherwise no number here can be trusted.
fn judge(s: &Survey) -> Vec<Finding> {
    let runs = s.trays.iter().flat_map(|t| [&t.flood, &t.worn, &t.fouled, &t.stuck]).chain([&s.day]);
    let (mut worst, mut broke) = (0.0f64, false);
    for r in runs {
        worst = if r.ledger.error.is_nan() { f64::INFINITY } else { worst.max(r.ledger.error) };
        broke |= r.broke_off;
    }
    if worst <= Ledger::LIMIT && !broke {
        return vec![
            Finding::new(
                Severity::Good,
                RULE.name,
                "The water account closes",
                format!("To {worst:.0e} of all water, in every run."),
            )
            .measured(worst, Ledger::LIMIT, "-"),
        ];
    }
    vec![
        Finding::new(
            Severity::Stop,
            RULE.name,
            "The simulation gave up",
            format!(
                "The water account is off by {worst:.0e}{}; trust no number here.",
                if broke { " and a run broke off" } else { "" }
            ),
        )
        .measured(worst, Ledger::LIMIT, "-")
        .mend("Please report this bench file: it is a fault of the program."),
    ]
}
