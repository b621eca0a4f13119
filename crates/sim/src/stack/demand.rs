//! What a crop and open tops ask for through a day: water out of the blocks, oxygen at the roots.

use tidewright_physics::oxygen;
use tidewright_physics::quantity::{ThermodynamicTemperature, celsius};
use tidewright_physics::transpiration::Canopy;
use tidewright_rig::Rig;
use tidewright_rig::bench::{Blocks, Growing};

const DAY_S: f64 = 86_400.0;
/// Photons per energy of a white lamp \[µmol/J\]. Source: between 4.6 and 4.8 by spectrum (from memory).
const PHOTONS_UMOL_J: f64 = 4.7;
/// Reflected by leaves, and resistance of still air \[s/m\]. Source: Graamans et al. 2017 (from memory).
const REFLECTED: f64 = 0.05;
const AIR_RESISTANCE_S_M: f64 = 100.0;
/// Dry roots by leaf area \[g/m²\]: a shoot of 35 g dry mass per m² of leaf, a seventh of that in roots. From memory.
const ROOTS_G_M2: f64 = 5.0;

/// What crop and air ask of the blocks of one tray.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demand {
    /// Transpiration \[m³/s\], lit and dark.
    pub lit_m3_s: f64,
    /// … and dark.
    pub dark_m3_s: f64,
    /// What leaves a wet top \[m/s\], lit and dark.
    evaporation_m_s: (f64, f64),
    /// Dry roots \[g\].
    roots_g: f64,
    on_s: f64,
    lit_s: f64,
}

impl Demand {
    /// Of a tray's blocks; `thirst` is a factor on the crop's water, nil leaves crop and evaporation out.
    pub fn of(rig: &Rig, tray: usize, blocks: &Blocks, thirst: f64) -> Self {
        let g = &rig.growing;
        let plants = blocks.count.get() * g.plants.get();
        let (lit, dark) = crop_m3_s(rig, tray, plants);
        let area = rig.trays[tray].shape.si().area(rig.trays[tray].rim().value);
        let open = if thirst > 0.0 && !blocks.covered.get() { 1.0 } else { 0.0 };
        let (top_lit, top_dark) = wet_top_m_s(g);
        Self {
            lit_m3_s: thirst * lit,
            dark_m3_s: thirst * dark,
            evaporation_m_s: (open * top_lit, open * top_dark),
            roots_g: if thirst > 0.0 { ROOTS_G_M2 * g.leaf_area.get() * area } else { 0.0 },
            on_s: g.on.get(),
            lit_s: g.lit.get().value,
        }
    }

    /// Whether the light is on at a time \[s after midnight\], of whatever day.
    fn is_lit(&self, t_s: f64) -> bool {
        (t_s - self.on_s).rem_euclid(DAY_S) < self.lit_s
    }

    /// Transpiration \[m³/s\].
    pub fn water_m3_s(&self, t_s: f64) -> f64 {
        if self.is_lit(t_s) { self.lit_m3_s } else { self.dark_m3_s }
    }

    /// Water in a day \[m³\].
    pub fn water_a_day_m3(&self) -> f64 {
        self.lit_m3_s * self.lit_s + self.dark_m3_s * (DAY_S - self.lit_s)
    }

    /// What a wet top gives off \[m/s\].
    pub fn evaporation_m_s(&self, t_s: f64) -> f64 {
        if self.is_lit(t_s) { self.evaporation_m_s.0 } else { self.evaporation_m_s.1 }
    }

    /// Oxygen that all roots use with air in plenty \[g/s\].
    pub fn oxygen_g_s(&self, temperature: ThermodynamicTemperature) -> f64 {
        self.roots_g * oxygen::root_use_g_g_s(temperature, oxygen::USUAL_Q10)
    }

    /// The next time after `t_s` at which the light is switched \[s\].
    pub fn next_switch(&self, t_s: f64) -> f64 {
        let after = |at: f64| {
            let next = t_s + (at - t_s).rem_euclid(DAY_S);
            if next - t_s < 1e-6 { next + DAY_S } else { next }
        };
        after(self.on_s).min(after(self.on_s + self.lit_s))
    }
}

fn canopy(g: &Growing, lit: bool, photons: f64) -> Canopy {
    let (air, humidity) = if lit { (&g.day, &g.humidity_day) } else { (&g.night, &g.humidity_night) };
    Canopy {
        air: celsius(air.get().value - 273.15),
        humidity: humidity.get(),
        photons_umol_m2_s: photons,
        photons_umol_j: PHOTONS_UMOL_J,
        leaf_area: g.leaf_area.get(),
        cover: g.cover.get(),
        reflected: REFLECTED,
        air_resistance_s_m: AIR_RESISTANCE_S_M,
    }
}

/// What a canopy in this room and light transpires \[m³/(s m²)\]: lit, dark.
pub fn transpiration_m_s(g: &Growing) -> (f64, f64) {
    let photons = 1e6 * g.photons.get().value;
    let of = |lit: bool, photons: f64| (1e-3 * canopy(g, lit, photons).flux().water_kg_m2_s()).max(0.0);
    (of(true, photons), of(false, 0.0))
}

/// What a wet surface under this canopy gives off \[m/s\]: lit, dark. It gets the light that passes the leaves.
fn wet_top_m_s(g: &Growing) -> (f64, f64) {
    let photons = 1e6 * g.photons.get().value * (1.0 - g.cover.get());
    let of = |lit: bool, photons: f64| (1e-3 * canopy(g, lit, photons).wet_surface_kg_m2_s()).max(0.0);
    (of(true, photons), of(false, 0.0))
}

/// Transpiration of a tray \[m³/s\], lit and dark: the canopy's, or what plants were measured to drink, shared
/// between day and night as the canopy would.
fn crop_m3_s(rig: &Rig, tray: usize, plants: f64) -> (f64, f64) {
    let g = &rig.growing;
    let (lit, dark) = transpiration_m_s(g);
    let area = rig.trays[tray].shape.si().area(rig.trays[tray].rim().value);
    let factor = match &g.drinks {
        None => area,
        Some(d) => {
            let lit_s = g.lit.get().value;
            let of_canopy = lit * lit_s + dark * (DAY_S - lit_s);
            let drunk = d.get().value * plants;
            if of_canopy <= 0.0 {
                // A canopy that gives nothing off does not say when: evenly.
                return (drunk, drunk);
            }
            drunk * DAY_S / of_canopy
        }
    };
    (lit * factor, dark * factor)
}
