//! The overflow riser (standpipe): flow over its crest at a head, and what falls through it quietly.

use crate::GRAVITY_M_S2;
use crate::quantity::{Length, VolumeRate, m3_s};
use std::f64::consts::{FRAC_PI_4, PI};

/// Weir coefficient C_w \[-\] used in the worked riser example. Source: FHWA HEC-22 4th ed. (2024),
/// example 10.11.
pub const WEIR_COEFFICIENT: f64 = 0.41;
/// Orifice coefficient C_o \[-\] of a square edge. Source: FHWA HEC-22 4th ed. (2024), eq. 10.23.
pub const ORIFICE_COEFFICIENT: f64 = 0.60;
/// Orifice coefficient of a ragged edge, used here for a fouled strainer. Source: as above.
pub const ORIFICE_COEFFICIENT_RAGGED: f64 = 0.40;

/// Flow over the rim of a vertical pipe, Q = C_w √(2g) π d h^1.5.
///
/// h head above the crest, d bore. Coefficients come from large structures: below 10–30 mm head
/// surface tension and swirl matter, expect ±20 % in h on a 25 mm riser.
/// Source: FHWA HEC-22 4th ed. (2024), eq. 10.32 with L = πd.
/// Evidence: `evidence/hydraulics/riser-hec22.toml`.
pub fn weir(c_w: f64, bore: Length, head: Length) -> VolumeRate {
    m3_s(weir_si(c_w, bore.value, head.value))
}

/// [`weir`] in SI numbers, for solver loops.
pub fn weir_si(c_w: f64, bore: f64, head: f64) -> f64 {
    if head <= 0.0 {
        return 0.0;
    }
    c_w * (2.0 * GRAVITY_M_S2).sqrt() * PI * bore * head * head.sqrt()
}

/// Flow into a drowned pipe mouth, Q = C_o A √(2gh).
///
/// Source: FHWA HEC-22 4th ed. (2024), eq. 10.23; h above the crest for a horizontal mouth.
/// Evidence: `evidence/hydraulics/riser-hec22.toml`.
pub fn orifice(c_o: f64, bore: Length, head: Length) -> VolumeRate {
    m3_s(orifice_si(c_o, bore.value, head.value))
}

/// [`orifice`] in SI numbers, for solver loops.
pub fn orifice_si(c_o: f64, bore: f64, head: f64) -> f64 {
    if head <= 0.0 {
        return 0.0;
    }
    c_o * FRAC_PI_4 * bore * bore * (2.0 * GRAVITY_M_S2 * head).sqrt()
}

/// Head at which weir and orifice pass the same flow, h* = C_o d/(4 C_w).
///
/// Evidence: `evidence/hydraulics/riser-small.toml`.
pub fn crossover_head(c_w: f64, c_o: f64, bore: Length) -> Length {
    bore * (c_o / (4.0 * c_w))
}

/// Largest flow that falls through a vertical pipe without gulping, J* = V/√(gd) = 0.3.
///
/// Source: Hills, Chem. Eng. (Sept. 1983), criterion as quoted on a secondary page.
/// Evidence: `evidence/hydraulics/self-venting.toml`.
pub fn self_venting_flow(bore: Length) -> VolumeRate {
    m3_s(0.3 * FRAC_PI_4 * bore.value.powi(2) * (GRAVITY_M_S2 * bore.value).sqrt())
}

/// J* = V/√(gd) \[-\] of a flow in a vertical pipe; above 0.3 it gulps. Source: as [`self_venting_flow`].
pub fn gulping_number(bore: Length, flow: VolumeRate) -> f64 {
    let v = flow.value / (FRAC_PI_4 * bore.value.powi(2));
    v / (GRAVITY_M_S2 * bore.value).sqrt()
}

/// Flow that clings to the wall of a vertical stack filled to the fraction r of its area,
/// q = 27.8 r^(5/3) D^(8/3) in US gal/min and inches.
///
/// Valid for r from ¼ to ⅓. Source: Wyly & Eaton, NBS Monograph 31 (1961) (form from memory),
/// reproduces NSPC 2006 table 13.6.1.
/// Evidence: `evidence/hydraulics/stack-nspc.toml`.
pub fn stack_flow(bore: Length, fill: f64) -> VolumeRate {
    let inches = bore.value / crate::quantity::INCH_M;
    let gpm = 27.8 * fill.powf(5.0 / 3.0) * inches.powf(8.0 / 3.0);
    m3_s(gpm * crate::quantity::US_GALLON_M3 / 60.0)
}

/// Jet that rises to height h above an open vertical pipe of bore d, in US gal/min and inches:
/// 6.17 d^1.25 h^1.35 for h < 0.37 d, 5.01 d^1.99 h^0.53 for h > 1.4 d.
///
/// Between the two the larger uncertainty applies and the forms are blended in log h. Data start
/// at 2 in: extrapolated for hose. ±15 %, ±10 %.
/// Source: USBR Water Measurement Manual, ch. 14 § 13.
/// Evidence: `evidence/hydraulics/vertical-jet.toml`.
pub fn vertical_jet_flow(bore: Length, height: Length) -> VolumeRate {
    let d = bore.value / crate::quantity::INCH_M;
    let h = height.value / crate::quantity::INCH_M;
    let low = 6.17 * d.powf(1.25) * h.powf(1.35);
    let high = 5.01 * d.powf(1.99) * h.powf(0.53);
    let (a, b) = ((0.37 * d).ln(), (1.4 * d).ln());
    let t = ((h.ln() - a) / (b - a)).clamp(0.0, 1.0);
    let gpm = low.powf(1.0 - t) * high.powf(t);
    m3_s(gpm * crate::quantity::US_GALLON_M3 / 60.0)
}
