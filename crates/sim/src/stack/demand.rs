//! What a crop and open tops ask for through a day: water out of the blocks, oxygen at the roots.

use tidewright_physics::oxygen;
use tidewright_physics::quantity::{ThermodynamicTemperature, celsius};
use tidewright_physics::transpiration::{Canopy, Hourly};
use tidewright_rig::Rig;
use tidewright_rig::bench::{Blocks, Growing, Roof, RoomStep};

const DAY_S: f64 = 86_400.0;
/// Photons per energy of a white lamp \[µmol/J\]. Source: between 4.6 and 4.8 by spectrum (from memory).
const PHOTONS_UMOL_J: f64 = 4.7;
/// Reflected by leaves, and resistance of still air \[s/m\]. Source: Graamans et al. 2017 (from memory).
const REFLECTED: f64 = 0.05;
const AIR_RESISTANCE_S_M: f64 = 100.0;
/// Photons of 400–700 nm per energy of all sunlight \[µmol/J\]. From memory: 2.0 to 2.1.
const PHOTONS_OF_SUN_UMOL_J: f64 = 2.05;
/// Solar over clear-sky radiation, for the heat lost to the sky \[-\]: usual weather; under glass next to none is lost.
const CLEAR: f64 = 0.7;
const UNDER_GLASS: f64 = 0.3;
/// Less light than this is none \[mol/(m² s)\].
const GLIMMER: f64 = 5e-6;
/// Dry roots by leaf area \[g/m²\]: a shoot of 35 g dry mass per m² of leaf, a seventh of that in roots. From memory.
const ROOTS_G_M2: f64 = 5.0;

/// What crop and air ask of the blocks of one tray.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// Mean transpiration while lit \[m³/s\].
    pub lit_m3_s: f64,
    /// … and while dark.
    pub dark_m3_s: f64,
    /// Through the day from midnight on, each until the next.
    steps: Vec<Step>,
    /// Dry roots \[g\].
    roots_g: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Step {
    from_s: f64,
    /// Transpiration \[m³/s\].
    water: f64,
    /// What leaves a wet top \[m/s\].
    evaporation: f64,
}

impl Demand {
    /// Of a tray's blocks; `thirst` is a factor on the crop's water, nil leaves crop and evaporation out.
    pub fn of(rig: &Rig, tray: usize, blocks: &Blocks, thirst: f64) -> Self {
        let g = &rig.growing;
        let plants = blocks.count.get() * g.plants.get();
        let area = rig.trays[tray].shape.si().area(rig.trays[tray].rim().value);
        let open = if thirst > 0.0 && !blocks.covered.get() { 1.0 } else { 0.0 };
        let room = g.room();
        let of_canopy: Vec<f64> = room.iter().map(|r| transpires(g, r)).collect();
        let a_day = day_sum(&room, &of_canopy);
        let drunk = g.drinks.as_ref().map(|d| d.get().value * plants);
        let steps: Vec<Step> = room
            .iter()
            .zip(&of_canopy)
            .map(|(r, c)| {
                let water = match drunk {
                    None => c * area,
                    // A canopy that gives nothing off does not say when: evenly.
                    Some(d) if a_day <= 0.0 => d,
                    Some(d) => d * DAY_S * c / a_day,
                };
                Step { from_s: r.from_s, water: thirst * water, evaporation: open * wet_top(g, r) }
            })
            .collect();
        let mean = |lit: bool| {
            let of = |r: &RoomStep| (r.photons_mol_m2_s > GLIMMER) == lit;
            let share: Vec<f64> = room.iter().map(|r| f64::from(u8::from(of(r)))).collect();
            let water: Vec<f64> = steps.iter().zip(&share).map(|(s, x)| s.water * x).collect();
            let time = day_sum(&room, &share);
            if time > 0.0 { day_sum(&room, &water) / time } else { 0.0 }
        };
        Self {
            lit_m3_s: mean(true),
            dark_m3_s: mean(false),
            roots_g: if thirst > 0.0 { ROOTS_G_M2 * g.leaf_area.get() * area } else { 0.0 },
            steps,
        }
    }

    fn step(&self, t_s: f64) -> Step {
        let t = t_s.rem_euclid(DAY_S);
        let i = self.steps.partition_point(|s| s.from_s <= t + 1e-9);
        // Before the first of the day the last of the day before goes on.
        self.steps[if i == 0 { self.steps.len() - 1 } else { i - 1 }]
    }

    /// Transpiration \[m³/s\] at a time \[s after midnight\], of whatever day.
    pub fn water_m3_s(&self, t_s: f64) -> f64 {
        self.step(t_s).water
    }

    /// Water in a day \[m³\].
    pub fn water_a_day_m3(&self) -> f64 {
        let ends = self.steps.iter().skip(1).map(|s| s.from_s).chain([DAY_S]);
        self.steps.iter().zip(ends).map(|(s, end)| s.water * (end - s.from_s)).sum()
    }

    /// What a wet top gives off \[m/s\].
    pub fn evaporation_m_s(&self, t_s: f64) -> f64 {
        self.step(t_s).evaporation
    }

    /// Oxygen that all roots use with air in plenty \[g/s\].
    pub fn oxygen_g_s(&self, temperature: ThermodynamicTemperature) -> f64 {
        self.roots_g * oxygen::root_use_g_g_s(temperature, oxygen::USUAL_Q10)
    }

    /// The next time after `t_s` at which anything changes \[s\].
    pub fn next_switch(&self, t_s: f64) -> f64 {
        let day = (t_s / DAY_S).floor() * DAY_S;
        let next = self.steps.iter().map(|s| day + s.from_s).find(|t| *t > t_s + 1e-6);
        next.unwrap_or(day + DAY_S)
    }
}

/// Sum of a flux over the day \[flux · s\], each step until the next.
fn day_sum(room: &[RoomStep], flux: &[f64]) -> f64 {
    let ends = room.iter().skip(1).map(|r| r.from_s).chain([DAY_S]);
    room.iter().zip(ends).zip(flux).map(|((r, end), f)| f * (end - r.from_s)).sum()
}

/// Energy that comes with photons of 400–700 nm \[W/m²\] at their flux \[mol/(m² s)\]: the lamp's light alone, the whole of the sun's.
pub(crate) fn light_w_m2(place: Roof, photons_mol_m2_s: f64) -> f64 {
    1e6 * photons_mol_m2_s / photons_umol_j(place)
}

fn photons_umol_j(place: Roof) -> f64 {
    match place {
        Roof::Lamps => PHOTONS_UMOL_J,
        Roof::Greenhouse | Roof::Sky => PHOTONS_OF_SUN_UMOL_J,
    }
}

fn canopy(g: &Growing, room: &RoomStep, photons_mol: f64) -> Canopy {
    Canopy {
        air: celsius(room.air_k - 273.15),
        humidity: room.humidity,
        photons_umol_m2_s: 1e6 * photons_mol,
        photons_umol_j: photons_umol_j(g.place.get()),
        leaf_area: g.leaf_area.get(),
        cover: g.cover.get(),
        reflected: REFLECTED,
        air_resistance_s_m: AIR_RESISTANCE_S_M,
    }
}

/// What a canopy transpires \[m³/(s m²)\]: under lamps by its own balance, else by FAO-56 from hour to hour.
fn transpires(g: &Growing, room: &RoomStep) -> f64 {
    let clearness = match g.place.get() {
        Roof::Lamps => None,
        Roof::Greenhouse => Some(UNDER_GLASS),
        Roof::Sky => Some(CLEAR),
    };
    if let Some(clearness) = clearness {
        let hour = Hourly {
            altitude_m: 0.0,
            air_degc: room.air_k - 273.15,
            humidity: room.humidity,
            wind_m_s: g.wind.get().value,
            solar_mj: light_w_m2(g.place.get(), room.photons_mol_m2_s) * 3600e-6,
            clearness,
            is_day: room.photons_mol_m2_s > GLIMMER,
        };
        let coefficient = g.crop.coefficient(g.stage.get(), g.cover.get());
        return (coefficient * hour.reference_mm() / 3.6e6).max(0.0);
    }
    (1e-3 * canopy(g, room, room.photons_mol_m2_s).flux().water_kg_m2_s()).max(0.0)
}

/// What a wet surface under this canopy gives off \[m/s\]. It gets the light that passes the leaves.
fn wet_top(g: &Growing, room: &RoomStep) -> f64 {
    let passes = room.photons_mol_m2_s * (1.0 - g.cover.get());
    (1e-3 * canopy(g, room, passes).wet_surface_kg_m2_s()).max(0.0)
}

/// What a canopy in this room and light transpires in a day \[m\].
pub fn transpiration_a_day_m(g: &Growing) -> f64 {
    let room = g.room();
    let flux: Vec<f64> = room.iter().map(|r| transpires(g, r)).collect();
    day_sum(&room, &flux)
}
