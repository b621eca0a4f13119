//! Random solutions for `evidence/twin/random_solutions.py`: what was asked of each and what our own solver answered, to
//! standard output; how long a solve took, to standard error and beside the cases.
//!
//! `random_solutions [COUNT]`: 300 solutions unless said otherwise. `random_solutions storm [COUNT]` looks only for
//! questions without an answer, 20 000 like those and as many with anything from 1e-9 to 2 mol/kg in them: the first few
//! that fail, and how many, to standard output.

use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::hint::black_box;
use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::Instant;
use tidewright_evidence::random::Lot;
use tidewright_physics::chemistry::conductivity::Conductivity;
use tidewright_physics::chemistry::{Ask, Carbon, Hydrogen, Model, Solver, System, Unsolved, alkalinity};
use tidewright_physics::quantity::celsius;
use tidewright_rig::chemistry::shipped;

/// Macronutrients and what comes with them: component, how often it is there, least and most \[mol/kg\].
const MACRO: [(&str, f64, f64, f64); 9] = [
    ("Ca", 0.9, 1e-4, 2e-2),
    ("Mg", 0.9, 1e-4, 2e-2),
    ("K", 0.9, 1e-4, 2e-2),
    ("Na", 0.6, 1e-4, 2e-2),
    ("NH4", 0.6, 1e-4, 2e-2),
    ("NO3", 0.9, 1e-4, 2e-2),
    ("SO4", 0.8, 1e-4, 2e-2),
    ("Cl", 0.6, 1e-4, 2e-2),
    ("PO4", 0.8, 5e-5, 3e-3),
];
/// The same of micronutrients.
const MICRO: [(&str, f64, f64, f64); 6] = [
    ("Fe", 0.9, 5e-6, 1e-4),
    ("Mn", 0.9, 1e-6, 5e-5),
    ("Zn", 0.9, 5e-7, 2e-5),
    ("Cu", 0.9, 1e-7, 5e-6),
    ("B", 0.9, 5e-6, 1e-4),
    ("MoO4", 0.9, 1e-7, 2e-6),
];
const CHELATES: [&str; 3] = ["EDTA", "DTPA", "EDDHA"];
const SOLIDS: [&str; 7] =
    ["gypsum", "calcite", "brushite", "struvite", "newberyite", "iron hydroxide", "octacalcium phosphate"];
/// Species below this are not told \[mol/kg\].
const LEAST: f64 = 1e-9;
/// What a solution may have at most of ionic strength \[mol/kg\].
const STRONGEST: f64 = 0.1;
/// Solves of each solution that are timed.
const REPEATS: usize = 40;

fn place(system: &System, name: &str) -> usize {
    system.component(name).unwrap_or(System::H)
}

/// A solution and what is known of it.
struct Case {
    seed: u64,
    celsius: f64,
    model: Model,
    /// Has micronutrients and chelates.
    full: bool,
    totals: Vec<f64>,
    hydrogen: Hydrogen,
    carbon: Carbon,
}

impl Case {
    /// Where the lot gives too strong a solution, or one that our solver finds no protons for, there is none.
    fn draw(system: &System, seed: u64) -> Result<Option<Self>, (Self, Unsolved)> {
        let mut lot = Lot::of(seed);
        let celsius = lot.span(5.0, 35.0);
        let model = if lot.chance(0.5) { Model::Davies } else { Model::TruesdellJones };
        let full = lot.chance(0.5);
        let mut totals = vec![0.0; system.components.len()];
        let mut iron = 0.0;
        for (i, (name, share, least, most)) in MACRO.into_iter().chain(MICRO).enumerate() {
            let (there, amount) = (lot.chance(share), lot.log(least, most));
            if there && (full || i < MACRO.len()) {
                totals[place(system, name)] = amount;
            }
            if name == "Fe" {
                iron = amount;
            }
        }
        for name in CHELATES {
            let (there, amount) = (lot.chance(0.5), iron * lot.span(0.5, 1.5));
            if there && full {
                totals[place(system, name)] = amount;
            }
        }
        let which = lot.unit();
        let (amount, pressure) = (lot.log(1e-5, 5e-3), lot.log(1e-4, 1e-2));
        let carbon = if which < 2.0 / 3.0 { Carbon::Closed } else { Carbon::Open(pressure) };
        if (1.0 / 3.0..2.0 / 3.0).contains(&which) {
            totals[place(system, "CO2")] = amount;
        }
        let ph = lot.span(3.5, 9.0);
        let given = lot.chance(1.0 / 3.0);
        let mut case = Self { seed, celsius, model, full, totals, hydrogen: Hydrogen::Ph(ph), carbon };
        if let Err(unsolved) = case.balance(system, ph) {
            return Err((case, unsolved));
        }
        if !given {
            case.hydrogen = Hydrogen::Total;
        }
        // Where there is no answer to ask it of, the case is kept: it is a finding.
        let strong = case.solver(system).solve(&case.ask()).is_ok_and(|a| a.ionic_strength() > STRONGEST);
        Ok((!strong).then_some(case))
    }

    /// Adds chloride or sodium so that the charges cancel near a pH, and sets the protons so that they do exactly.
    fn balance(&mut self, system: &System, ph: f64) -> Result<(), Unsolved> {
        let (na, cl) = (place(system, "Na"), place(system, "Cl"));
        let mut solver = Solver::new(system, celsius(self.celsius), self.model, |_| true);
        for _ in 0..3 {
            self.totals[System::H] = 0.0;
            self.totals[System::H] = alkalinity::protons_to(&mut solver, &self.totals, ph, self.carbon)?;
            let over = system.charge_of(&self.totals);
            let more = if over > 0.0 { cl } else { na };
            self.totals[more] += over.abs();
        }
        self.totals[System::H] -= system.charge_of(&self.totals);
        Ok(())
    }

    fn solver(&self, system: &System) -> Solver {
        let carbonic = place(system, "CO2");
        let open = matches!(self.carbon, Carbon::Open(_));
        Solver::new(system, celsius(self.celsius), self.model, |c| self.totals[c] > 0.0 || open && c == carbonic)
    }

    fn ask(&self) -> Ask<'_> {
        Ask { totals: &self.totals, hydrogen: self.hydrogen, carbon: self.carbon }
    }

    /// What was asked, as another program reads it.
    fn asked(&self, system: &System) -> Value {
        let totals: Map<String, Value> = system
            .components
            .iter()
            .zip(&self.totals)
            .skip(1)
            .filter(|(_, t)| **t > 0.0)
            .map(|(c, t)| (c.name.clone(), json!(t)))
            .collect();
        json!({
            "seed": self.seed,
            "celsius": self.celsius,
            "model": match self.model {
                Model::Davies => "davies",
                Model::TruesdellJones => "truesdell-jones",
            },
            "full": self.full,
            "totals": totals,
            "protons": match self.hydrogen {
                Hydrogen::Total => json!({ "excess": self.totals[System::H] }),
                Hydrogen::Ph(ph) => json!({ "ph": ph }),
            },
            "carbon_dioxide_atm": match self.carbon {
                Carbon::Closed => Value::Null,
                Carbon::Open(pressure) => json!(pressure),
            },
        })
    }

    /// What was asked and what we found.
    fn told(&self, system: &System) -> Value {
        let mut told = self.asked(system);
        let mut solver = self.solver(system);
        told["ours"] = match solver.solve(&self.ask()) {
            Err(unsolved) => json!({ "unsolved": unsolved.to_string() }),
            Ok(answer) => {
                let saturation: Map<String, Value> = SOLIDS
                    .iter()
                    .filter_map(|s| Some(((*s).to_owned(), json!(answer.saturation(system.solid(s)?)?))))
                    .collect();
                let molality: Map<String, Value> = answer
                    .molalities()
                    .filter(|(_, m)| *m >= LEAST)
                    .map(|(s, m)| (system.species[s].name.clone(), json!(m)))
                    .collect();
                json!({
                    "ph": answer.ph(),
                    "ionic_strength": answer.ionic_strength(),
                    "saturation": saturation,
                    "molality": molality,
                    "water_activity": answer.water_activity(),
                    "ec_s_m": Conductivity::new(system, celsius(self.celsius)).of(&answer),
                })
            }
        };
        told
    }

    /// Seconds of one solve from nothing known, and of one that also makes its solver.
    fn timed(&self, system: &System) -> [f64; 2] {
        let mut solver = self.solver(system);
        let began = Instant::now();
        for _ in 0..REPEATS {
            black_box(solver.solve(black_box(&self.ask())).is_ok());
        }
        let warm = began.elapsed().as_secs_f64();
        let began = Instant::now();
        for _ in 0..REPEATS {
            black_box(self.solver(system).solve(black_box(&self.ask())).is_ok());
        }
        [warm, began.elapsed().as_secs_f64()].map(|s| s / REPEATS as f64)
    }

    /// Anything at all: each component there or not, from 1e-9 to 2 mol/kg, protons in the same range or a pH.
    fn storm(system: &System, seed: u64) -> Self {
        let mut lot = Lot::of(!seed);
        let celsius = lot.span(1.0, 49.0);
        let model = if lot.chance(0.5) { Model::Davies } else { Model::TruesdellJones };
        let share = lot.span(0.2, 1.0);
        let mut totals: Vec<f64> = system
            .components
            .iter()
            .map(|_| {
                let (there, amount) = (lot.chance(share), lot.log(1e-9, 2.0));
                if there { amount } else { 0.0 }
            })
            .collect();
        let carbon = if lot.chance(0.5) { Carbon::Closed } else { Carbon::Open(lot.log(1e-5, 1.0)) };
        if carbon != Carbon::Closed {
            totals[place(system, "CO2")] = 0.0;
        }
        let hydrogen = if lot.chance(1.0 / 3.0) { Hydrogen::Ph(lot.span(2.0, 12.0)) } else { Hydrogen::Total };
        let mut case = Self { seed, celsius, model, full: true, totals, hydrogen, carbon };
        case.totals[System::H] = 0.0;
        if lot.chance(0.5) {
            // Neutral, as all that is mixed of salts is.
            let over = system.charge_of(&case.totals);
            case.totals[System::H] = -over;
        } else {
            case.totals[System::H] = lot.log(1e-9, 2.0) * if lot.chance(0.5) { 1.0 } else { -1.0 };
        }
        case
    }
}

/// How a solve ended: what is wrong, none where all is well, and how long it took \[s\].
fn ended(system: &System, case: &Case) -> (Option<String>, f64) {
    let began = Instant::now();
    let run = || match case.solver(system).solve(&case.ask()) {
        Err(unsolved) => Some(unsolved.to_string()),
        Ok(a) if a.molalities().all(|(_, m)| m.is_finite()) && (a.ph() + a.ionic_strength()).is_finite() => None,
        Ok(_) => Some("an answer that is no number".to_owned()),
    };
    let fault = catch_unwind(AssertUnwindSafe(run)).unwrap_or_else(|_| Some("it panics".to_owned()));
    (fault, began.elapsed().as_secs_f64())
}

/// Questions without an answer among ordinary solutions and among harsh ones.
fn storm(system: &System, count: u64) -> std::io::Result<()> {
    const SHOWN: usize = 10;
    // A panic is counted; it need not be told at length.
    std::panic::set_hook(Box::new(|_| {}));
    let mut told = Map::new();
    for (name, harsh) in [("ordinary", false), ("harsh", true)] {
        let (mut asked, mut slowest) = (0u64, 0.0_f64);
        let mut faults: BTreeMap<String, (u64, Vec<Value>)> = BTreeMap::new();
        for seed in 0..count {
            let drawn = if harsh { Ok(Some(Case::storm(system, seed))) } else { Case::draw(system, seed) };
            let (case, fault) = match drawn {
                Ok(None) => continue,
                Ok(Some(case)) => {
                    let (fault, seconds) = ended(system, &case);
                    slowest = slowest.max(seconds);
                    (case, fault)
                }
                Err((case, unsolved)) => (case, Some(format!("no protons found: {unsolved}"))),
            };
            asked += 1;
            if let Some(fault) = fault {
                let (many, first) = faults.entry(fault).or_default();
                *many += 1;
                if first.len() < SHOWN {
                    first.push(case.asked(system));
                }
            }
        }
        writeln!(std::io::stderr(), "{name}: {asked} solutions, slowest {:.0} µs", 1e6 * slowest)?;
        for (fault, (many, _)) in &faults {
            writeln!(std::io::stderr(), "{name}: {many} times {fault}")?;
        }
        told.insert(name.to_owned(), json!({ "asked": asked, "faults": faults }));
    }
    writeln!(std::io::stdout(), "{}", Value::Object(told))
}

fn main() -> std::io::Result<()> {
    let system = shipped();
    let mut words: Vec<String> = std::env::args().skip(1).collect();
    let stormy = words.first().is_some_and(|w| w == "storm");
    if stormy {
        words.remove(0);
    }
    let count: Option<u64> = words.first().and_then(|n| n.parse().ok());
    if stormy {
        return storm(system, count.unwrap_or(20_000));
    }
    let count = count.unwrap_or(300) as usize;
    let (mut cases, mut spent, mut many, mut seed) = (Vec::new(), [[0.0; 2]; 2], [0.0_f64; 2], 0);
    while cases.len() < count {
        let drawn = Case::draw(system, seed);
        seed += 1;
        match drawn {
            Ok(None) => {}
            Ok(Some(case)) => {
                let kind = usize::from(case.full);
                for (sum, s) in spent[kind].iter_mut().zip(case.timed(system)) {
                    *sum += s;
                }
                many[kind] += 1.0;
                cases.push(case.told(system));
            }
            Err((case, unsolved)) => {
                writeln!(std::io::stderr(), "no protons found for {}: {unsolved}", case.asked(system))?;
            }
        }
    }
    let mut times = Map::new();
    for (kind, name) in ["macro", "full"].into_iter().enumerate() {
        let [solve, all] = spent[kind].map(|s| 1e6 * s / many[kind].max(1.0));
        writeln!(
            std::io::stderr(),
            "{name}: {solve:.1} µs a solve, {all:.1} µs with its solver made, mean of {} solutions",
            many[kind]
        )?;
        times.insert(name.to_owned(), json!({ "solve_us": solve, "with_solver_us": all }));
    }
    writeln!(std::io::stdout(), "{}", json!({ "microseconds": times, "cases": cases }))
}
