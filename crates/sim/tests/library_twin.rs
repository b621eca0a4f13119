//! The fill and overflow of the reference bench by a solver from the registry (8th order, its own
//! step control) instead of ours.

use differential_equations::prelude::*;
use tidewright_physics::geometry::Shape;
use tidewright_physics::hydraulics::line::Line;
use tidewright_physics::hydraulics::riser::{orifice, weir};
use tidewright_physics::numerics::root;
use tidewright_physics::quantity::{litres, m, m3, mm};
use tidewright_physics::water;
use tidewright_rig::parts::Library;
use tidewright_rig::read;
use tidewright_sim::scenario::{Keep, Options};
use tidewright_sim::{Knobs, Scenario, run};

struct Flood {
    tray: Shape,
    reservoir: Shape,
    hose: Line,
}

impl Flood {
    fn depth(&self, tray_m3: f64) -> f64 {
        self.tray.depth_of(m3(tray_m3)).value
    }
}

impl ODE for Flood {
    fn diff(&self, _t: f64, y: &f64, dy: &mut f64) {
        let depth = self.depth(*y);
        let level = self.reservoir.depth_of(litres(70.0) - m3(*y)).value;
        let lift = 0.75 + depth - level;
        let balance = |q: f64| 1.8 * (1.0 - (q * 3.6e6 / 833.0).powi(2)) - lift - self.hose.si().head_and_slope(q).0;
        let pumped = root::bracketed(0.0, 833.0 / 3.6e6, 1e-14, balance).unwrap_or(0.0);
        let head = m(depth) - mm(80.0);
        let over = weir(0.41, mm(25.0), head).value.min(orifice(0.60, mm(25.0), head).value);
        *dy = pumped - over;
    }
}

#[test]
fn twin_fill_and_overflow_by_a_library_solver() {
    let rect = |l0, w0, l1, w1, d| Shape::TaperedRectangle { floor: (m(l0), m(w0)), rim: (m(l1), m(w1)), depth: m(d) };
    let flood = Flood {
        tray: rect(0.76, 0.46, 0.86, 0.55, 0.20),
        reservoir: rect(0.60, 0.36, 0.70, 0.45, 0.40),
        hose: Line {
            bore: mm(13.0),
            length: m(2.0),
            roughness: mm(0.0),
            loss: 6.0,
            viscosity_m2_s: water::kinematic_viscosity_m2_s(tidewright_physics::quantity::celsius(20.0)),
        },
    };
    let file = r#"
        [reservoir]
        part = "tote-100l"
        fill = "70 L"
        [pump]
        max_head = "1.8 m"
        open_flow = "833 L/h"
        [feed]
        bore = "13 mm"
        length = "2 m"
        roughness = "0 mm"
        loss = 6
        [tray]
        part = "tub-86x55"
        elevation = "0.75 m"
        [drain]
        riser_bore = "25 mm"
        crest = "80 mm"
        strainer = false
    "#;
    let rig = read(file, &Library::shipped()).rig.expect("sound");
    let options =
        Options { rtol: 1e-9, hose_holdup: false, lip_control: false, keep: Keep::Course, ..Options::default() };
    let ours = run(&rig, &Scenario { knobs: Knobs::textbook(&rig, 20.0), options, ..Scenario::one_flood(&rig) });
    for t in [60.0, 150.0, 240.0, 330.0] {
        let solver = ExplicitRungeKutta::dop853().rtol(1e-10).atol(1e-13);
        let theirs = IVP::ode(&flood, 0.0, t, 0.0).method(solver).solve().expect("solved");
        let depth = flood.depth(*theirs.y.last().expect("a point"));
        let near = ours.course.iter().min_by(|a, b| (a.t_s - t).abs().total_cmp(&(b.t_s - t).abs())).expect("a moment");
        // Carried from the nearest moment of our course by the slope there.
        let next = ours.course.iter().find(|m| m.t_s > near.t_s + 1e-6).expect("a moment");
        let slope = (next.trays[0].depth_m - near.trays[0].depth_m) / (next.t_s - near.t_s);
        let mine = near.trays[0].depth_m + slope * (t - near.t_s);
        assert!((mine - depth).abs() < 5e-5, "{t}: {mine} {depth}");
    }
}
