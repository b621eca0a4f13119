//! Checks of `physics::media::fit` and of what a medium lifts.

use super::Results;
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::media::fit::{alpha_of_drained, shape_of_drained, through_points};
use tidewright_physics::media::{Hydraulic, Retention, steady_rise_m_s};

pub(crate) const CHECKS: Checks = &[("retention-fit", fitted), ("steady-rise", rise)];

/// Through points, or from drained blocks of one height or two.
fn fitted(given: &Given<'_>) -> Results {
    if let (Ok(suction), Ok(content)) = (given.numbers("suction_m"), given.numbers("content")) {
        let points: Vec<(f64, f64)> = suction.into_iter().zip(content).collect();
        let f = through_points(&points).ok_or("no curve goes through these points")?;
        return Ok(vec![
            ("theta_s", f.retention.theta_s),
            ("alpha_per_m", f.retention.alpha_per_m),
            ("n", f.retention.n),
            ("residual", f.residual),
        ]);
    }
    let like = Retention {
        theta_r: given.number("theta_r")?,
        theta_s: given.number("theta_s")?,
        alpha_per_m: 10.0,
        n: given.number_if("n")?.unwrap_or(2.0),
        second: None,
    };
    let low = (given.number("low_m")?, given.number("low_mean")?);
    let nothing = "no curve holds that much";
    Ok(match given.number_if("tall_m")? {
        None => vec![("alpha_per_m", alpha_of_drained(like, low.0, low.1).ok_or(nothing)?)],
        Some(tall) => {
            let (alpha, n) = shape_of_drained(like, low, (tall, given.number("tall_mean")?)).ok_or(nothing)?;
            vec![("alpha_per_m", alpha), ("n", n)]
        }
    })
}

fn rise(given: &Given<'_>) -> Results {
    let retention = Retention {
        theta_r: given.number("theta_r")?,
        theta_s: given.number("theta_s")?,
        alpha_per_m: given.number("alpha_per_m")?,
        n: given.number("n")?,
        second: None,
    };
    let medium = Hydraulic { retention, ks_m_s: given.number("ks_m_s")?, connection: 0.5 };
    Ok(vec![("rise_mm_h", 3.6e6 * steady_rise_m_s(&medium, given.length("height")?.value))])
}
