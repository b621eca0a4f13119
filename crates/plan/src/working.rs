//! How a number came about: formula, symbols with values and births, source, assumptions, band.

mod more;

use crate::advice;
use crate::survey::{Survey, View};
use serde::Serialize;
use tidewright_physics::GRAVITY_M_S2;
use tidewright_physics::hydraulics::friction::churchill;
use tidewright_physics::hydraulics::line::area_of;
use tidewright_physics::hydraulics::riser;
use tidewright_physics::quantity::m3_s;
use tidewright_physics::water;
use tidewright_rig::Value;
use tidewright_rig::units::{duration, round_to};
use tidewright_sim::Knobs;
use tidewright_sim::band::{Band, Figure};

/// One symbol of a formula with the value it had.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Symbol {
    /// As in `docs/symbols.md`.
    pub symbol: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// Its value with its unit.
    pub value: String,
    /// Where it came from.
    pub birth: String,
}

/// How one number came about.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Working {
    /// Kebab-case name, by which it is asked for.
    pub name: &'static str,
    /// In words.
    pub title: String,
    /// The number with its unit.
    pub value: String,
    /// The formula.
    pub formula: &'static str,
    /// Its symbols.
    pub symbols: Vec<Symbol>,
    /// The publication behind the formula.
    pub source: &'static str,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Low, likely and high, where the number has a band.
    pub band: Option<[String; 3]>,
    /// What makes the band, and the test that would narrow it.
    pub narrows: Option<String>,
}

/// All workings of a bench.
pub fn all(survey: &Survey) -> Vec<Working> {
    let mut out = Vec::new();
    for v in survey.each() {
        out.push(operating_flow(&v));
        out.push(crest_wet(&v));
        out.push(highest_water(&v));
        out.push(drained(&v));
        out.push(lowest_reservoir(&v));
        out.extend(riser_cut(&v));
        out.extend(quiet_flow(&v));
    }
    out.push(fill_line(survey));
    out.extend(more::all(survey));
    out
}

fn symbol(symbol: &'static str, meaning: &'static str, value: String, birth: impl Into<String>) -> Symbol {
    Symbol { symbol, meaning, value, birth: birth.into() }
}

fn from<T>(v: &Value<T>) -> String {
    v.birth.story()
}

fn metres(x: f64) -> String {
    format!("{} m", round_to(x, 3))
}

/// Three digits: no flow here is known better.
fn litres_an_hour(x: f64) -> String {
    format!("{} L/h", round_to(x * 3.6e6, 3))
}

fn titled(v: &View<'_>, title: &str) -> String {
    format!("{}{title}", v.who())
}

fn banded(b: &Band, say: impl Fn(f64) -> String) -> (Option<[String; 3]>, Option<String>) {
    let narrows = b.maker().map(|i| format!("Most of the band comes from {}. {}.", i.name(), i.test()));
    (Some([say(b.low), say(b.likely), say(b.high)]), narrows)
}

/// The heads that meet while the tray stands at its flooded depth.
fn operating_flow(v: &View<'_>) -> Working {
    let rig = &v.survey.rig;
    let pump = &rig.pumps[v.tray.pump];
    let knobs = Knobs::nominal(rig);
    let k = knobs.pumps[v.tray.pump];
    let nu = water::kinematic_viscosity_m2_s(rig.site.water_temperature.get());
    let line = pump.feed.line(nu, knobs.fittings);
    let flow = v.flow();
    let speed = flow / area_of(line.bore).value;
    let re = line.reynolds(m3_s(flow));
    let f = churchill(re.max(1.0), (line.roughness / line.bore).value);
    let head = |k: f64| k * speed * speed / (2.0 * GRAVITY_M_S2);
    let friction = head(f * (line.length / line.bore).value);
    let minor = head(line.loss + pump.throttle.get());
    let flood = v.runs.flood.flood(v.index);
    let lift = v.tray.elevation.get().value + flood.map_or(0.0, |f| f.depth_at_stop_m)
        - rig.reservoir.elevation.get().value
        - reservoir_at_stop(v);
    let (sq, sh) = pump.speed_factors(rig.site.mains_frequency.get());
    let curve = pump.curve.borrowed();
    let (band, narrows) = banded(v.band(Figure::LastFlow), litres_an_hour);
    let mut assumptions = vec![format!(
        "the pump gives {:.0} % of its print ({}); head falls with the square root of that share",
        100.0 * k.flow_share,
        from(&pump.as_sold)
    )];
    if v.tray.branch.is_some() || pump.bypass.is_some() {
        assumptions.push("branches and bypass are solved together; the heads here are those of the feed alone".into());
    }
    Working {
        name: "operating-flow",
        title: titled(v, "flow while flooded"),
        value: litres_an_hour(flow),
        formula: "H(Q) = Δz + (f L/D + ΣK) V²/2g",
        symbols: vec![
            symbol(
                "H₀",
                "greatest head of the pump, derated",
                metres(curve.max_head().value * sh * k.flow_share.sqrt()),
                from(&pump.curve),
            ),
            symbol(
                "Qmax",
                "open flow of the pump, derated",
                litres_an_hour(curve.open_flow().value * sq * k.flow_share),
                from(&pump.curve),
            ),
            symbol(
                "φ",
                "share of its print that it gives",
                format!("{:.0} %", 100.0 * k.flow_share),
                from(&pump.as_sold),
            ),
            symbol("n", "shape of its curve", round_to(k.shape, 3), "assumed: common practice, 1.5 to 2.5"),
            symbol("Δz", "lift between the two water surfaces", metres(lift), "from the simulation, at pump stop"),
            symbol("D", "bore of the feed", metres(line.bore.value), from(&pump.feed.bore)),
            symbol("L", "length of the feed", metres(line.length.value), from(&pump.feed.length)),
            symbol(
                "ΣK",
                "loss of its fittings",
                round_to(line.loss + pump.throttle.get(), 3),
                "fittings as listed, handbook values",
            ),
            symbol("V", "velocity", format!("{} m/s", round_to(speed, 3)), "Q/A"),
            symbol("Re", "Reynolds number", format!("{re:.0}"), "V D/ν"),
            symbol("f", "friction factor", round_to(f, 4), "Churchill 1977"),
            symbol("h_f", "friction head", metres(friction), "f L/D V²/2g"),
            symbol("h_K", "head of the fittings", metres(minor), "ΣK V²/2g"),
        ],
        source: "Darcy–Weisbach; Churchill, Chem. Eng. 84 (1977) no. 24, 91–92; pump curve H₀[1 − (Q/Qmax)ⁿ], common practice",
        assumptions,
        band,
        narrows,
    }
}

fn reservoir_at_stop(v: &View<'_>) -> f64 {
    let stop = v.runs.flood.flood(v.index).map_or(0.0, |f| f.stop_s);
    let i = v.runs.flood.course.partition_point(|m| m.t_s < stop);
    v.runs.flood.course.get(i).map_or(v.runs.flood.lowest_reservoir_m, |m| m.reservoir_m)
}

fn crest_wet(v: &View<'_>) -> Working {
    let b = v.band(Figure::CrestWet);
    let nominal = v.runs.flood.flood(v.index);
    let crest = v.tray.crest().unwrap_or_default();
    let free = {
        let blocks =
            v.tray.blocks.as_ref().map_or(0.0, |b| b.plan_area().value * crest.value.min(b.total_height().value));
        v.tray.shape.volume(crest).value - blocks
    };
    let (band, narrows) = banded(b, duration);
    Working {
        name: "crest-wet",
        title: titled(v, "riser crest wet after"),
        value: duration(b.likely),
        formula: "∫ dV/Q(y) from the empty floor to the crest: dV/dt = Q(y) − soak",
        symbols: vec![
            symbol(
                "h_c",
                "crest above the floor",
                metres(crest.value),
                v.tray.drain.riser.as_ref().map_or_else(String::new, |r| from(&r.crest.height)),
            ),
            symbol("V", "free water below the crest", format!("{:.1} L", free * 1e3), "vessel less blocks"),
            symbol(
                "Q₀",
                "flow at the start",
                litres_an_hour(nominal.map_or(0.0, |f| f.first_flow_m3_s)),
                "pump curve and feed, lift from the floor",
            ),
            symbol("Q₁", "flow at the end", litres_an_hour(v.flow()), "the same, lift from the flooded depth"),
        ],
        source: "water balance; explicit Runge–Kutta 5(4), Dormand & Prince 1980, events by root finding",
        assumptions: vec!["the hose fills first".into(), "media at the start as the file says".into()],
        band,
        narrows,
    }
}

fn highest_water(v: &View<'_>) -> Working {
    let b = v.band(Figure::HighestWater);
    let knobs = Knobs::nominal(&v.survey.rig);
    let (band, narrows) = banded(b, |x| v.survey.units().length(x));
    let mut symbols = vec![symbol("Q", "flow while flooded", litres_an_hour(v.flow()), "working operating-flow")];
    if let Some(r) = &v.tray.drain.riser {
        let bore = r.bore.get();
        let h = (v.runs.flood.highest_m[v.index] - r.crest.height.get().value).max(0.0);
        symbols.extend([
            symbol("d", "bore of the riser", metres(bore.value), from(&r.bore)),
            symbol("h_c", "crest above the floor", metres(r.crest.height.get().value), from(&r.crest.height)),
            symbol("h", "overflow head", metres(h), "from the simulation"),
            symbol("C_w", "weir coefficient", round_to(knobs.weir, 3), "assumed: HEC-22, 0.33 to 0.45 for small rims"),
            symbol("C_o", "orifice coefficient", round_to(knobs.orifice, 3), "assumed: HEC-22, 0.45 to 0.70"),
            symbol(
                "h*",
                "head at which the mouth drowns",
                metres(riser::crossover_head(knobs.weir, knobs.orifice, bore).value),
                "C_o d/4C_w",
            ),
            symbol("p", "priming", round_to(knobs.priming, 2), "assumed: 0 vented to 1 running full"),
        ]);
    }
    Working {
        name: "highest-water",
        title: titled(v, "highest water"),
        value: v.survey.units().length(b.likely),
        formula: "Q = min( C_w √2g π d h^1.5 , C_o A √(2gh) → full pipe as far as it primes )",
        symbols,
        source: "FHWA HEC-22 4th ed. (2024), eq. 10.23 and 10.32; full falling pipe by Darcy–Weisbach",
        assumptions: vec!["coefficients come from large structures: ±20 % in head on a small riser".into()],
        band,
        narrows,
    }
}

fn drained(v: &View<'_>) -> Working {
    let b = v.band(Figure::Drained);
    let rig = &v.survey.rig;
    let pump = &rig.pumps[v.tray.pump];
    let k = Knobs::nominal(rig).pumps[v.tray.pump];
    let (band, narrows) = banded(b, duration);
    Working {
        name: "drained",
        title: titled(v, "drained after the pump stops"),
        value: duration(b.likely),
        formula: "z_tray − z_reservoir = (f L/D + ΣK + K_rev) V²/2g, integrated down to the mark",
        symbols: vec![
            symbol(
                "K_rev",
                "loss backwards through the stopped pump",
                round_to(k.reverse_loss, 3),
                from(&pump.reverse_loss),
            ),
            symbol(
                "Q",
                "first flow back",
                litres_an_hour(v.runs.flood.flood(v.index).map_or(0.0, |f| f.first_back_flow_m3_s)),
                "from the simulation",
            ),
            symbol("lip", "lip of the flood fitting", metres(v.tray.lip.get().value), from(&v.tray.lip)),
        ],
        source: "Darcy–Weisbach; K_rev around four-quadrant pump data (from memory), no published value for small pumps",
        assumptions: vec!["the mark is 5 mm over the floor, or 1 mm over the lip where that is higher".into()],
        band,
        narrows,
    }
}

fn lowest_reservoir(v: &View<'_>) -> Working {
    let b = v.band(Figure::LowestReservoir);
    let r = &v.survey.rig.reservoir;
    let (band, narrows) = banded(b, |x| v.survey.units().length(x));
    Working {
        name: "lowest-reservoir",
        title: titled(v, "lowest water in the reservoir"),
        value: v.survey.units().length(b.likely),
        formula: "V_reservoir = V_fill − V_tray − V_hose − what the media took",
        symbols: vec![
            symbol("V_fill", "water at rest", format!("{:.1} L", r.fill.get().value * 1e3), from(&r.fill)),
            symbol("z", "depth at rest", metres(r.rest_depth().value), "from the shape of the reservoir"),
        ],
        source: "water balance, prismatoid volumes (exact)",
        assumptions: Vec::new(),
        band,
        narrows,
    }
}

fn riser_cut(v: &View<'_>) -> Option<Working> {
    let a = advice::riser(v)?;
    let r = v.tray.drain.riser.as_ref()?;
    let u = v.survey.units();
    Some(Working {
        name: "riser-cut",
        title: titled(v, "length to cut the riser"),
        value: u.length(a.cut_m),
        formula: "crest = top − dry margin − overflow head at the high end; cut = crest − seat + insertion",
        symbols: vec![
            symbol(
                "top",
                "block tops above the floor",
                v.tops().map_or_else(|| "none".into(), |t| metres(t.value)),
                "blocks and what they stand on",
            ),
            symbol("margin", "dry block above the water", metres(advice::DRY_MARGIN), "common practice: 10–15 mm"),
            symbol("h", "overflow head at the band's high end", metres(a.head_high_m), "working highest-water"),
            symbol("crest", "advised crest", metres(a.crest_m), format!("set by {}", a.set_by)),
            symbol("seat", "seat of the fitting", metres(r.seat.get().value), from(&r.seat)),
            symbol("insertion", "tube inside the fitting", metres(r.insertion.get().value), from(&r.insertion)),
        ],
        source: "common practice, no source",
        assumptions: vec!["cut 10 mm long, run it, trim".into()],
        band: None,
        narrows: None,
    })
}

fn quiet_flow(v: &View<'_>) -> Option<Working> {
    let r = v.tray.drain.riser.as_ref()?;
    let quiet = riser::self_venting_flow(r.bore.get());
    Some(Working {
        name: "quiet-flow",
        title: titled(v, "flow that falls quietly through the riser"),
        value: litres_an_hour(quiet.value * r.count.get()),
        formula: "J* = V/√(g d) ≤ 0.3",
        symbols: vec![
            symbol("d", "bore of the riser", metres(r.bore.get().value), from(&r.bore)),
            symbol(
                "J*",
                "at the flow while flooded",
                round_to(riser::gulping_number(r.bore.get(), m3_s(v.flow() / r.count.get())), 2),
                "from the simulation",
            ),
        ],
        source: "Hills, Chem. Eng. (Sept. 1983), as quoted on a secondary page",
        assumptions: Vec::new(),
        band: None,
        narrows: None,
    })
}

fn fill_line(s: &Survey) -> Working {
    let lines = advice::fill_lines(s);
    let u = s.units();
    let rim = s.rig.reservoir.shape.depth();
    Working {
        name: "fill-lines",
        title: "the two pen lines on the reservoir, at rest".into(),
        value: format!(
            "{} and {} below the rim",
            u.length(lines.highest_below_rim_m),
            u.length(lines.lowest_below_rim_m)
        ),
        formula: "highest: nothing runs over when all drains back, nor with a stuck timer and a blocked riser; lowest: prime depth + 20 mm at the lowest moment",
        symbols: vec![
            symbol(
                "V_high",
                "highest fill",
                format!("{:.1} L", lines.highest_m3 * 1e3),
                format!("set by {}", lines.highest_set_by),
            ),
            symbol("V_low", "lowest fill", format!("{:.1} L", lines.lowest_m3 * 1e3), "set by the pump's prime"),
            symbol("rim", "height of the rim", metres(rim.value), "shape of the reservoir"),
            symbol("ΔV", "one centimetre", format!("{:.2} L", lines.per_cm_m3 * 1e3), "area at the present level"),
        ],
        source: "water balance; margins of 20 mm are common practice, no source",
        assumptions: vec!["read at rest: pump off, trays empty".into()],
        band: None,
        narrows: None,
    }
}
