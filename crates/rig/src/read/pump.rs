use super::feed::{self, Usual};
use super::field::{item, rows};
use super::section::Section;
use crate::bench::{Bucket, Bypass, Pump};
use crate::finding::{Finding, Severity};
use crate::value::{Birth, Spread, Value};
use tidewright_physics::hydraulics::pump::Curve;
use tidewright_physics::quantity::{self as q, Frequency, Length, Time, Volume, VolumeRate, l_h, m, mm};

/// Share of the printed flow that a new pump gives. Small pumps give 65–100 % of the print.
const AS_SOLD: Spread = Spread::linear(0.75, 0.92, 1.0);
/// Loss of the stopped pump on the hose bore: nobody publishes it.
const REVERSE_LOSS: Spread = Spread::log(4.0, 20.0, 100.0);

pub(crate) fn read_all(top: &Section<'_>, mains: &Value<Frequency>) -> Vec<Pump> {
    let common_feed = top.tables_of("feed");
    let mut sections = top.subs("pump");
    if sections.is_empty() {
        sections.push(top.sub("pump"));
    }
    let many = sections.len() > 1;
    let mut pumps: Vec<Pump> = Vec::new();
    for (i, s) in sections.iter().enumerate() {
        let name = s.text("name", "name of the pump");
        if let Some(name) = &name
            && pumps.iter().any(|p| p.name == *name)
        {
            s.context.report(
                Finding::new(
                    Severity::Stop,
                    "conflicting-values",
                    "Two pumps of one name",
                    format!("There are two pumps named \"{name}\"."),
                )
                .at(s.place("name", s.find("name").and_then(|f| f.span)))
                .mend("Give each its own name; trays call their pump by it."),
            );
        }
        let name = name.unwrap_or_else(|| if many { format!("pump {}", i + 1) } else { "pump".into() });
        // A single pump's hose may stand in [feed] beside it.
        let feed_section = if many || s.has("feed") { s.sub_or("feed", &common_feed) } else { top.sub("feed") };
        pumps.push(read_one(s, name, &feed_section, mains));
        s.finish();
    }
    top.know("feed");
    pumps
}

fn read_one(s: &Section<'_>, name: String, feed_section: &Section<'_>, mains: &Value<Frequency>) -> Pump {
    let curve = read_curve(s);
    let feed = feed::read(feed_section, &Usual::FROM_PUMP);
    let inlet_height = s
        .quantity("inlet_height", "height of the inlet above the reservoir floor")
        .range(mm(0.0), m(1.0))
        .or(mm(20.0), "common practice: feet and cage of a small pump");
    let ratio = |lo: f64, hi: f64| (lo, hi);
    let sold = ratio(0.2, 1.2);
    let as_sold = s.quantity::<f64>("as_sold", "share of the printed flow when new").range(sold.0, sold.1).optional();
    let as_sold = match as_sold {
        Some(v) => Value::new(Spread::linear(0.97 * v.get(), v.get(), 1.03 * v.get()), v.birth),
        // What was measured on the spot carries its derating in itself.
        None if matches!(curve.birth, Birth::Measured { .. }) => {
            Value::new(Spread::linear(0.97, 1.0, 1.03), curve.birth.clone())
        }
        None => Value::assumed(AS_SOLD, "common practice: small pumps give 65–100 % of the print"),
    };
    let reverse = s
        .quantity::<f64>("reverse_loss", "loss coefficient backwards through the stopped pump")
        .range(0.0, 1e5)
        .optional();
    let reverse_loss = match reverse {
        Some(v) => Value::new(Spread::linear(0.85 * v.get(), v.get(), 1.15 * v.get()), v.birth),
        None => Value::assumed(
            REVERSE_LOSS,
            "no published value for small pumps; a band around four-quadrant data, from memory",
        ),
    };
    Pump {
        as_sold,
        reverse_loss,
        worn: s
            .quantity("worn", "share of the printed flow when worn or clogged")
            .range(0.1, 1.0)
            .or(0.75, "common practice: an intake sponge costs 10–30 % in weeks"),
        power: s
            .quantity("power", "power")
            .range(q::w(0.5), q::w(2000.0))
            .or(q::w(25.0), "common practice for this size"),
        prime_depth: s
            .quantity("prime_depth", "water depth at which it draws air")
            .range(inlet_height.get(), m(1.1))
            .or(inlet_height.get() + mm(20.0), "common practice: about 20 mm over the inlet"),
        inlet_height,
        rated_frequency: s
            .quantity("rated_frequency", "mains frequency its print is for")
            .range(q::hz(40.0), q::hz(70.0))
            .or(mains.get(), "taken as the frequency here"),
        check_valve: s
            .flag("check_valve", "check valve")
            .or(false, "common practice: none, the tray drains through the pump"),
        throttle: read_throttle(s),
        bypass: read_bypass(s),
        buckets: listed_buckets(s),
        name,
        curve,
        feed,
    }
}

fn read_curve(s: &Section<'_>) -> Value<Curve> {
    let max_head = s.quantity::<Length>("max_head", "greatest head, at no flow").range(mm(50.0), m(60.0)).optional();
    let open_flow =
        s.quantity::<VolumeRate>("open_flow", "open flow, at no lift").range(l_h(5.0), l_h(100_000.0)).optional();
    if let Some(found) = s.find("curve")
        && let Some(curve) = drawn_curve(s, &found)
    {
        return Value::new(curve, found.birth);
    }
    let buckets = read_buckets(s);
    let fit = fitted(&buckets, max_head.as_ref().map(Value::get));
    if let (None, Some(found)) = (&fit, s.find("bucket_tests"))
        && !buckets.is_empty()
    {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "conflicting-values",
                "These tests give no curve",
                "The bucket tests give no pump curve: one test needs \"max_head\" beside it, several need different lifts, all below it.",
            )
            .at(s.place("bucket_tests", found.span))
            .mend("Add the greatest head from the box, or a test at another height."),
        );
    }
    if let Some(curve) = fit {
        let head = if max_head.is_some() { " and the greatest head given" } else { "" };
        return Value::new(curve, Birth::Measured { reading: format!("{} bucket tests{head}", buckets.len()) });
    }
    let shape = 2.0;
    match (max_head, open_flow) {
        (Some(h), Some(f)) => Value::new(Curve::Power { max_head: h.get(), open_flow: f.get(), shape }, f.birth),
        (Some(h), None) => Value::assumed(
            Curve::Power { max_head: h.get(), open_flow: l_h(460.0 * h.get().value), shape },
            "common practice: about 460 L/h of open flow for each metre of head",
        ),
        (None, Some(f)) => {
            let head = m((f.get().value * q::LITRES_PER_HOUR / 460.0).clamp(0.4, 6.0));
            Value::assumed(
                Curve::Power { max_head: head, open_flow: f.get(), shape },
                "common practice: about 1 m of head for each 460 L/h",
            )
        }
        (None, None) => Value::assumed(
            Curve::Power { max_head: m(1.8), open_flow: l_h(833.0), shape },
            "common practice: 220 US gal/h is the ordinary size for one tub",
        ),
    }
}

fn drawn_curve(s: &Section<'_>, found: &super::section::Found) -> Option<Curve> {
    s.list_found(
        "curve",
        "points of its curve",
        found,
        "[[\"0 L/h\", \"1.8 m\"], [\"400 L/h\", \"1.4 m\"], [\"700 L/h\", \"0.5 m\"]]",
    );
    let mut points: Vec<(VolumeRate, Length)> = Vec::new();
    for cells in rows(s, "curve", found, "a list of points [flow, head]") {
        points.push((item(s, "curve", found, cells.first())?, item(s, "curve", found, cells.get(1))?));
    }
    let sane = points.iter().all(|p| p.0 >= l_h(0.0) && p.0 <= l_h(1e5) && p.1 >= m(0.0) && p.1 <= m(60.0));
    let starts_low = points.first().zip(points.last()).is_some_and(|(a, b)| a.0 < 0.3 * b.0);
    let curve = if points.len() >= 3 && sane && starts_low { Curve::through(&points) } else { None };
    if curve.is_none() {
        s.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "Not a pump curve",
                "A pump curve needs three points or more, from little flow to much, each with more flow and less head than the one before.",
            )
            .at(s.place("curve", found.span.clone()))
            .mend("Write it as curve = [[\"0 L/h\", \"1.8 m\"], [\"400 L/h\", \"1.38 m\"], [\"700 L/h\", \"0.5 m\"]]."),
        );
    }
    curve
}

fn listed_buckets(s: &Section<'_>) -> Vec<Bucket> {
    if let Some(found) = s.find("bucket_tests") {
        s.list_found("bucket_tests", "bucket tests", &found, "[[\"5 L\", \"37 s\", \"0.60 m\"]]");
    }
    read_buckets(s)
}

fn read_buckets(s: &Section<'_>) -> Vec<Bucket> {
    let Some(found) = s.find("bucket_tests") else { return Vec::new() };
    let mut out = Vec::new();
    for cells in rows(s, "bucket_tests", &found, "a list of tests [volume, time, lift]") {
        let volume: Option<Volume> = item(s, "bucket_tests", &found, cells.first());
        let time: Option<Time> = item(s, "bucket_tests", &found, cells.get(1));
        let lift: Option<Length> = item(s, "bucket_tests", &found, cells.get(2));
        let (Some(volume), Some(time), Some(lift)) = (volume, time, lift) else { continue };
        let flow = volume.value / time.value;
        if flow.is_finite() && flow > 1e-7 && flow < 0.03 && lift.value > -2.0 && lift.value < 60.0 {
            out.push(Bucket { volume, time, lift });
        } else {
            s.context.report(
                Finding::new(
                    Severity::Stop,
                    "out-of-range",
                    "Not a bucket test",
                    "A bucket test needs a volume, a time above nil and the lift of the hose's end.",
                )
                .at(s.place("bucket_tests", found.span.clone()))
                .mend("Write it as bucket_tests = [[\"5 L\", \"37 s\", \"0.60 m\"]]."),
            );
        }
    }
    out
}

/// The parabola H = H₀ − c Q² through bucket tests: c alone by least squares where H₀ is given, both
/// where two tests or more lie at different lifts. The tests must be made at the pump, with little hose.
fn fitted(buckets: &[Bucket], max_head: Option<Length>) -> Option<Curve> {
    let n = buckets.len() as f64;
    let points: Vec<(f64, f64)> = buckets.iter().map(|b| (b.flow().value.powi(2), b.lift.value)).collect();
    let (h0, c) = match max_head {
        Some(h0) => {
            let h0 = h0.value;
            let top: f64 = points.iter().map(|(q2, h)| q2 * (h0 - h)).sum();
            let below: f64 = points.iter().map(|(q2, _)| q2 * q2).sum();
            (h0, top / below)
        }
        None => {
            let (sx, sy) = points.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
            let sxx: f64 = points.iter().map(|p| (p.0 - sx / n).powi(2)).sum();
            let sxy: f64 = points.iter().map(|p| (p.0 - sx / n) * (p.1 - sy / n)).sum();
            let c = -sxy / sxx;
            (sy / n + c * sx / n, c)
        }
    };
    let open = (h0 / c).sqrt();
    let sane = !buckets.is_empty() && open.is_finite() && open > 1e-7 && open < 0.03 && h0 > 0.02 && h0 < 60.0;
    sane.then(|| Curve::Power { max_head: m(h0), open_flow: q::m3_s(open), shape: 2.0 })
}

fn read_throttle(s: &Section<'_>) -> Value<f64> {
    // Ball valve: Potter & Wiggert-type table and slide table: open 0.05, a third shut 5.5, two thirds 200.
    const STEPS: &[(&str, f64)] =
        &[("none", 0.0), ("open", 0.05), ("third shut", 5.5), ("half shut", 25.0), ("two thirds shut", 200.0)];
    s.choice("throttle", "throttle at the pump", STEPS).or(0.0, "none fitted")
}

fn read_bypass(s: &Section<'_>) -> Option<Bypass> {
    for key in ["bypass_length", "bypass_loss"] {
        s.know(key);
    }
    let bore = s.quantity::<Length>("bypass_bore", "bore of a bypass tee").range(mm(2.0), mm(80.0)).optional()?;
    Some(Bypass {
        bore,
        length: s
            .quantity("bypass_length", "length of the bypass")
            .range(mm(10.0), m(5.0))
            .or(mm(200.0), "common practice: a short stub"),
        loss: s
            .quantity("bypass_loss", "loss coefficient of the bypass")
            .range(0.0, 1e5)
            .or(4.0, "tee branch 1.8, valve and exit, from handbook tables"),
    })
}
