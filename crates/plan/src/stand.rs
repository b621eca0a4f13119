//! What a stand carries, how far it sags, when a leg gives way, what tips it. Arithmetic for a builder, never a word that it is safe.

use serde::Serialize;
use tidewright_physics::structure::{
    buckling_n, moment_even_n_m, on_floor_pa, sag_even_m, sag_tip_m, span_for_sag_m, tipping_n,
};
use tidewright_physics::{GRAVITY_M_S2, water};
use tidewright_rig::Rig;
use tidewright_rig::bench::{Along, Floor, Material, Member, Stand, Supply, TopUp, Tray};

/// Plastic of a tray \[kg/m²\]: 4 mm.
const SHELL_KG_M2: f64 = 3.8;
/// Fresh shoot over leaf \[kg/m²\]: 35 g dry in a square metre of leaf at 7 % dry matter. From memory.
const SHOOT_KG_M2: f64 = 0.5;
/// Sag that a level tray bears: span over this \[-\]. Common practice: L/360.
pub const SAG_LIMIT: f64 = 360.0;
/// Least factor against buckling of a home-made frame, and against tipping \[-\]. Common practice.
pub const LEG_FACTOR: f64 = 3.0;
/// Sideways push that is looked at, over the weight \[-\]. Common practice: 5 to 10 %.
const PUSH: f64 = 0.1;
/// A person who leans on it \[N\]. Common practice.
pub const LEAN_N: f64 = 200.0;
/// Load of a dwelling's floor and of its bedrooms \[Pa\]. Source: ASCE 7 and IRC, 40 and 30 lb/ft².
pub const DWELLING_PA: [f64; 2] = [1915.0, 1436.0];

/// What one tray weighs, and what it stands on does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Standing {
    /// Which tray.
    pub tray: usize,
    /// Weights \[kg\].
    pub load: Load,
    /// On each rail \[N/m\].
    pub on_rail_n_m: f64,
    /// Sag of a rail on the day it is filled, and after years \[m\].
    pub sag_m: [f64; 2],
    /// What it may sag \[m\]: span/360.
    pub sag_limit_m: f64,
    /// Fall of the tray towards its drain over the same span \[m\].
    pub fall_m: f64,
    /// Bending stress, and what the rail may carry for years \[Pa\].
    pub stress_pa: (f64, f64),
    /// Longest span that holds, by sag after years and by stress \[m\].
    pub longest_span_m: f64,
    /// Span that is there \[m\].
    pub span_m: f64,
    /// On each leg \[N\].
    pub on_leg_n: f64,
    /// Load at which a leg buckles after years, or is crushed \[N\].
    pub buckles_n: f64,
    /// How far the top sways under a tenth of the weight from the side \[m\]; none where it is braced.
    pub sway_m: Option<f64>,
    /// Push at rim height that tips it: drained with wet media, and empty \[N\].
    pub tips_n: [f64; 2],
    /// All on the floor over the stand's own plan \[Pa\].
    pub on_floor_pa: f64,
    /// Under one leg \[Pa\].
    pub under_leg_pa: f64,
}

/// Weights of a tray at its worst \[kg\].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Load {
    /// Free water, the drain blocked: to the rim, or all that the bench has.
    pub water_kg: f64,
    /// Media, full of water.
    pub media_kg: f64,
    /// Plants.
    pub plants_kg: f64,
    /// The tray.
    pub shell_kg: f64,
    /// Rails, deck and legs.
    pub stand_kg: f64,
    /// Reservoir with its water, on the floor between the legs.
    pub reservoir_kg: f64,
}

impl Load {
    /// On the rails.
    pub fn on_rails_kg(&self) -> f64 {
        self.water_kg + self.media_kg + self.plants_kg + self.shell_kg
    }

    /// Without water and plants.
    pub fn empty_kg(&self) -> f64 {
        self.shell_kg + self.stand_kg
    }
}

/// One tray on its stand; none where the bench file says nothing of it.
pub fn of(rig: &Rig, tray: usize) -> Option<Standing> {
    let s = rig.stand.as_ref()?;
    let t = rig.trays.get(tray)?;
    let load = load(rig, tray, Some(s));
    let weight = load.on_rails_kg() * GRAVITY_M_S2;
    let rails = s.rails.get();
    // The tray stands on its own run of the rail: that load is taken for the whole span, which is on the safe side.
    let tray_run = match s.along.get() {
        Along::Length => t.floor().0.value,
        Along::Width => t.floor().1.value,
    };
    let length = s.rail_length.get().value.min(tray_run);
    let own = member_kg_m(&s.rail) * GRAVITY_M_S2;
    let even = weight / (rails * length) + own;
    let span = s.span.get().value;
    let i = s.rail.section.second_moment_m4;
    let (e, years) = (s.rail.stiffness.get().value, s.rail.stiffness_in_years.get().value);
    let strength = s.rail.strength.get().value;
    let by_stress = (8.0 * s.rail.section.modulus_m3 * strength / even).sqrt();
    // It tilts along its length.
    let tilts = t.tilts_to_drain.get() && s.along.get() == Along::Length;
    let fall = if tilts { t.tilt.get().value.abs() } else { 0.0 };
    let legs = s.legs.get();
    let on_leg = (weight + load.stand_kg * GRAVITY_M_S2) / legs;
    let leg_length = leg_length_m(s, t).max(1e-3);
    let k = if s.braced.get() { 1.0 } else { 2.0 };
    let (el, il) = (s.leg.stiffness_in_years.get().value, s.leg.section.least_second_moment_m4);
    let height = t.elevation.get().value + t.rim().value;
    let base = s.base.0.get().value.min(s.base.1.get().value);
    let area = (s.base.0.get() * s.base.1.get()).value;
    let all = load.on_rails_kg() + load.stand_kg + load.reservoir_kg;
    let pad = s.pad.get().value;
    let foot = if pad > 0.0 { pad * pad } else { s.leg.section.area_m2 };
    Some(Standing {
        tray,
        on_rail_n_m: even,
        sag_m: [sag_even_m(even, span, e, i), sag_even_m(even, span, years, i)],
        sag_limit_m: span / SAG_LIMIT,
        fall_m: fall * (span / tray_run).min(1.0),
        stress_pa: (moment_even_n_m(even, span) / s.rail.section.modulus_m3, strength),
        longest_span_m: span_for_sag_m(even, SAG_LIMIT, years, i).min(by_stress),
        span_m: span,
        on_leg_n: on_leg,
        // A short leg is crushed before it buckles.
        buckles_n: buckling_n(el, il, leg_length, k).min(s.leg.strength.get().value * s.leg.section.area_m2),
        sway_m: (!s.braced.get() && leg_length > 0.05)
            .then(|| sag_tip_m(PUSH * weight / legs, leg_length, s.leg.stiffness.get().value, il)),
        tips_n: [
            // Free water shifts to the low side: only what is drained counts.
            tipping_n(load.media_kg + load.plants_kg + load.shell_kg + load.stand_kg, base, height),
            tipping_n(load.empty_kg(), base, height),
        ],
        on_floor_pa: on_floor_pa(all, area),
        under_leg_pa: on_leg / foot,
        load,
    })
}

/// Weights of a tray at its worst, with its stand where it has one.
pub fn load(rig: &Rig, tray: usize, stand: Option<&Stand>) -> Load {
    let t = &rig.trays[tray];
    let rho = water::density(rig.site.water_temperature.get()).value;
    let (media, taken) = match (&t.blocks, &t.bed) {
        (_, Some(b)) => {
            let v = t.shape.volume(b.depth.get()).value;
            let dry = b.medium.dry_density * v;
            (dry + rho * b.medium.retention.theta_r.max(0.1) * v, v * (1.0 - b.void_fraction.get()))
        }
        (Some(b), None) => {
            let v = b.volume().value;
            // Only what stands below the rim takes water's room.
            let below = (t.rim() - b.base.get()).min(b.total_height()).max(t.rim() * 0.0);
            (b.dry_mass().value + rho * b.medium.retention.theta_s * v, (b.plan_area() * below).value)
        }
        (None, None) => (0.0, 0.0),
    };
    let to_rim = (t.shape.full().value - taken).max(0.0);
    // Water is conserved: the tray cannot hold more than the bench has.
    let there = there_m3(rig);
    let (rim, half) = (t.shape.area_at(t.rim()), t.rim() * 0.5);
    let plants = t.blocks.as_ref().map_or(0.0, |_| SHOOT_KG_M2 * rig.growing.crop.leaf_area * rim.value);
    let stand_kg = stand.map_or(0.0, |s| {
        s.rails.get() * s.rail_length.get().value * member_kg_m(&s.rail)
            + s.legs.get() * leg_length_m(s, t) * member_kg_m(&s.leg)
            + 600.0 * s.deck.get().value * (t.floor().0 * t.floor().1).value
    });
    Load {
        water_kg: rho * to_rim.min(there),
        media_kg: media,
        plants_kg: plants,
        shell_kg: SHELL_KG_M2 * (rim + t.shape.perimeter_at(half) * t.rim()).value,
        stand_kg,
        reservoir_kg: rho * stays_m3(rig, to_rim) + EMPTY_RESERVOIR_KG,
    }
}

/// Free length of a leg under a tray \[m\]: as named, or from the floor to below the rails of this tray.
pub fn leg_length_m(s: &Stand, t: &Tray) -> f64 {
    if s.leg_length.is_assumed() {
        (t.elevation.get() - s.rail.outer.1 - s.deck.get()).value.max(0.0)
    } else {
        s.leg_length.get().value
    }
}

/// Weight of a member \[kg/m\].
fn member_kg_m(m: &Member) -> f64 {
    let density = match m.material.get() {
        Material::Timber => 500.0,
        Material::Plastic => 1400.0,
        Material::Steel => 7850.0,
    };
    density * m.section.area_m2
}

/// Everything full \[kg\]: all trays at their worst, their stands, what stays in the reservoir.
pub fn everything_kg(rig: &Rig) -> f64 {
    let all: Vec<Load> = (0..rig.trays.len()).map(|i| load(rig, i, rig.stand.as_ref())).collect();
    let dry: f64 = all.iter().map(|l| l.media_kg + l.plants_kg + l.shell_kg + l.stand_kg).sum();
    let rho = water::density(rig.site.water_temperature.get()).value;
    let wanted: f64 = all.iter().map(|l| l.water_kg).sum();
    // Each litre once: what the trays hold is not in the reservoir, and they cannot hold more than there is.
    let in_trays = wanted.min(rho * there_m3(rig));
    dry + in_trays + rho * stays_m3(rig, in_trays / rho) + EMPTY_RESERVOIR_KG
}

/// An empty reservoir with its pump \[kg\]. From memory.
const EMPTY_RESERVOIR_KG: f64 = 4.0;

/// Water that a bench has \[m³\]; without end behind a float valve on the mains.
fn there_m3(rig: &Rig) -> f64 {
    match &rig.reservoir.top_up {
        TopUp::FloatValve { supply: Supply::Mains, .. } => f64::INFINITY,
        TopUp::FloatValve { supply: Supply::Tank(v), .. } => rig.reservoir.fill.get().value + v.get().value,
        TopUp::ByHand => rig.reservoir.fill.get().value,
    }
}

/// What stays in the reservoir while trays hold so much \[m³\]. A float valve on the mains fills it again.
fn stays_m3(rig: &Rig, in_trays_m3: f64) -> f64 {
    let r = &rig.reservoir;
    match &r.top_up {
        TopUp::FloatValve { height, supply: Supply::Mains, .. } => {
            r.shape.volume(height.get()).value.max(r.fill.get().value)
        }
        _ => (r.fill.get().value - in_trays_m3).max(0.0),
    }
}

/// What must be said of any stand, whatever the numbers are.
pub fn refusal(rig: &Rig) -> String {
    let carries = match rig.stand.as_ref().map(|s| s.floor.get()) {
        None | Some(Floor::Unknown | Floor::Suspended) => {
            "Nobody may climb, sit or lean on it, and nothing here says that the floor carries it: ask a licensed engineer before a full bench stands on a floor with rooms below, or on one you do not know."
        }
        Some(Floor::Slab) => {
            "Nobody may climb, sit or lean on it. These numbers are for a frame that is joined and braced by someone who knows how; for tall or heavy stands ask a licensed engineer."
        }
    };
    if rig.trays.len() > 1 {
        format!(
            "Each tray is reckoned on a frame of its own: where several share one, its legs and floor carry the sum. {carries}"
        )
    } else {
        carries.to_owned()
    }
}
