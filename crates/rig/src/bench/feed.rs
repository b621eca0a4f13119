use crate::value::Value;
use tidewright_physics::hydraulics::line::Line;
use tidewright_physics::quantity::Length;

/// A run of hose with its fittings.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// What the shop calls it, where the user said.
    pub nominal: Option<String>,
    /// True inside diameter.
    pub bore: Value<Length>,
    /// Length along it.
    pub length: Value<Length>,
    /// Wall roughness.
    pub roughness: Value<Length>,
    /// Fittings, in the order written.
    pub fittings: Vec<Fitting>,
    /// Measured ΣK of all fittings on the hose bore, which then replaces the list.
    pub measured_loss: Option<Value<f64>>,
    /// Highest point of the hose above the floor of the room, where it is higher than its end.
    pub high_point: Option<Value<Length>>,
    /// Tightest bend radius.
    pub bend_radius: Option<Value<Length>>,
}

/// One kind of fitting on a hose.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    /// Kind, as the parts data name it.
    pub kind: String,
    /// How many.
    pub count: u32,
    /// Loss coefficient of one, carried to the hose bore.
    pub loss: f64,
    /// Where the coefficient comes from.
    pub source: String,
}

impl Feed {
    /// ΣK on the hose bore. `small_fitting_factor` scales the handbook values (1 = as printed);
    /// a measured loss is not scaled.
    pub fn loss(&self, small_fitting_factor: f64) -> f64 {
        match &self.measured_loss {
            Some(k) => k.get(),
            None => self.fittings.iter().map(|f| f64::from(f.count) * f.loss).sum::<f64>() * small_fitting_factor,
        }
    }

    /// The hydraulic line.
    pub fn line(&self, viscosity_m2_s: f64, small_fitting_factor: f64) -> Line {
        Line {
            bore: self.bore.get(),
            length: self.length.get(),
            roughness: self.roughness.get(),
            loss: self.loss(small_fitting_factor),
            viscosity_m2_s,
        }
    }
}
