//! Between two crops: pumping out, the heel that stays, a disinfectant for this volume, and rinses by dilution.

use crate::advice::fill_lines;
use crate::survey::Survey;
use serde::Serialize;
use tidewright_physics::quantity::m;

/// Free chlorine that is wanted \[mg/L\]; left to act for 10 to 30 minutes. Common practice: 50 to 200.
pub const CHLORINE_MG_L: f64 = 100.0;
/// Free chlorine in household bleach as sold \[g/L\]: about 5 %, falling with age. From memory: 25 to 60.
pub const BLEACH_G_L: f64 = 50.0;
/// Left after rinsing \[mg/L\]. Common practice: no more than drinking water has.
pub const RINSED_MG_L: f64 = 1.0;

/// Turning over one bench.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Turnover {
    /// Minutes to pump it out into a drain at the height of the reservoir's rim.
    pub pump_out_min: f64,
    /// What the pump leaves \[m³\].
    pub heel_m3: f64,
    /// Water to fill for disinfecting: to the lower line, enough for a flood \[m³\].
    pub wash_m3: f64,
    /// Bleach for it \[m³\].
    pub bleach_m3: f64,
    /// Rinses of that volume until less than a milligram a litre is left.
    pub rinses: u32,
    /// What is left after them \[mg/L\].
    pub left_mg_l: f64,
    /// Water for all rinses \[m³\].
    pub rinse_m3: f64,
}

/// The numbers of turning over.
pub fn turnover(s: &Survey) -> Turnover {
    let rig = &s.rig;
    let r = &rig.reservoir;
    let lowest = rig.pumps.iter().map(|p| p.prime_depth.get().value).fold(f64::INFINITY, f64::min);
    let heel = r.shape.volume(m(if lowest.is_finite() { lowest } else { 0.02 })).value;
    let fill = r.fill.get().value;
    let wash = fill_lines(s).lowest_m3.clamp(heel * 1.5, fill.max(heel * 1.5));
    // The pump out of the reservoir, its hose over the rim: half of its open flow is a fair mean.
    let flow: f64 =
        rig.pumps.iter().map(|p| 0.5 * p.as_sold.get().median() * p.curve.borrowed().open_flow().value).sum();
    let ratio = heel / (heel + wash);
    let rinses = ((RINSED_MG_L / CHLORINE_MG_L).ln() / ratio.ln()).ceil().clamp(1.0, 20.0);
    Turnover {
        pump_out_min: (fill - heel).max(0.0) / flow.max(1e-9) / 60.0,
        heel_m3: heel,
        wash_m3: wash,
        bleach_m3: wash * CHLORINE_MG_L / (1000.0 * BLEACH_G_L),
        rinses: rinses as u32,
        left_mg_l: CHLORINE_MG_L * ratio.powf(rinses),
        rinse_m3: rinses * wash,
    }
}
