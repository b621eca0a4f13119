use super::field::{item, rows};
use super::raw::Raw;
use super::section::Section;
use crate::bench::{Aeration, AirPump, CleanWaterTest, Reservoir, Stone};
use crate::finding::{Finding, Severity};
use crate::value::{Birth, Spread, Value};
use tidewright_physics::aeration::Curve;
use tidewright_physics::oxygen::transfer;
use tidewright_physics::quantity::{
    Dissolved, Length, Pressure, Time, VolumeRate, celsius, l_h, litres, m, min, mm, pa, w,
};

/// Share of the printed flow that an air pump gives. Common practice: the print is the open flow of the best one.
const AS_SOLD: Spread = Spread::linear(0.6, 0.8, 1.0);

/// More ports no manifold has.
const MOST_STONES: usize = 32;

/// `[air]`; none where the file has no such section.
pub(crate) fn read(s: &Section<'_>, reservoir: Option<&Reservoir>) -> Option<Aeration> {
    if !s.present() {
        return None;
    }
    let usual_height = reservoir.map_or(m(0.6), |r| r.elevation.get() + r.shape.depth() + mm(200.0));
    let pump = AirPump {
        curve: read_curve(s),
        as_sold: s
            .quantity::<f64>("as_sold", "share of the printed air flow when new")
            .range(0.2, 1.2)
            .optional()
            .map_or(Value::assumed(AS_SOLD, "common practice: 60–100 % of the print"), |v| {
                Value::new(Spread::linear(0.97 * v.get(), v.get(), 1.03 * v.get()), v.birth)
            }),
        power: s
            .quantity("power", "power of the air pump")
            .range(w(0.2), w(1000.0))
            .or(w(4.0), "common practice for this size"),
        height: s
            .quantity("height", "height of the air pump above the floor of the room")
            .range(m(-1.0), m(6.0))
            .or(usual_height, "common practice: outside the water and above it"),
        high_point: s
            .quantity::<Length>("high_point", "highest point of the air line above the floor of the room")
            .range(m(-1.0), m(6.0))
            .optional(),
        check_valve: s.flag("check_valve", "check valve in the air line").or(false, "none named"),
        valve_opening: s
            .quantity("valve_opening", "pressure that opens the check valve")
            .range(pa(0.0), pa(20e3))
            .or(pa(1e3), "from memory: 0.5 to 3 kPa"),
    };
    let a_day = s
        .quantity("a_day", "how long a day it blows")
        .range(min(0.0), min(1440.0))
        .or(min(1440.0), "common practice: day and night");
    let mut sections = s.subs("stone");
    if sections.len() > MOST_STONES {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "Too many stones",
                format!("There are {} stones; a manifold has at most {MOST_STONES} ports.", sections.len()),
            )
            .mend("Write like stones once and count them together."),
        );
        sections.truncate(1);
    }
    let one = sections.is_empty();
    if one {
        sections.push(s.sub("stone"));
    }
    let stones =
        sections.iter().enumerate().map(|(i, x)| read_stone(x, if one { None } else { Some(i) }, reservoir)).collect();
    let test = read_test(s);
    s.finish();
    Some(Aeration { pump, stones, a_day, test })
}

fn read_stone(s: &Section<'_>, index: Option<usize>, reservoir: Option<&Reservoir>) -> Stone {
    let deep = reservoir.map_or(m(0.4), |r| r.shape.depth());
    let named = index.map_or_else(|| "stone".to_owned(), |i| format!("stone {}", i + 1));
    let pore = s.quantity::<Length>("pore", "pores of the stone").range(mm(0.002), mm(3.0)).optional();
    let opening = match pore {
        // 72.7 mN/m at 20 °C: the solution's temperature changes it by hundredths.
        Some(v) => Value::new(pa(4.0 * 0.0727 / v.get().value), Birth::Derived { from: "pore".into() }),
        None => s
            .quantity("opening", "pressure that opens the wet stone")
            .range(pa(0.0), pa(100e3))
            .or(pa(2.4e3), "medium stones, 2.4 kPa (abstract of a study on fine pore stones)"),
    };
    if !opening.is_assumed() {
        s.know("opening");
    }
    let stone = Stone {
        name: s.text("name", "name of the stone").unwrap_or(named),
        open: s.flag("open", "its port is open").or(true, "what is named is used"),
        height: s
            .quantity("height", "height of the stone above the reservoir floor")
            .range(mm(0.0), deep)
            .or(mm(20.0), "common practice: it lies on the floor"),
        opening,
        bubble: s
            .quantity("bubble", "diameter of its bubbles")
            .range(mm(0.2), mm(20.0))
            .or(mm(3.0), "common practice: small stones in clear water, 2 to 5 mm"),
        bore: s
            .quantity("bore", "true bore of its air line")
            .range(mm(1.0), mm(30.0))
            .or(mm(4.0), "common practice: 4 mm air line"),
        length: s
            .quantity("length", "length of its air line")
            .range(mm(10.0), m(30.0))
            .or(m(1.5), "common practice: pump beside the reservoir"),
    };
    s.finish();
    stone
}

fn read_curve(s: &Section<'_>) -> Value<Curve> {
    if let Some(found) = s.find("curve") {
        s.list_found("curve", "points of its curve", &found, "[[\"0 L/min\", \"14 kPa\"], [\"4 L/min\", \"0 kPa\"]]");
        let points: Vec<(VolumeRate, Pressure)> = rows(s, "curve", &found, "a list of points [flow, pressure]")
            .into_iter()
            .filter_map(|c| Some((item(s, "curve", &found, c.first())?, item(s, "curve", &found, c.get(1))?)))
            .collect();
        let sane = points.iter().all(|(q, p)| q.value >= 0.0 && q.value < 0.1 && p.value >= 0.0 && p.value < 2e5);
        match Curve::through(&points).filter(|_| sane) {
            Some(curve) => {
                s.know("open_flow");
                s.know("max_pressure");
                return Value::new(curve, found.birth);
            }
            None => s.context.report(
                Finding::new(
                    Severity::Stop,
                    "out-of-range",
                    "Not the curve of an air pump",
                    "A curve needs two points or more, flow rising and pressure falling.",
                )
                .at(s.place("curve", found.span))
                .mend("Write it as curve = [[\"0 L/min\", \"14 kPa\"], [\"4 L/min\", \"0 kPa\"]]."),
            ),
        }
    }
    let open_flow = s
        .quantity("open_flow", "open air flow, at no depth")
        .range(l_h(1.0), l_h(60_000.0))
        .or(l_h(240.0), "common practice: 4 L/min");
    let max_pressure = s
        .quantity("max_pressure", "pressure at no flow")
        .range(pa(500.0), pa(100e3))
        .or(pa(14e3), "from memory: small pumps 10 to 20 kPa");
    let curve = Curve::Line { max_pressure: max_pressure.get(), open_flow: open_flow.get() };
    Value::new(curve, if open_flow.is_assumed() { max_pressure.birth } else { open_flow.birth })
}

/// `clean_water_test = [["0 min", "0.4 mg/L"], …]` with the water it was made in.
fn read_test(s: &Section<'_>) -> Option<CleanWaterTest> {
    for key in ["test_volume", "test_temperature"] {
        s.know(key);
    }
    let found = s.find("clean_water_test")?;
    s.list_found(
        "clean_water_test",
        "oxygen after stripping: time, reading",
        &found,
        "[[\"0 min\", \"0.5 mg/L\"], [\"5 min\", \"3.1 mg/L\"], …]",
    );
    let readings: Vec<(f64, f64)> = rows(s, "clean_water_test", &found, "a list of readings [time, oxygen]")
        .into_iter()
        .filter_map(|c: &[Raw]| {
            let t: Time = item(s, "clean_water_test", &found, c.first())?;
            let c: Dissolved = item(s, "clean_water_test", &found, c.get(1))?;
            Some((t.value / 3600.0, 1e3 * c.value))
        })
        .collect();
    let line = s.place("clean_water_test", found.span.clone()).line;
    let Some(fitted) = transfer::fit(&readings) else {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "The clean-water test does not tell",
                format!("{} readings do not show oxygen rising towards an end: four or more are needed, the last past half of the way.", readings.len()),
            )
            .at(s.place("clean_water_test", found.span))
            .mend("Strip the water to under 1 mg/L, start the air, and read every few minutes until it hardly rises."),
        );
        return None;
    };
    Some(CleanWaterTest {
        fitted,
        volume: s
            .quantity("test_volume", "water in the clean-water test")
            .range(litres(0.5), litres(20_000.0))
            .required(litres(60.0)),
        temperature: s
            .quantity("test_temperature", "water temperature in that test")
            .range(celsius(0.5), celsius(40.0))
            .or(celsius(20.0), "nobody said: 20 °C"),
        line,
    })
}
