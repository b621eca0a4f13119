//! A canopy under lamps: radiation, leaf resistance and air share its energy out.

use super::LATENT_HEAT_J_KG;
use crate::air;
use crate::quantity::ThermodynamicTemperature;

/// Density ρ \[kg/m³\] and heat capacity c_p \[J/(kg K)\] of room air, and γ \[Pa/K\] at sea level.
const AIR_DENSITY: f64 = 1.2;
const AIR_HEAT: f64 = 1006.0;
const GAMMA_PA_K: f64 = 66.5;

/// A canopy and the air it stands in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Canopy {
    /// Air temperature.
    pub air: ThermodynamicTemperature,
    /// Relative humidity \[-\].
    pub humidity: f64,
    /// Photons of 400–700 nm on the canopy, PPFD \[µmol/(m² s)\].
    pub photons_umol_m2_s: f64,
    /// Photons per energy of this lamp \[µmol/J\]; white diodes 4.6–4.8, red and blue 5.0.
    pub photons_umol_j: f64,
    /// Leaf area over floor area LAI \[-\].
    pub leaf_area: f64,
    /// Share of the floor that leaves cover \[-\].
    pub cover: f64,
    /// Share of the light that leaves reflect \[-\]; 0.05 of red and blue.
    pub reflected: f64,
    /// Resistance of the air around leaves r_a \[s/m\]; 100 in still air that fans move a little.
    pub air_resistance_s_m: f64,
}

/// What a canopy does with its energy, per floor area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CanopyFlux {
    /// Net radiation \[W/m²\].
    pub radiation_w_m2: f64,
    /// Transpiration as heat λE \[W/m²\].
    pub latent_w_m2: f64,
    /// Given to the air \[W/m²\]; negative where leaves are cooler.
    pub sensible_w_m2: f64,
    /// Leaf over air temperature \[K\].
    pub warmer_k: f64,
    /// Leaf resistance r_s \[s/m\].
    pub leaf_resistance_s_m: f64,
}

impl CanopyFlux {
    /// Transpiration \[kg/(m² s)\], which is litres on a square metre.
    pub fn water_kg_m2_s(&self) -> f64 {
        self.latent_w_m2 / LATENT_HEAT_J_KG
    }
}

/// Energy of photons \[W/m²\] at PPFD \[µmol/(m² s)\] and a lamp's \[µmol/J\].
///
/// Source: Thimijan & Heins, HortScience 18 (1983) 818–822 (factors by lamp from memory; bound by λ/(N_A h c)).
/// Evidence: `evidence/air/light-sums.toml`.
pub fn photons_to_watts(photons_umol_m2_s: f64, photons_umol_j: f64) -> f64 {
    photons_umol_m2_s / photons_umol_j
}

impl Canopy {
    /// Net radiation (1 − a)·cover·PPFD/f, leaf resistance 60 (1500 + PPFD)/(200 + PPFD), and the leaf temperature at which
    /// Rn = λE + H, with λE = LAI (ρ c_p/γ)(Δ x + VPD)/(r_s + r_a), H = LAI ρ c_p x/r_a, x leaf over air temperature: leaves
    /// counted once, Δ at air temperature.
    ///
    /// Valid for closed lettuce-like canopies indoors, 100–600 µmol/(m² s); for other crops r_s is a guess.
    /// Source: Graamans et al., Agric. Syst. 153 (2017) 138–153 after Stanghellini 1987 (coefficients from memory).
    /// Evidence: `evidence/air/canopy.toml`.
    pub fn flux(&self) -> CanopyFlux {
        let p = self.photons_umol_m2_s.max(0.0);
        let rn = (1.0 - self.reflected) * self.cover * photons_to_watts(p, self.photons_umol_j);
        let rs = 60.0 * (1500.0 + p) / (200.0 + p);
        self.shared_out(rn, rs, self.leaf_area)
    }

    /// What a wet surface gives off that gets these photons \[kg/(m² s)\]: the same balance for one side without leaf
    /// resistance, all light taken up.
    pub fn wet_surface_kg_m2_s(&self) -> f64 {
        let rn = photons_to_watts(self.photons_umol_m2_s.max(0.0), self.photons_umol_j);
        self.shared_out(rn, 0.0, 1.0).water_kg_m2_s()
    }

    fn shared_out(&self, rn: f64, rs: f64, lai: f64) -> CanopyFlux {
        let ra = self.air_resistance_s_m;
        let slope = air::saturation_slope_pa_k(self.air);
        let deficit = air::deficit(self.air, self.humidity).value;
        let wet = lai * AIR_DENSITY * AIR_HEAT / GAMMA_PA_K / (rs + ra);
        let dry = lai * AIR_DENSITY * AIR_HEAT / ra;
        let x = if lai > 0.0 { (rn - wet * deficit) / (wet * slope + dry) } else { 0.0 };
        CanopyFlux {
            radiation_w_m2: rn,
            latent_w_m2: wet * (slope * x + deficit),
            sensible_w_m2: dry * x,
            warmer_k: x,
            leaf_resistance_s_m: rs,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::celsius;

    #[test]
    fn law_energy_balances_from_dark_to_noon() {
        for photons in [0.0, 50.0, 250.0, 900.0] {
            let c = Canopy {
                air: celsius(22.0),
                humidity: 0.7,
                photons_umol_m2_s: photons,
                photons_umol_j: 4.7,
                leaf_area: 2.5,
                cover: 0.9,
                reflected: 0.05,
                air_resistance_s_m: 100.0,
            };
            let f = c.flux();
            assert!((f.radiation_w_m2 - f.latent_w_m2 - f.sensible_w_m2).abs() < 1e-9, "{f:?}");
            assert!(f.latent_w_m2 > 0.0);
        }
    }
}
