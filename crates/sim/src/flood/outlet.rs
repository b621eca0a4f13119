//! What leaves a tray by its riser, its weep hole and over its lip.

use tidewright_physics::GRAVITY_M_S2;
use tidewright_physics::hydraulics::line::LineSi;
use tidewright_physics::hydraulics::riser::{orifice_si, weir_si};

/// Strainer openings pass like sharp orifices. Source: HEC-22 4th ed. (2024), eq. 10.23.
const STRAINER_COEFFICIENT: f64 = 0.6;
/// Discharge coefficient of a hole in a thin wall; handbook range 0.61–0.62.
const HOLE_COEFFICIENT: f64 = 0.62;

/// The riser of one tray, ready to be asked.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RiserSi {
    pub(crate) crest: f64,
    pub(crate) bore: f64,
    pub(crate) count: f64,
    pub(crate) weir: f64,
    pub(crate) orifice: f64,
    pub(crate) priming: f64,
    /// Full falling pipe: squared flow at the crest and its growth with head.
    full_squared: f64,
    full_squared_per_m: f64,
}

impl RiserSi {
    /// `full` is the riser and its return as one falling pipe, `drop` the fall from the crest to its end.
    pub(crate) fn new(crest: f64, bore: f64, count: f64, full: &LineSi, drop: f64) -> Self {
        // The full pipe's flow squared is all but straight in head, so two points carry it.
        let reach = 0.1;
        let low = full.flow_at(drop.max(0.0), 0.0).powi(2);
        let high = full.flow_at(drop.max(0.0) + reach, 0.0).powi(2);
        Self {
            crest,
            bore,
            count,
            weir: 0.0,
            orifice: 0.0,
            priming: 0.0,
            full_squared: low,
            full_squared_per_m: (high - low) / reach,
        }
    }

    /// Coefficients of this run; `open_ratio` is the strainer's open area over the riser's own.
    pub(crate) fn with(mut self, weir: f64, orifice: f64, priming: f64, open_ratio: Option<f64>) -> Self {
        self.weir = weir;
        // Strainer and mouth lose head one after the other.
        self.orifice = match open_ratio {
            Some(r) => (orifice.powi(-2) + (STRAINER_COEFFICIENT * r).powi(-2)).powf(-0.5),
            None => orifice,
        };
        self.priming = priming;
        self
    }

    /// Head at which the mouth drowns \[m\].
    pub(crate) fn drowning_head(&self) -> f64 {
        self.orifice * self.bore / (4.0 * self.weir)
    }

    /// Flow of one riser as a full falling pipe \[m³/s\].
    pub(crate) fn full_flow(&self, head: f64) -> f64 {
        (self.full_squared + self.full_squared_per_m * head).max(0.0).sqrt()
    }

    /// Flow over all risers \[m³/s\] at a depth \[m\]: the least of weir, orifice and full pipe; the
    /// orifice gives way towards the full pipe as far as a drowned riser primes.
    pub(crate) fn flow(&self, depth: f64) -> f64 {
        let head = depth - self.crest;
        if head <= 0.0 {
            return 0.0;
        }
        let weir = weir_si(self.weir, self.bore, head);
        let drowned = orifice_si(self.orifice, self.bore, head);
        let full = self.full_flow(head);
        let mouth =
            if self.priming > 0.0 && full > drowned { drowned * (full / drowned).powf(self.priming) } else { drowned };
        self.count * weir.min(mouth).min(full)
    }
}

/// Flow through an open hole at floor level \[m³/s\].
pub(crate) fn weep(area: f64, depth: f64) -> f64 {
    if depth <= 0.0 { 0.0 } else { HOLE_COEFFICIENT * area * (2.0 * GRAVITY_M_S2 * depth).sqrt() }
}

/// What can run over the lip of a flood fitting from all sides \[m³/s\]: a short radial weir.
pub(crate) fn over_lip(weir: f64, bore: f64, head: f64) -> f64 {
    weir_si(weir, bore, head)
}
