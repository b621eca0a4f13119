//! Activity coefficients: Debye–Hückel and its extensions.

use crate::quantity::ThermodynamicTemperature;
use crate::water;

/// How activity coefficients are reckoned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Model {
    /// Davies for every ion, 0.1 I for neutral species. To I ≈ 0.3 mol/kg.
    Davies,
    /// Truesdell and Jones where a species has its two parameters, Davies else. To I ≈ 1 mol/kg in these salts.
    TruesdellJones,
}

/// Relative permittivity ε of water \[-\].
///
/// ε = 87.740 − 0.40008 t + 9.398·10⁻⁴ t² − 1.410·10⁻⁶ t³, t in °C. Valid 0–100 °C.
/// Source: Malmberg & Maryott, J. Res. NBS 56 (1956) 1–8, eq. 1.
/// Evidence: `evidence/solution/constants.toml`.
pub fn relative_permittivity(temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value - 273.15;
    87.740 + t * (-0.400_08 + t * (9.398e-4 - t * 1.410e-6))
}

/// Debye–Hückel A \[(kg/mol)^½\] and B \[(kg/mol)^½/Å\].
///
/// A = 1.82483·10⁶ √ρ (εT)^−1.5, B = 50.2916 √ρ (εT)^−½, ρ in g/cm³.
/// Source: Truesdell & Jones, J. Res. USGS 2 (1974) 233–248.
/// Evidence: `evidence/solution/constants.toml`.
pub fn debye_huckel(temperature: ThermodynamicTemperature) -> (f64, f64) {
    let et = relative_permittivity(temperature) * temperature.value;
    let root = (water::density(temperature).value * 1e-3).sqrt();
    (1.824_83e6 * root * et.powf(-1.5), 50.291_6 * root / et.sqrt())
}

/// f of log γ = −A z² f: √I/(1 + √I) − 0.3 I. Source: Davies, Ion Association (1962), p. 41.
pub fn davies(ionic_strength: f64) -> f64 {
    let root = ionic_strength.max(0.0).sqrt();
    root / (1.0 + root) - 0.3 * ionic_strength
}

/// What a species' activity coefficient depends on; equal rules are reckoned once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Rule {
    /// z².
    Davies(f64),
    /// z², a \[Å\], b \[kg/mol\].
    Sized(f64, f64, f64),
    /// log γ = b I.
    Neutral(f64),
}

impl Rule {
    pub(super) fn of(model: Model, charge: i32, size: Option<(f64, f64)>) -> Self {
        let z2 = f64::from(charge * charge);
        match (model, size) {
            (Model::TruesdellJones, Some((_, b))) if charge == 0 => Self::Neutral(b),
            (_, _) if charge == 0 => Self::Neutral(0.1),
            (Model::TruesdellJones, Some((a, b))) => Self::Sized(z2, a, b),
            _ => Self::Davies(z2),
        }
    }

    /// ln γ and its slope over I, from √I, I and Debye–Hückel A and B.
    ///
    /// Davies: log γ = −A z² (√I/(1 + √I) − 0.3 I). Truesdell–Jones: log γ = −A z² √I/(1 + B a √I) + b I.
    /// Valid to I ≈ 0.3 and ≈ 1 mol/kg. Sources: Davies (1962); Truesdell & Jones (1974), eq. 9.
    #[inline]
    pub(super) fn ln_gamma(self, root: f64, i: f64, a_dh: f64, b_dh: f64) -> (f64, f64) {
        const LN10: f64 = std::f64::consts::LN_10;
        match self {
            Self::Davies(z2) => {
                let d = 1.0 / (1.0 + root);
                let f = root * d - 0.3 * i;
                (-LN10 * a_dh * z2 * f, -LN10 * a_dh * z2 * (0.5 * d * d / root - 0.3))
            }
            Self::Sized(z2, a, b) => {
                let d = 1.0 / (1.0 + b_dh * a * root);
                (LN10 * (b * i - a_dh * z2 * root * d), LN10 * (b - a_dh * z2 * 0.5 * d * d / root))
            }
            Self::Neutral(b) => (LN10 * b * i, LN10 * b),
        }
    }
}
