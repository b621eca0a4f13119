use super::section::Section;
use crate::bench::{Jacket, Warmth};
use tidewright_physics::quantity::{Power, ThermodynamicTemperature, celsius, m_s, w};

/// `[heat]`; without it a bare tote in its room.
pub(crate) fn read(s: &Section<'_>) -> Warmth {
    let warmth = Warmth {
        stated: s.present(),
        jacket: s
            .choice(
                "jacket",
                "what stands around the reservoir",
                &[("none", Jacket::None), ("foil", Jacket::Foil), ("foam", Jacket::Foam)],
            )
            .or(Jacket::None, "common practice: a bare tote"),
        draught: s
            .quantity("draught", "air over open water")
            .range(m_s(0.0), m_s(5.0))
            .or(m_s(0.1), "common practice: a room with a small fan"),
        hold: s
            .quantity::<ThermodynamicTemperature>("hold", "water temperature that is wanted")
            .range(celsius(5.0), celsius(35.0))
            .optional(),
        heater: s.quantity::<Power>("heater", "heater in the reservoir").range(w(1.0), w(5000.0)).optional(),
        chiller: s
            .quantity::<Power>("chiller", "heat that the chiller takes out")
            .range(w(1.0), w(10_000.0))
            .optional(),
    };
    s.finish();
    warmth
}
