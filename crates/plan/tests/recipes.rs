//! Laws of the recipe's search, on every shipped recipe and water: no small move of one salt comes closer, ammonium keeps its
//! share, and whoever goes for price pays no more and misses nothing by more than is allowed.

use tidewright_physics::quantity::celsius;
use tidewright_plan::solution::acid::source;
use tidewright_plan::solution::recipe::{Wanted, finish, solve};
use tidewright_plan::solution::system;
use tidewright_rig::parts::Library;
use tidewright_rig::solution::Salt;

fn on_all(go: impl Fn(&str, &Wanted<'_>)) {
    let library = Library::shipped();
    let shelf: Vec<Salt> = library.salts().iter().filter(|s| s.usual || s.id == "nitric-acid").cloned().collect();
    for water in library.waters() {
        let totals = source(water, celsius(20.0)).expect("a shipped water").totals;
        for recipe in library.recipes() {
            let wanted = Wanted {
                recipe,
                strength: 1.0,
                water: &totals,
                shelf: &shelf,
                ph: None,
                ammonium: 0.15,
                cheaper: 0.0,
                temperature: celsius(20.0),
            };
            go(&format!("{} in {}", recipe.id, water.id), &wanted);
        }
    }
}

#[test]
fn law_no_small_move_of_one_salt_comes_closer() {
    // Slivers of a hundredth of a target are left out on purpose.
    const SLIVER: f64 = 0.01;
    on_all(|name, wanted| {
        let solved = solve(wanted).expect("a solution");
        let mut x = vec![0.0; wanted.shelf.len()];
        for &(j, amount) in &solved.salts {
            x[j] = amount;
        }
        for &(j, amount) in &solved.salts {
            // A bound of its own: ammonium at its share, or another target half above what it should be.
            if wanted.shelf[j].gives("NH4") > 0.0 {
                continue;
            }
            for factor in [0.98, 1.02] {
                let mut moved = x.clone();
                moved[j] = amount * factor;
                let then = finish(wanted, moved).expect("a look");
                let bound = then.targets.iter().any(|t| t.miss > 0.49);
                assert!(
                    bound || then.miss >= solved.miss - SLIVER * 0.05,
                    "{name}: {} × {factor}: {} after {}",
                    wanted.shelf[j].id,
                    then.miss,
                    solved.miss
                );
            }
        }
    });
}

#[test]
fn law_ammonium_keeps_its_share() {
    let of = |totals: &[f64], c: &str| totals[system().component(c).expect("a component")];
    on_all(|name, wanted| {
        let t = solve(wanted).expect("a solution").totals;
        let share = of(&t, "NH4") / (of(&t, "NH4") + of(&t, "NO3"));
        assert!(share <= 0.15 + 1e-6, "{name}: {share}");
    });
}

#[test]
fn law_going_for_price_never_costs_more() {
    on_all(|name, wanted| {
        let close = solve(wanted).expect("a solution");
        let mut last = f64::INFINITY;
        for cheaper in [0.0, 0.5, 1.0] {
            let solved = solve(&Wanted { cheaper, ..wanted.clone() }).expect("a solution");
            let price = solved.price_m3.expect("priced");
            assert!(price <= last * 1.005, "{name}: {price} after {last} at {cheaper}");
            last = price;
            for (a, b) in solved.targets.iter().zip(&close.targets) {
                let allowed = b.miss.abs().max(0.05) + 0.02;
                assert!(a.miss.abs() <= allowed, "{name}: {} {} where {} is near", a.target.name, a.miss, b.miss);
            }
        }
    });
}
