//! Blocks as columns inside the flood: one water account for reservoir, trays, blocks, crop and air, and one of
//! oxygen in the block.

use std::sync::Arc;
use tidewright_physics::media::{Hydraulic, Retention};
use tidewright_physics::quantity::celsius;
use tidewright_rig::parts::Library;
use tidewright_rig::{Rig, read};
use tidewright_sim::block::{Around, Breath, Column, Layer, Oxygen, Roots, Settings};
use tidewright_sim::season::season;
use tidewright_sim::stack::{Branch, Manner};
use tidewright_sim::{Scenario, run};

fn kitchen() -> Rig {
    let text = include_str!("../../../examples/quayside-kitchen.toml");
    read(text, &Library::shipped()).rig.expect("the demo reads")
}

#[test]
fn law_one_account_for_bench_blocks_and_crop() {
    for branch in [Branch::Drying, Branch::Wetting] {
        let day = run(&kitchen(), &Scenario::crop_day(&kitchen(), Manner { branch, ..Manner::LIKELY }));
        assert!(day.blocks_lost.is_none() && !day.broke_off && day.periodic);
        assert!(day.ledger.error < 1e-9, "{:e}", day.ledger.error);
        let (start, end) = (&day.ledger.start, &day.ledger.end);
        let moved = day.blocks[0].moved;
        let gone = end.air_m3 - start.air_m3;
        assert!((gone - moved.drunk_m3 - moved.evaporated_m3).abs() < 1e-9, "{gone} {moved:?}");
        let held = end.media_m3[0] - start.media_m3[0];
        assert!((held - moved.net_m3() + gone).abs() < 1e-9, "{held} {moved:?}");
        assert!(moved.drunk_m3 > 1e-3 && moved.taken_m3 > moved.drunk_m3);
        // Fed, less what ran back and over, is what trays and blocks keep.
        let t = &day.totals[0];
        let kept = t.fed_m3 - t.back_m3 - t.over_riser_m3 - t.spilled_m3;
        let stayed = end.trays_m3[0] - start.trays_m3[0] + moved.net_m3();
        assert!((kept - stayed).abs() < 1e-9, "{kept} {stayed}");
    }
}

#[test]
fn a_flood_with_columns_is_near_the_quick_law() {
    let rig = kitchen();
    let (quick, full) = (run(&rig, &Scenario::one_flood(&rig)), run(&rig, &Scenario::one_flood(&rig).with_columns()));
    assert!(full.ledger.error < 1e-9);
    let (a, b) = (quick.flood(0).unwrap(), full.flood(0).unwrap());
    assert!((a.highest_m - b.highest_m).abs() < 0.002, "{} {}", a.highest_m, b.highest_m);
    assert!((a.crest_wet_s - b.crest_wet_s).abs() < 0.1 * a.crest_wet_s, "{} {}", a.crest_wet_s, b.crest_wet_s);
    assert!((a.drained_s - b.drained_s).abs() < 0.15 * a.drained_s, "{} {}", a.drained_s, b.drained_s);
}

#[test]
fn a_crop_day_by_day_closes_and_drinks_more_as_it_grows() {
    let days = season(30, Manner::LIKELY, |day| kitchen().on_day(day)).unwrap();
    let days = days[0].as_ref().unwrap();
    assert_eq!(days.len(), 30);
    assert!(days.iter().all(|d| d.ledger_error < 1e-9 && d.drunk_m3 >= 0.0 && d.supplied > 0.9));
    assert!(days.windows(2).all(|w| w[1].drunk_m3 >= w[0].drunk_m3 * 0.999));
    assert!(days[29].drunk_m3 > 5.0 * days[0].drunk_m3);
}

#[test]
fn law_oxygen_is_conserved_through_floods_and_roots() {
    let retention = Retention { theta_r: 0.03, theta_s: 0.95, alpha_per_m: 8.0, n: 4.0, second: None };
    let medium = Arc::new(Hydraulic { retention, ks_m_s: 5e-4, connection: 0.5 });
    let mut block = Column::resting(&[Layer::graded(medium, 0.1, 40, 1.05)]);
    let temperature = celsius(22.0);
    let mut oxygen = Oxygen::fresh(&block, temperature);
    let roots =
        Roots { demand_m_s: 5e-7, shares: vec![1.0 / 40.0; 40], stress_m: [2.0, 1.0, -0.5, -1.0], makes_up_from: 0.5 };
    let mut worst = 0.0f64;
    for (level, time) in [(None, 3600.0), (Some(0.06), 60.0), (Some(0.06), 900.0), (None, 60.0), (None, 7200.0)] {
        let around = match level {
            Some(l) => Around { roots: Some(roots.clone()), ..Around::flooded(l, true) },
            None => Around { roots: Some(roots.clone()), ..Around::drained() },
        };
        for sides in [None, Some(2000.0)] {
            let before = oxygen.total_g_m2(&block, temperature);
            block.advance(time, &around, &Settings::default()).unwrap();
            let breath = Breath {
                temperature,
                demand_g_m2_s: vec![2e-6; 40],
                level_m: level,
                sides_per_m2: sides,
                low: false,
                brought: 0.9,
            };
            let moved = oxygen.advance(&block, time, &breath);
            let after = oxygen.total_g_m2(&block, temperature);
            worst = worst.max((after - before - moved.total()).abs() / before);
            assert!(moved.used <= 0.0 && -moved.used <= moved.asked * (1.0 + 1e-9), "{moved:?}");
            assert!(oxygen.gas_g_m3().iter().all(|c| *c >= 0.0));
        }
    }
    assert!(worst < 1e-9, "{worst:e}");
}
