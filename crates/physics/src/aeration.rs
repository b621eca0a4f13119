//! Air from a small pump through a line, a check valve and stones, down into the water.

use crate::hydraulics::friction::churchill;
use crate::numerics::{pchip::Pchip, root};
use crate::quantity::{Length, Pressure, ThermodynamicTemperature, VolumeRate, m3_s, pa};

/// Gas constant of dry air \[J/(kg K)\]. Source: ASHRAE Handbook—Fundamentals (2017), ch. 1.
const AIR_GAS: f64 = 287.042;

/// Pressure over flow of an air pump.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// A straight line from the pressure at no flow to the open flow: what a box tells.
    Line {
        /// At no flow.
        max_pressure: Pressure,
        /// At no pressure.
        open_flow: VolumeRate,
    },
    /// Measured points, flow \[m³/s\] to pressure \[Pa\].
    Points(Pchip),
}

impl Curve {
    /// From two points or more of falling pressure; else `None`.
    pub fn through(points: &[(VolumeRate, Pressure)]) -> Option<Self> {
        let si: Vec<(f64, f64)> = points.iter().map(|(q, p)| (q.value, p.value)).collect();
        let falling = si.windows(2).all(|w| w[1].1 < w[0].1);
        (si.len() >= 2 && falling).then(|| Pchip::new(&si).map(Self::Points)).flatten()
    }

    /// Pressure at no flow.
    pub fn max_pressure(&self) -> Pressure {
        match self {
            Self::Line { max_pressure, .. } => *max_pressure,
            Self::Points(p) => pa(p.points().map(|x| x.1).fold(0.0, f64::max)),
        }
    }

    /// Flow \[m³/s\] at a pressure \[Pa\], free air; nil at and above the greatest, the open flow at none.
    ///
    /// The straight line is common practice, no source: diaphragm pumps lie near it.
    /// Evidence: `evidence/air/operating-point.toml`.
    pub fn flow_m3_s(&self, pressure_pa: f64) -> f64 {
        match self {
            Self::Line { max_pressure, open_flow } => {
                open_flow.value * (1.0 - pressure_pa.max(0.0) / max_pressure.value).max(0.0)
            }
            Self::Points(p) => {
                let all: Vec<(f64, f64)> = p.points().collect();
                let (Some(first), Some(last)) = (all.first(), all.last()) else { return 0.0 };
                if pressure_pa >= first.1 {
                    return 0.0;
                }
                // Past the last point it goes on straight, as far as the axis.
                let before = all.iter().rev().nth(1).copied().unwrap_or(*first);
                let secant = (last.1 - before.1) / (last.0 - before.0).max(1e-12);
                let slope = p.at(last.0).1.min(secant).min(-1.0);
                if pressure_pa <= last.1 {
                    return last.0 + (pressure_pa.max(0.0) - last.1) / slope;
                }
                root::bracketed(first.0, last.0, 1e-12, |q| p.at(q).0 - pressure_pa).unwrap_or(0.0)
            }
        }
    }
}

/// Dynamic viscosity of air \[Pa·s\]: 1.716·10⁻⁵ (T/273.15)^1.5 (273.15 + 110.4)/(T + 110.4).
///
/// Valid −50 to 150 °C. Source: Sutherland's law, constants as in White, *Viscous Fluid Flow* (from memory).
/// Evidence: `evidence/air/line.toml`.
pub fn viscosity_pa_s(temperature: ThermodynamicTemperature) -> f64 {
    let t = temperature.value;
    1.716e-5 * (t / 273.15).powf(1.5) * (273.15 + 110.4) / (t + 110.4)
}

/// Density of dry air p/(R T) \[kg/m³\].
///
/// Evidence: `evidence/air/line.toml`.
pub fn density_kg_m3(temperature: ThermodynamicTemperature, pressure: Pressure) -> f64 {
    pressure.value / (AIR_GAS * temperature.value)
}

/// A line of small bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirLine {
    /// True inside diameter.
    pub bore: Length,
    /// Along its axis.
    pub length: Length,
}

impl AirLine {
    /// Speed \[m/s\] and Reynolds number of a flow of free air.
    ///
    /// Evidence: `evidence/air/line.toml`.
    pub fn speed_and_reynolds(&self, flow: VolumeRate, t: ThermodynamicTemperature, pressure: Pressure) -> (f64, f64) {
        let v = flow.value / (0.25 * std::f64::consts::PI * self.bore.value.powi(2));
        (v, density_kg_m3(t, pressure) * v * self.bore.value / viscosity_pa_s(t))
    }

    /// Pressure at its begin, absolute, for a flow of free air (at `pressure`) and an absolute pressure at its end.
    ///
    /// p₁² − p₂² = 2 p₀ Δp₀, isothermal, with Δp₀ = f (L/D) ρ₀ v₀²/2 as for an incompressible flow at p₀; f by Churchill for a
    /// smooth wall, laminar below Re 2300.
    /// Source: Darcy–Weisbach, and the isothermal flow of gases in pipes, White, *Fluid Mechanics*, ch. 9 (from memory).
    /// Evidence: `evidence/air/line.toml`.
    pub fn begin_pa(&self, flow: VolumeRate, end_pa: f64, t: ThermodynamicTemperature, pressure: Pressure) -> f64 {
        if flow.value <= 0.0 {
            return end_pa;
        }
        let (v, re) = self.speed_and_reynolds(flow, t, pressure);
        let f = churchill(re.max(1e-3), 0.0);
        let drop = f * (self.length / self.bore).value * density_kg_m3(t, pressure) * v * v / 2.0;
        (end_pa * end_pa + 2.0 * pressure.value * drop).sqrt()
    }
}

/// One open port of a manifold: its line, and what stands at its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Port {
    /// From the manifold to the stone.
    pub line: AirLine,
    /// Water over the stone \[Pa\].
    pub water_pa: f64,
    /// To open the stone's wet pores \[Pa\].
    pub opening_pa: f64,
    /// More with flow \[Pa·s/m³\].
    pub resistance_pa_s_m3: f64,
    /// To open its check valve \[Pa\].
    pub valve_pa: f64,
}

impl Port {
    /// Gauge pressure at the manifold for a flow \[Pa\].
    fn pressure_pa(&self, flow: f64, t: ThermodynamicTemperature, air: Pressure) -> f64 {
        let end = air.value + self.water_pa + self.opening_pa + self.resistance_pa_s_m3 * flow;
        self.line.begin_pa(m3_s(flow), end, t, air) - air.value + self.valve_pa
    }

    /// Least gauge pressure at which air comes at all \[Pa\].
    pub fn threshold_pa(&self) -> f64 {
        self.water_pa + self.opening_pa + self.valve_pa
    }

    fn flow_at(&self, pressure: f64, most: f64, t: ThermodynamicTemperature, air: Pressure) -> f64 {
        if pressure <= self.threshold_pa() {
            return 0.0;
        }
        if self.pressure_pa(most, t, air) <= pressure {
            return most;
        }
        root::bracketed(0.0, most, 1e-12, |q| self.pressure_pa(q, t, air) - pressure).unwrap_or(0.0)
    }
}

/// Where pump and ports meet.
#[derive(Clone, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Gauge pressure at the manifold \[Pa\].
    pub pressure_pa: f64,
    /// Free air through each port.
    pub flows: Vec<VolumeRate>,
}

impl OperatingPoint {
    /// All of it.
    pub fn total(&self) -> VolumeRate {
        self.flows.iter().fold(m3_s(0.0), |a, b| a + *b)
    }
}

/// Flow through each open port: the pressure at which the pump gives what the ports take. `share`: of its printed flow that the
/// pump gives.
///
/// A port whose threshold lies above that pressure has none: the stone that stands highest, or is coarsest, gets it all.
/// Evidence: `evidence/air/operating-point.toml`.
pub fn operating_point(
    curve: &Curve,
    share: f64,
    ports: &[Port],
    t: ThermodynamicTemperature,
    air: Pressure,
) -> OperatingPoint {
    let top = curve.max_pressure().value;
    let open = share * curve.flow_m3_s(0.0);
    let taken = |p: f64| ports.iter().map(|x| x.flow_at(p, open, t, air)).sum::<f64>();
    let surplus = |p: f64| taken(p) - share * curve.flow_m3_s(p);
    let pressure = if ports.is_empty() || surplus(top) <= 0.0 {
        top
    } else {
        root::bracketed(0.0, top, 1e-6, surplus).unwrap_or(top)
    };
    OperatingPoint {
        pressure_pa: pressure,
        flows: ports.iter().map(|x| m3_s(x.flow_at(pressure, open, t, air))).collect(),
    }
}

/// Least work that presses a flow of air, adiabatic: P = (κ/(κ−1)) p₀ Q \[(1 + Δp/p₀)^((κ−1)/κ) − 1\] \[W\], κ = 1.4.
///
/// Source: ideal compressor, any textbook of thermodynamics.
/// Evidence: `evidence/air/line.toml`.
pub fn least_work_w(flow: VolumeRate, gauge: Pressure, air: Pressure) -> f64 {
    const K: f64 = 1.4;
    K / (K - 1.0) * air.value * flow.value * ((1.0 + gauge.value / air.value).powf((K - 1.0) / K) - 1.0)
}
