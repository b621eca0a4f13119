//! One rule a file. A rule looks at the survey and gives its findings, `good` ones included.

use crate::survey::Survey;
use tidewright_rig::Finding;

/// A rule: its kebab-case name, which is also its page's, and its judgement.
pub struct Rule {
    /// Name of the finding and of its page.
    pub name: &'static str,
    /// The judgement.
    pub judge: fn(&Survey) -> Vec<Finding>,
}

macro_rules! rules {
    ($($module:ident),* $(,)?) => {
        $(mod $module;)*
        /// All rules, in the order of the water.
        pub const ALL: &[Rule] = &[$($module::RULE),*];
    };
}

/// Rules that look at the solution alone.
pub const SOLUTION: &[&str] = &[
    "water-report-gap",
    "target-not-met",
    "alkalinity-eats-acid",
    "phosphate-in-hard-water",
    "precipitation-likely",
    "wrong-tank",
    "concentrate-clogs",
    "below-the-scale",
    "iron-lost",
    "ammonium-share",
    "ec-out-of-range",
    "meter-scale",
    "ph-drifts",
    "salt-builds-up",
    "oxidiser-beside-fuel",
];

/// Rules on air, oxygen and heat.
pub const AIR: &[&str] = &[
    "air-pump-below-water",
    "no-air-through-stone",
    "oxygen-low",
    "oxygen-when-air-stops",
    "root-zone-temperature",
    "heat-falls-short",
    "warm-water",
    "air-on-battery",
];

/// Rules on light, room, stand, fit and power.
pub const FRAME: &[&str] = &[
    "light-for-crop",
    "uneven-light",
    "canopy-closes",
    "blocks-on-fittings",
    "crowded-tray",
    "stand-sags",
    "legs-give-way",
    "stand-tips",
    "floor-load",
    "hole-in-the-way",
    "hole-near-wall",
    "room-below-tray",
    "lid-room",
    "return-sags",
    "circuit-load",
    "timer-contacts",
    "cords-and-water",
    "air-on-battery",
];

rules![
    crest_never_reached,
    lift_near_max_head,
    operating_range,
    prime_lost,
    submergence,
    feed_high_point,
    over_the_rim_feed,
    check_valve,
    feed_velocity,
    feed_bend,
    feed_short,
    reservoir_above_outlet,
    branch_starves,
    held_too_short,
    blocks_hardly_wetted,
    tops_get_wet,
    rim_freeboard,
    drain_capacity,
    open_flow,
    gulping,
    return_backs_up,
    stuck_timer,
    drain_back_room,
    float_valve_opens,
    dry_first_flood,
    media_float,
    crowded_tray,
    not_drained_in_time,
    slow_drain,
    puddle,
    floods_collide,
    timer_step,
    after_power_cut,
    tilt,
    loose_media_guard,
    wet_metal,
    warm_water,
    block_height,
    lifts_to_the_top,
    flood_refills,
    blocks_run_dry,
    night_flood,
    timer_too_coarse,
    crop_outdrinks_reservoir,
    base_waterlogged,
    oxygen_while_flooded,
    top_stays_wet,
    air_pump_below_water,
    no_air_through_stone,
    oxygen_low,
    oxygen_when_air_stops,
    root_zone_temperature,
    heat_falls_short,
    light_for_crop,
    uneven_light,
    canopy_closes,
    blocks_on_fittings,
    stand_sags,
    legs_give_way,
    stand_tips,
    floor_load,
    hole_in_the_way,
    hole_near_wall,
    room_below_tray,
    lid_room,
    return_sags,
    circuit_load,
    timer_contacts,
    cords_and_water,
    air_on_battery,
    water_report_gap,
    target_not_met,
    alkalinity_eats_acid,
    phosphate_in_hard_water,
    precipitation_likely,
    wrong_tank,
    concentrate_clogs,
    below_the_scale,
    iron_lost,
    ammonium_share,
    ec_out_of_range,
    meter_scale,
    ph_drifts,
    salt_builds_up,
    oxidiser_beside_fuel,
    reading_contradicts,
    ledger_closes,
];
