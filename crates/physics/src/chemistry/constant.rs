//! Equilibrium constants over temperature.

use crate::quantity::ThermodynamicTemperature;

/// Molar gas constant R \[J/(mol K)\]. Source: CODATA 2018 (exact).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Faraday constant F \[C/mol\]. Source: CODATA 2018 (exact).
pub const FARADAY: f64 = 96_485.332_12;

/// How a constant depends on temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LogK {
    /// log₁₀ K at 25 °C and the enthalpy of the reaction \[J/mol\], taken as the same at all temperatures (van 't Hoff).
    Enthalpy {
        /// At 25 °C.
        log_k: f64,
        /// ΔH \[J/mol\].
        delta_h: f64,
    },
    /// log₁₀ K = A₁ + A₂T + A₃/T + A₄ log₁₀T + A₅/T² + A₆T², T in kelvins.
    Analytic([f64; 6]),
}

impl LogK {
    /// log₁₀ K at a temperature.
    ///
    /// log K(T) = log K(T₀) − ΔH/(R ln 10) (1/T − 1/T₀), T₀ = 298.15 K, or the analytic form. Valid 0–50 °C.
    /// Source: van 't Hoff; the analytic form is that of the aqueous databases of the US Geological Survey.
    /// Evidence: `evidence/solution/constants.toml`.
    pub fn at(&self, temperature: ThermodynamicTemperature) -> f64 {
        const T0: f64 = 298.15;
        let t = temperature.value;
        match self {
            Self::Enthalpy { log_k, delta_h } => {
                log_k - delta_h / (GAS_CONSTANT * std::f64::consts::LN_10) * (1.0 / t - 1.0 / T0)
            }
            Self::Analytic(a) => a[0] + a[1] * t + a[2] / t + a[3] * t.log10() + a[4] / (t * t) + a[5] * t * t,
        }
    }
}
