//! Oxygen in a block: it comes through the top, open sides and with each flood, and roots use it.
//!
//! Per cell, C the concentration in its air \[g/m³\] and H·C in its water:
//! Δz d\[(ε + Hθ) C\]/dt = diffusion + air that moves as water leaves or enters + water that comes in − use · C/(C + K).
//! Air and water of a cell are in equilibrium; the air that leaves or enters passes the top. One implicit
//! step each, upwind, so that nothing falls below nil.

use super::column::Column;
use tidewright_physics::oxygen;
use tidewright_physics::quantity::ThermodynamicTemperature;
use tidewright_physics::water;

/// Half of its demand is what a root gets at this share of the air's oxygen \[-\]: 1 kPa, from memory.
const HALF_USE: f64 = 0.05;

/// Air, water and roots as oxygen meets them, for a while.
#[derive(Clone, Debug, PartialEq)]
pub struct Breath {
    /// Of water, air and roots.
    pub temperature: ThermodynamicTemperature,
    /// What the roots of each cell use with air in plenty \[g/(m² s)\].
    pub demand_g_m2_s: Vec<f64>,
    /// Level of water around the block \[m\]; none where it stands free.
    pub level_m: Option<f64>,
    /// β of open sides \[1/m²\], as water's.
    pub sides_per_m2: Option<f64>,
    /// Whether gas diffuses as little as is published (Millington & Quirk) or as is likely (Moldrup).
    pub low: bool,
    /// Oxygen in the water that comes, over what air would give it \[-\].
    pub brought: f64,
}

/// What oxygen moved \[g/m²\]; into the block is positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Breathed {
    /// Through the top, diffusing.
    pub top: f64,
    /// Through the sides.
    pub sides: f64,
    /// From standing water through the underside.
    pub base: f64,
    /// With air that moved.
    pub with_air: f64,
    /// Dissolved in water that came and went.
    pub with_water: f64,
    /// Used by roots; negative.
    pub used: f64,
    /// What they would have used; positive.
    pub asked: f64,
}

impl Breathed {
    /// All that the block gained.
    pub fn total(&self) -> f64 {
        self.top + self.sides + self.base + self.with_air + self.with_water + self.used
    }
}

/// Oxygen in the cells of a column.
#[derive(Clone, Debug)]
pub struct Oxygen {
    /// In the air of each cell \[g/m³\].
    gas: Vec<f64>,
    /// Water contents that the next step begins with \[-\].
    content: Vec<f64>,
    /// Room for a step.
    rows: Vec<[f64; 4]>,
    before: Vec<f64>,
}

/// Oxygen in water over that in the air it stands under \[-\].
fn partition(temperature: ThermodynamicTemperature) -> f64 {
    oxygen::saturation_mg_l(temperature) / oxygen::in_air_g_m3(temperature)
}

/// Diffusivity of dissolved oxygen \[m²/s\]: 2.10·10⁻⁹ at 25 °C, as T over viscosity. From memory.
fn in_water_m2_s(temperature: ThermodynamicTemperature) -> f64 {
    const AT_25: f64 = 2.10e-9;
    const WARM: f64 = 298.15;
    let warm = tidewright_physics::quantity::celsius(25.0);
    let thinner = water::kinematic_viscosity_m2_s(warm) / water::kinematic_viscosity_m2_s(temperature);
    AT_25 * temperature.value / WARM * thinner
}

impl Oxygen {
    /// Everywhere as much as in the air.
    pub fn fresh(column: &Column, temperature: ThermodynamicTemperature) -> Self {
        Self {
            gas: vec![oxygen::in_air_g_m3(temperature); column.dz.len()],
            content: column.content.clone(),
            rows: Vec::new(),
            before: Vec::new(),
        }
    }

    /// Writes the state down …
    pub(crate) fn keep(&self, kept: &mut (Vec<f64>, Vec<f64>)) {
        kept.0.clone_from(&self.gas);
        kept.1.clone_from(&self.content);
    }

    /// … and goes back to it.
    pub(crate) fn go_back(&mut self, kept: &(Vec<f64>, Vec<f64>)) {
        self.gas.clone_from(&kept.0);
        self.content.clone_from(&kept.1);
    }

    /// In the air of each cell \[g/m³\].
    pub fn gas_g_m3(&self) -> &[f64] {
        &self.gas
    }

    /// All of it \[g/m²\], in a column at the contents of the last step.
    pub fn total_g_m2(&self, column: &Column, temperature: ThermodynamicTemperature) -> f64 {
        let h = partition(temperature);
        (0..self.gas.len())
            .map(|i| column.dz[i] * ((column.pores(i) - self.content[i]).max(0.0) + h * self.content[i]) * self.gas[i])
            .sum()
    }

    /// One step of `dt_s`, after the water of the column has made its own.
    pub fn advance(&mut self, column: &Column, dt_s: f64, breath: &Breath) -> Breathed {
        let n = column.dz.len();
        let h = partition(breath.temperature);
        let outside = oxygen::in_air_g_m3(breath.temperature);
        let d0 = oxygen::diffusivity_in_air_m2_s(breath.temperature);
        let dw = h * in_water_m2_s(breath.temperature);
        let relative = if breath.low { oxygen::relative_diffusivity_low } else { oxygen::relative_diffusivity };
        let level = breath.level_m.unwrap_or(0.0);
        let brought = breath.brought * outside;
        let mut moved = Breathed::default();
        let air = |i: usize, content: f64| (column.pores(i) - content).max(0.0);
        let spread = |i: usize| {
            let (content, pores) = (column.content[i], column.pores(i));
            d0 * relative(air(i, content), pores) + dw * oxygen::relative_diffusivity_low(content, pores)
        };
        let mut rows = std::mem::take(&mut self.rows);
        rows.clear();
        rows.resize(n, [0.0; 4]);
        // Air drawn down over the face above each cell \[m³/m²\]: what all cells up to it gain of air.
        let mut down = 0.0;
        let mut below: Option<f64> = None;
        for i in 0..n {
            let (dz, old, new) = (column.dz[i], self.content[i], column.content[i]);
            let gained = dz * (new - old);
            let came = if gained > 0.0 && breath.level_m.is_some() { brought } else { self.gas[i] };
            moved.with_water += h * gained * came;
            let mass = dz * (air(i, old) + h * old) * self.gas[i] + h * gained * came;
            let asked = dt_s * breath.demand_g_m2_s[i];
            let used = asked / (self.gas[i] + HALF_USE * outside);
            let free = 1.0 - ((level - (column.z[i] - 0.5 * dz)) / dz).clamp(0.0, 1.0);
            let sides = breath.sides_per_m2.map_or(0.0, |b| dt_s * dz * b * free * spread(i));
            let row = &mut rows[i];
            row[1] += dz * (air(i, new) + h * new) + used + sides;
            row[3] += mass + sides * outside;
            // Diffusion over the face below.
            match below {
                Some(d) => {
                    let g = dt_s * 2.0 / (column.dz[i - 1] / d + dz / spread(i));
                    rows[i][1] += g;
                    rows[i][0] -= g;
                    rows[i - 1][1] += g;
                    rows[i - 1][2] -= g;
                }
                None if level > 0.0 => {
                    let g = dt_s * dw / (0.5 * dz);
                    rows[i][1] += g;
                    rows[i][3] += g * brought;
                }
                None => {}
            }
            below = Some(spread(i));
            // Air over the face above: down from the cell above it, or up out of this one.
            down += dz * (air(i, new) - air(i, old));
            if i + 1 < n {
                let (from, to) = if down > 0.0 { (i + 1, i) } else { (i, i + 1) };
                rows[from][1] += down.abs();
                rows[to][if to < from { 2 } else { 0 }] -= down.abs();
            } else if down > 0.0 {
                rows[i][3] += down * outside;
            } else {
                rows[i][1] -= down;
            }
        }
        let top = dt_s * spread(n - 1) / (0.5 * column.dz[n - 1]);
        rows[n - 1][1] += top;
        rows[n - 1][3] += top * outside;
        let mut before = std::mem::take(&mut self.before);
        before.clone_from(&self.gas);
        solve(&mut rows, &mut self.gas);
        for (i, was) in before.iter().enumerate() {
            let asked = dt_s * breath.demand_g_m2_s[i];
            moved.asked += asked;
            moved.used -= asked * self.gas[i] / (was + HALF_USE * outside);
            let dz = column.dz[i];
            let free = 1.0 - ((level - (column.z[i] - 0.5 * dz)) / dz).clamp(0.0, 1.0);
            moved.sides +=
                breath.sides_per_m2.map_or(0.0, |b| dt_s * dz * b * free * spread(i) * (outside - self.gas[i]));
        }
        moved.top = top * (outside - self.gas[n - 1]);
        if level > 0.0 {
            moved.base = dt_s * dw / (0.5 * column.dz[0]) * (brought - self.gas[0]);
        }
        moved.with_air = if down > 0.0 { down * outside } else { down * self.gas[n - 1] };
        self.content.clone_from(&column.content);
        (self.rows, self.before) = (rows, before);
        moved
    }
}

/// Thomas' elimination of rows (lower, diagonal, upper, right).
pub(super) fn solve(rows: &mut [[f64; 4]], out: &mut [f64]) {
    for i in 0..rows.len() {
        if i > 0 {
            let w = rows[i][0] / rows[i - 1][1];
            rows[i][1] -= w * rows[i - 1][2];
            rows[i][3] -= w * rows[i - 1][3];
        }
    }
    for i in (0..rows.len()).rev() {
        let above = if i + 1 < rows.len() { rows[i][2] * out[i + 1] } else { 0.0 };
        out[i] = (rows[i][3] - above) / rows[i][1];
    }
}
