use super::section::Section;
use super::vessel;
use crate::bench::{Reservoir, Supply, TopUp};
use crate::finding::{Finding, Severity};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{self as q, Length, Volume, litres, m, mm};

pub(crate) fn read(s: &Section<'_>) -> Option<Reservoir> {
    let shape = vessel::read(s, Some((m(0.74), m(0.49), m(0.42))))?;
    let full = shape.full();
    let depth = shape.depth();
    let spill_height = s
        .quantity("lowest_hole", "height of the lowest hole above the floor")
        .range(mm(5.0), depth)
        .or(depth, "no hole below the rim");
    let by_volume =
        s.quantity::<Volume>("fill", "water in it at rest").range(litres(0.05), litres(20_000.0)).optional();
    let by_depth = s.quantity::<Length>("fill_depth", "depth of the water at rest").range(mm(5.0), m(3.0)).optional();
    if let (Some(_), Some(_)) = (&by_volume, &by_depth) {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "conflicting-values",
                "Said twice",
                "\"fill\" and \"fill_depth\" both say how full the reservoir is.",
            )
            .at(s.place("fill_depth", None))
            .mend("Keep one of them."),
        );
    }
    let fill = match (by_volume, by_depth) {
        (Some(v), _) => v,
        (None, Some(d)) => Value::new(shape.volume(d.get()), Birth::Derived { from: "fill_depth".into() }),
        (None, None) => {
            // Four fifths of what stands below the lowest hole leaves room for a hand and a splash.
            let usual = 0.8 * shape.volume(spill_height.get());
            s.quantity("fill", "water in it at rest")
                .or(usual, "common practice: four fifths of the volume below the lowest hole")
        }
    };
    if fill.get() > full {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "More water than the reservoir holds",
                format!(
                    "\"fill\" is {:.1} L; to its rim the reservoir holds {:.1} L.",
                    fill.get().value * 1e3,
                    full.value * 1e3
                ),
            )
            .at(s.place("fill", s.find("fill").and_then(|f| f.span)))
            .mend("Lower the fill, or check the sizes of the reservoir."),
        );
    }
    let lid = s.flag("lid", "lid").or(true, "common practice: a lidded tote");
    let elevation = s
        .quantity("elevation", "height of its floor above the floor of the room")
        .range(m(-3.0), m(5.0))
        .or(m(0.0), "stands on the floor of the room");
    let top_up = read_top_up(s, spill_height.get());
    s.finish();
    Some(Reservoir { shape, fill, spill_height, lid, elevation, top_up })
}

fn read_top_up(s: &Section<'_>, spill: Length) -> TopUp {
    let floats = s
        .choice("top_up", "how water is put back", &[("by hand", false), ("float valve", true)])
        .or(false, "common practice: a can");
    for key in ["float_height", "top_up_flow", "top_up_tank"] {
        s.know(key);
    }
    if !floats.get() {
        return TopUp::ByHand;
    }
    TopUp::FloatValve {
        height: s
            .quantity("float_height", "water level at which the float valve shuts")
            .range(mm(5.0), spill)
            .or(0.7 * spill, "seven tenths of the height of the lowest hole"),
        flow: s
            .quantity("top_up_flow", "flow of the open float valve")
            .range(q::l_h(1.0), q::l_h(3000.0))
            .or(q::l_h(240.0), "common practice: 2–6 L/min, 4 taken"),
        supply: s
            .quantity::<Volume>("top_up_tank", "tank behind the float valve")
            .range(litres(0.1), litres(20_000.0))
            .optional()
            .map_or(Supply::Mains, Supply::Tank),
    }
}
