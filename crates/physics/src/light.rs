//! Photons from lamps onto a canopy.
//!
//! Units: PPF Φ \[µmol/s\], PPFD E \[µmol/(m² s)\], DLI \[mol/(m² d)\]; lengths in metres. A lamp is a set of elements small
//! enough to be points.

pub mod lamp;
pub mod web;

use std::f64::consts::PI;

/// Daily light integral DLI = E · h · 0.0036 \[mol/(m² d)\], E \[µmol/(m² s)\], h \[h\].
///
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn dli_mol_m2_d(ppfd_umol: f64, hours: f64) -> f64 {
    ppfd_umol * hours * 0.0036
}

/// PPFD that gives a DLI in so many hours \[µmol/(m² s)\].
///
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn ppfd_for_dli(dli: f64, hours: f64) -> f64 {
    dli / (hours * 0.0036)
}

/// Photons in a joule of one wavelength λ \[nm\]: λ/119.627 \[µmol/J\] (N_A h c).
///
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn photons_per_joule(wavelength_nm: f64) -> f64 {
    wavelength_nm / 119.626_57
}

/// Illuminance of a point source E = I cos θ/d² \[lx or µmol/(m² s)\], I per steradian, θ off the normal of the surface.
///
/// Holds from five times the size of the source on. Source: IES Lighting Handbook, inverse-square and cosine law.
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn of_point(intensity: f64, height_m: f64, offset_m: f64) -> f64 {
    let d2 = height_m * height_m + offset_m * offset_m;
    intensity * height_m / (d2 * d2.sqrt())
}

/// Under a small lamp whose intensity falls as cosᵐ: E = (m + 1) Φ/(2π) h^(m+1)/(h² + r²)^((m+3)/2); m = 1 is Lambert's.
///
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn of_cosine_lamp(flux: f64, exponent: f64, height_m: f64, offset_m: f64) -> f64 {
    let d2 = height_m * height_m + offset_m * offset_m;
    let cos = height_m / d2.sqrt();
    (exponent + 1.0) * flux / (2.0 * PI) * cos.powf(exponent + 1.0) / d2
}

/// Exponent m of a lamp by the full angle within which its intensity is above half: m = ln ½/ln cos(angle/2).
///
/// Source: definition of the beam angle, CIE S 017 (from memory).
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn exponent_of_beam(full_angle_deg: f64) -> f64 {
    0.5f64.ln() / (0.5 * full_angle_deg).to_radians().cos().ln()
}

/// Share of a Lambertian point's light that falls on a disc of radius R below it, R²/(R² + h²) \[-\].
///
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn share_on_disc(radius_m: f64, height_m: f64) -> f64 {
    radius_m * radius_m / (radius_m * radius_m + height_m * height_m)
}

/// Share of a Lambertian point's light that falls on a rectangle centred below it: four times the view factor of a corner,
/// (1/2π)\[A/√(1+A²) atan(B/√(1+A²)) + B/√(1+B²) atan(A/√(1+B²))\], A and B half sides over h.
///
/// Source: Howell, *A Catalog of Radiation Heat Transfer Configuration Factors*, B-3.
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn share_on_rectangle(length_m: f64, width_m: f64, height_m: f64) -> f64 {
    let (a, b) = (0.5 * length_m / height_m, 0.5 * width_m / height_m);
    let (ra, rb) = ((1.0 + a * a).sqrt(), (1.0 + b * b).sqrt());
    4.0 / (2.0 * PI) * (a / ra * (b / ra).atan() + b / rb * (a / rb).atan())
}

/// Power per floor that gives a PPFD \[W/m²\]: E/(PPE · u), PPE \[µmol/J\], u share of the photons that arrive \[-\].
///
/// Evidence: `evidence/light/arithmetic.toml`.
pub fn power_w_m2(ppfd_umol: f64, efficacy_umol_j: f64, arriving: f64) -> f64 {
    ppfd_umol / (efficacy_umol_j * arriving)
}
