//! Where each uncertain number stands in one run.

use serde::Serialize;
use tidewright_physics::hydraulics::riser;
use tidewright_rig::value::Spread;
use tidewright_rig::{Rig, Value};

/// The uncertain inputs, each named once. The order is that of the sample's dimensions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Input {
    /// Share of the printed flow that the pump gives.
    PumpFlow,
    /// Shape of the pump's curve between its two printed points.
    CurveShape,
    /// Loss backwards through the stopped pump.
    ReverseLoss,
    /// How far a drowned riser primes.
    Priming,
    /// Weir coefficient of the riser.
    Weir,
    /// Orifice coefficient of the riser.
    Orifice,
    /// Losses of the small fittings.
    Fittings,
    /// Room that the media take.
    Displacement,
    /// Water in the reservoir.
    Fill,
    /// How fast media take and give water.
    Soak,
}

impl Input {
    /// All of them, in the order of the dimensions.
    pub const ALL: [Self; 10] = [
        Self::PumpFlow,
        Self::CurveShape,
        Self::ReverseLoss,
        Self::Priming,
        Self::Weir,
        Self::Orifice,
        Self::Fittings,
        Self::Displacement,
        Self::Fill,
        Self::Soak,
    ];

    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::PumpFlow => "what the pump really gives",
            Self::CurveShape => "the shape of the pump's curve",
            Self::ReverseLoss => "how the stopped pump lets water back",
            Self::Priming => "whether the drowned riser runs full",
            Self::Weir => "the riser's weir coefficient",
            Self::Orifice => "the riser's orifice coefficient",
            Self::Fittings => "the losses of small fittings",
            Self::Displacement => "the room that the media take",
            Self::Fill => "how full the reservoir is",
            Self::Soak => "how fast the media take water",
        }
    }

    /// The two-minute test that would narrow it.
    pub fn test(self) -> &'static str {
        match self {
            Self::PumpFlow | Self::CurveShape | Self::Fittings => {
                "Time one flood until the riser's crest is wet, or fill a bucket at the pump through a short hose, at two heights"
            }
            Self::ReverseLoss | Self::Soak => "Time one drain, from pump stop to the drained mark",
            Self::Priming | Self::Weir | Self::Orifice => "Hold a ruler in the tray while the pump runs",
            Self::Displacement => "Time one flood until the riser's crest is wet",
            Self::Fill => "Measure the reservoir's water below its rim, pump off and trays empty",
        }
    }
}

/// A point in the unit cube: one share for each [`Input`], 0.5 being the middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw(pub [f64; Input::ALL.len()]);

impl Draw {
    /// Everything at its middle.
    pub const MIDDLE: Self = Self([0.5; Input::ALL.len()]);

    /// The share of one input.
    pub fn of(&self, input: Input) -> f64 {
        self.0[input as usize]
    }

    /// The same with one input at another share.
    #[must_use]
    pub fn with(mut self, input: Input, share: f64) -> Self {
        self.0[input as usize] = share;
        self
    }
}

/// Shape of a two-point pump curve. Source: common practice, no source.
pub const CURVE_SHAPE: Spread = Spread::linear(1.5, 2.0, 2.5);
/// Priming, from nil (vented) to 1 (full falling pipe): squared, so that half of all lie below a quarter.
const PRIMING_AT_MOST: f64 = 1.0;
/// Weir coefficient: HEC-22 gives 0.27–0.38 for weirs and uses 0.41 in its riser example; small rims scatter.
const WEIR: Spread = Spread::linear(0.33, riser::WEIR_COEFFICIENT, 0.45);
/// Orifice coefficient: HEC-22 gives 0.6 for a square edge, 0.4 for a ragged one.
const ORIFICE: Spread = Spread::linear(0.45, riser::ORIFICE_COEFFICIENT, 0.70);
/// Small fittings: ±50 % or worse, from measured connectors.
const FITTINGS: Spread = Spread::log(0.55, 1.0, 1.8);
/// Room that media take: blocks swell and stand unevenly; common practice, no source.
const DISPLACEMENT: Spread = Spread::linear(0.96, 1.0, 1.04);
/// Fill level: a line drawn with a pen; common practice, no source.
const FILL: Spread = Spread::linear(0.97, 1.0, 1.03);
/// Soak and release times; common practice, no source.
const SOAK: Spread = Spread::log(0.4, 1.0, 2.5);

/// One pump's uncertain numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpKnobs {
    /// Share of the printed flow \[-\].
    pub flow_share: f64,
    /// Shape of a two-point curve \[-\].
    pub shape: f64,
    /// Loss backwards through the stopped pump \[-\], on the hose bore.
    pub reverse_loss: f64,
}

/// Every uncertain number of one run, as a number.
#[derive(Clone, Debug, PartialEq)]
pub struct Knobs {
    /// Pump by pump.
    pub pumps: Vec<PumpKnobs>,
    /// From nil (vented) to 1 (runs as a full falling pipe once drowned).
    pub priming: f64,
    /// Weir coefficient \[-\].
    pub weir: f64,
    /// Orifice coefficient \[-\].
    pub orifice: f64,
    /// Factor on small-fitting losses \[-\].
    pub fittings: f64,
    /// Factor on the room that media take \[-\].
    pub displacement: f64,
    /// Factor on the reservoir's fill \[-\].
    pub fill: f64,
    /// Factor on soak and release times \[-\].
    pub soak: f64,
}

impl Knobs {
    /// Everything at its middle.
    pub fn nominal(rig: &Rig) -> Self {
        Self::at(rig, &Draw::MIDDLE)
    }

    /// At a point of the unit cube, through the spreads that the bench has.
    pub fn at(rig: &Rig, draw: &Draw) -> Self {
        let u = |i| draw.of(i);
        let pick = |v: &Value<Spread>, i| v.get().quantile(u(i));
        Self {
            pumps: rig
                .pumps
                .iter()
                .map(|p| PumpKnobs {
                    flow_share: pick(&p.as_sold, Input::PumpFlow),
                    shape: CURVE_SHAPE.quantile(u(Input::CurveShape)),
                    reverse_loss: pick(&p.reverse_loss, Input::ReverseLoss),
                })
                .collect(),
            priming: PRIMING_AT_MOST * u(Input::Priming).powi(2),
            weir: WEIR.quantile(u(Input::Weir)),
            orifice: ORIFICE.quantile(u(Input::Orifice)),
            fittings: FITTINGS.quantile(u(Input::Fittings)),
            displacement: DISPLACEMENT.quantile(u(Input::Displacement)),
            fill: FILL.quantile(u(Input::Fill)),
            soak: SOAK.quantile(u(Input::Soak)),
        }
    }

    /// Everything as printed in handbooks, nothing derated: the textbook bench.
    pub fn textbook(rig: &Rig, reverse_loss: f64) -> Self {
        let pump = PumpKnobs { flow_share: 1.0, shape: 2.0, reverse_loss };
        Self {
            pumps: vec![pump; rig.pumps.len()],
            priming: 0.0,
            weir: riser::WEIR_COEFFICIENT,
            orifice: riser::ORIFICE_COEFFICIENT,
            fittings: 1.0,
            displacement: 1.0,
            fill: 1.0,
            soak: 1.0,
        }
    }

    /// The same bench after months: pumps worn, and slow to let water back.
    #[must_use]
    pub fn worn(mut self, rig: &Rig) -> Self {
        for (k, p) in self.pumps.iter_mut().zip(&rig.pumps) {
            k.flow_share = p.worn.get().min(k.flow_share);
            k.reverse_loss = k.reverse_loss.max(p.reverse_loss.get().quantile(0.95));
        }
        self
    }
}
