use super::section::Section;
use crate::bench::{Lamp, LampThrow, Tray};
use crate::finding::{Finding, Place, Severity};
use crate::value::{Birth, Value};
use tidewright_physics::quantity::{
    Angle, Length, MolarFlux, PhotonFlow, degrees, m, mm, umol_j, umol_m2_s, umol_s, w,
};

/// More no bench has, and a map would take long.
const MOST_LAMPS: usize = 64;

/// `[[lamp]]`, one or several; none where the file has none.
pub(crate) fn read_all(top: &Section<'_>, trays: &[Tray]) -> Vec<Lamp> {
    let mut sections = top.subs("lamp");
    if sections.len() > MOST_LAMPS {
        top.context.report(
            Finding::new(
                Severity::Stop,
                "out-of-range",
                "Too many lamps",
                format!("There are {} lamps; a bench has at most {MOST_LAMPS}.", sections.len()),
            )
            .mend("Write several like lamps as one longer or wider one."),
        );
        sections.truncate(1);
    }
    let many = sections.len() > 1;
    sections
        .iter()
        .enumerate()
        .filter_map(|(i, s)| {
            let lamp = read_one(s, if many { format!("lamp {}", i + 1) } else { "lamp".into() }, trays);
            s.finish();
            lamp
        })
        .collect()
}

fn read_one(s: &Section<'_>, usual_name: String, trays: &[Tray]) -> Option<Lamp> {
    let name = s.text("name", "name of the lamp").unwrap_or(usual_name);
    let tray = super::tray::which(s, "over which tray", trays);
    let file = read_file(s);
    let (usual_power, why) = match file.as_ref().and_then(|f| f.2) {
        Some(x) if x > 0.0 => (w(x), "what the photometric file says"),
        _ => (w(100.0), "common practice: a lamp over a small tray"),
    };
    let power = s.quantity("power", "mains power of the lamp").range(w(0.5), w(5000.0)).or(usual_power, why);
    let efficacy = s
        .quantity("efficacy", "photons in a joule of mains power")
        .range(umol_j(0.2), umol_j(4.5))
        .or(umol_j(2.3), "from memory: white LED lamps 2.0 to 2.8");
    let photons =
        s.quantity::<PhotonFlow>("photons", "photons of the lamp").range(umol_s(0.5), umol_s(20_000.0)).optional();
    let photons = photons.unwrap_or_else(|| {
        Value::new(
            PhotonFlow { value: power.get().value * efficacy.get().value },
            Birth::Derived { from: "power and efficacy".into() },
        )
    });
    let metres = file.as_ref().map_or((0.0, 0.0), |f| f.3);
    let size_why = if file.is_some() { "what the photometric file says" } else { "a point: size not given" };
    let side = |key: &'static str, label: &'static str, usual: f64| {
        s.quantity::<Length>(key, label).range(mm(0.0), m(5.0)).or(m(usual), size_why)
    };
    let size = (side("length", "length of what shines", metres.0), side("width", "width of what shines", metres.1));
    let place = |key: &'static str, label: &'static str| {
        s.quantity::<Length>(key, label).range(m(-5.0), m(5.0)).or(m(0.0), "over the middle of the tray")
    };
    let throw = match file {
        Some((name, web, _, _)) => {
            s.know("beam");
            LampThrow::File { name, web }
        }
        None => LampThrow::Beam(
            s.quantity::<Angle>("beam", "full angle in which its intensity is above half")
                .range(degrees(4.0), degrees(160.0))
                .or(degrees(120.0), "a flat lamp without lenses (Lambert's cosine)"),
        ),
    };
    let lamp = Lamp {
        at: (place("along", "from the tray's middle, along"), place("across", "from the tray's middle, across")),
        height: s
            .quantity("height", "height of the lamp above the tray floor")
            .range(mm(50.0), m(6.0))
            .or(mm(600.0), "common practice: an arm's length over a young crop"),
        name,
        tray: tray?,
        power,
        photons,
        size,
        throw,
    };
    Some(lamp)
}

type Photometry = (String, tidewright_physics::light::web::Web, Option<f64>, (f64, f64));

fn read_file(s: &Section<'_>) -> Option<Photometry> {
    let name = s.text("file", "photometric file of the lamp")?;
    match s.context.library.photometry(&name) {
        Some(p) => Some((name, p.web.clone(), p.watts, p.size_m)),
        None => {
            let (title, words) = if s.context.library.is_photometry_unreadable(&name) {
                (
                    "The lamp's photometric file does not read",
                    format!("\"{name}\" beside the bench file is no photometric file of type C."),
                )
            } else {
                (
                    "The lamp's photometric file is not there",
                    format!("There is no readable file \"{name}\" beside the bench file."),
                )
            };
            s.context.report(
                Finding::new(Severity::Stop, "lamp-file", title, words)
                    .at(Place { path: s.key("file"), ..s.place("file", s.find("file").and_then(|f| f.span)) })
                    .mend("Put the file (IES LM-63) beside the bench file, or leave the key out and give the beam."),
            );
            None
        }
    }
}

/// Photons on the canopy of the first tray that has a lamp: the mean of its map at the height of its block tops and a young
/// plant.
pub(crate) fn on_canopy(lamps: &[Lamp], trays: &[Tray], walls: f64, plant: Length) -> Option<MolarFlux> {
    let first = lamps.iter().map(|l| l.tray).min()?;
    let map = crate::light::map(lamps, trays.get(first)?, first, walls, plant, crate::light::QUICK)?;
    Some(umol_m2_s(map.mean().round().clamp(1.0, 3000.0)))
}
