//! A day of heat and oxygen on the demo bench: accounts, order, laws.

use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::climate::{ClimateDay, End, day};
use tidewright_sim::stack::Manner;
use tidewright_sim::{Scenario, run};

/// The demo bench without its air pump, and with `more`.
fn demo(more: &str) -> Rig {
    let text = include_str!("../../../examples/quayside-kitchen.toml");
    let (before, air) = text.split_once("[air]\n").expect("the demo has an air pump");
    let (_, after) = air.split_once("[stand]\n").expect("its stand comes after");
    let text = format!("{before}[stand]\n{after}");
    let reading = read(&format!("{text}\n{more}"), &Library::shipped());
    reading.rig.unwrap_or_else(|| panic!("{:?}", reading.findings))
}

fn climate(rig: &Rig, end: End) -> ClimateDay {
    day(rig, &run(rig, &Scenario::crop_day(rig, Manner::LIKELY)), end, 0.9).expect("a course was kept")
}

#[test]
fn accounts_of_heat_and_oxygen_close() {
    for more in ["", "[air]\n", "[air]\n[heat]\nhold = \"22 degC\"\nheater = \"50 W\"\n"] {
        let rig = demo(more);
        for end in [End::LIKELY, End::LOW, End::HIGH] {
            let d = climate(&rig, end);
            assert!(d.periodic, "{more}");
            assert!(d.heat.error < 1e-9 && d.oxygen.error < 1e-9, "{more}: {:?} {:?}", d.heat, d.oxygen);
        }
    }
}

#[test]
fn more_air_never_lowers_oxygen() {
    let mut last = 0.0;
    for flow in ["0.2 L/min", "1 L/min", "4 L/min", "12 L/min", "40 L/min"] {
        let rig = demo(&format!("[air]\nopen_flow = \"{flow}\"\n"));
        let least = climate(&rig, End::LIKELY).oxygen_span().0;
        assert!(least >= last - 1e-6, "{flow}: {least} after {last}");
        last = least;
    }
    assert!(last > climate(&demo(""), End::LIKELY).oxygen_span().0);
}

#[test]
fn the_water_stays_between_what_surrounds_it_and_a_heater_holds_it() {
    let bare = climate(&demo(""), End::LIKELY);
    let (cold, warm) = bare.temperature_span();
    assert!(cold > 273.15 + 14.0 && warm < 273.15 + 28.0, "{cold} {warm}");
    let held = climate(&demo("[heat]\nhold = \"24 degC\"\nheater = \"200 W\"\n"), End::LIKELY);
    assert!((held.mean_k() - 297.15).abs() < 0.3, "{}", held.mean_k());
    assert!(held.held_j[0] > 0.0);
}
