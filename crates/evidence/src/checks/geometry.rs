//! Checks of `physics::geometry`.

use super::{Results, lengths};
use crate::given::Given;
use crate::registry::Checks;
use tidewright_physics::geometry::{AreaPolynomial, Relief, Shape};
use tidewright_physics::quantity::{INCH_M, Length, Volume, litres, mm};

pub(crate) const CHECKS: Checks = &[
    ("tapered-volume", tapered_volume),
    ("tapered-level", tapered_level),
    ("measured-table", measured_table),
    ("tilted-floor", tilted_floor),
];

/// The vessel that a case describes: `floor_diameter` and `rim_diameter`, or four sides, and `depth`.
pub(crate) fn vessel(given: &Given<'_>) -> Result<Shape, String> {
    let depth = given.length("depth")?;
    Ok(match given.length_if("floor_diameter")? {
        Some(floor) => Shape::TaperedRound { floor, rim: given.length("rim_diameter")?, depth },
        None => Shape::TaperedRectangle {
            floor: (given.length("floor_length")?, given.length("floor_width")?),
            rim: (given.length("rim_length")?, given.length("rim_width")?),
            depth,
        },
    })
}

/// The same vessel as an area over height.
pub(crate) fn area_over_height(given: &Given<'_>) -> Result<AreaPolynomial, String> {
    match vessel(given)? {
        Shape::TaperedRound { floor, rim, depth } => Ok(AreaPolynomial::tapered_round(floor, rim, depth)),
        Shape::TaperedRectangle { floor, rim, depth } => Ok(AreaPolynomial::tapered_rectangle(floor, rim, depth)),
        Shape::Table { .. } => Err("a measured table has no polynomial".to_owned()),
    }
}

fn volumes(volume: Volume) -> Vec<(&'static str, f64)> {
    vec![("volume_l", volume.value * 1e3), ("volume_ft3", volume.value / (12.0 * INCH_M).powi(3))]
}

fn tapered_volume(given: &Given<'_>) -> Results {
    Ok(volumes(vessel(given)?.volume(given.length("level")?)))
}

fn tapered_level(given: &Given<'_>) -> Results {
    Ok(lengths!("level", vessel(given)?.depth_of(given.volume("volume")?)))
}

fn measured_table(given: &Given<'_>) -> Results {
    let depths = given.numbers("depths_mm")?;
    let poured = given.numbers("volumes_l")?;
    let points: Vec<(Length, Volume)> = depths.iter().zip(&poured).map(|(d, v)| (mm(*d), litres(*v))).collect();
    let shape = Shape::table(&points).ok_or("depths and volumes do not both rise")?;
    Ok(volumes(shape.volume(given.length("level")?)))
}

fn tilted_floor(given: &Given<'_>) -> Results {
    const POINTS: u32 = 1000;
    let (low, high) = (given.length("lowest")?.value, given.length("highest")?.value);
    let heights: Vec<f64> =
        (0..POINTS).map(|i| low + (high - low) * (f64::from(i) + 0.5) / f64::from(POINTS)).collect();
    let (water, share) = Relief::from_heights(&heights).depth_and_share(given.length("level")?.value);
    Ok(vec![("water_mm", water * 1e3), ("wet_share", share)])
}
