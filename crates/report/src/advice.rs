//! What to cut and where to draw the lines, and the cautions that belong beside it.

use crate::words;
use maud::{Markup, html};
use tidewright_physics::quantity::m;
use tidewright_plan::Survey;
use tidewright_plan::advice::{self, FillLines, RiserAdvice, ThrottleRow};
use tidewright_rig::Rig;

/// Everything the advice block shows, solved beforehand.
#[derive(Clone, Debug)]
pub struct Advice {
    /// Where to cut, for each tray that has a riser.
    pub risers: Vec<RiserAdvice>,
    /// The pen lines.
    pub lines: FillLines,
    /// What throttling does, for the first tray; empty while not yet tried.
    pub throttles: Vec<ThrottleRow>,
}

impl Advice {
    /// Solves all of it but the throttles, which take runs of their own.
    pub fn of(survey: &Survey) -> Self {
        Self::lines(survey).with_risers(survey)
    }

    /// The pen lines alone: all that the drawings show of it.
    pub fn lines(survey: &Survey) -> Self {
        Self { risers: Vec::new(), lines: advice::fill_lines(survey), throttles: Vec::new() }
    }

    /// The same with the risers, each of which may take a survey of its own.
    #[must_use]
    pub fn with_risers(mut self, survey: &Survey) -> Self {
        self.risers = survey.each().filter_map(|v| advice::riser(&v)).collect();
        self
    }

    /// The same with the throttles tried.
    #[must_use]
    pub fn with_throttles(mut self, survey: &Survey) -> Self {
        self.throttles = advice::throttles(&survey.rig, 0);
        self
    }
}

/// The advice block.
pub fn block(survey: &Survey, given: &Advice) -> Markup {
    let u = survey.units();
    let many = survey.rig.trays.len() > 1;
    html! {
        @for a in &given.risers {
            @let tray = &survey.rig.trays[a.tray];
            @let path = crate::keys::of_tray(&survey.rig, a.tray, "drain.crest");
            div class="cut" {
                h3 { "Cut the riser" @if many { " of " (tray.name) } }
                p {
                    "Crest " strong { (u.length(a.crest_m)) } " above the floor"
                    @if let Some((rings, trim)) = a.rings {
                        ": " strong { (rings) " rings" } ", trim " (u.length(trim))
                    } @else {
                        ": cut the tube to " strong { (u.length(a.cut_m)) }
                    }
                    ". Set by " (a.set_by) "."
                }
                @if !a.holds { p class="warned" { "▲ Even so not everything holds: see the findings." } }
                @if (a.crest_m - a.present_crest_m).abs() > 9e-4 {
                    p class="now-is" {
                        "The file has " (u.length(a.present_crest_m)) ". "
                        @if let Some(p) = &path {
                            button type="button" class="apply" data-path=(p) data-value=(advice::typed_length(u, m(a.crest_m))) { "Take " (u.length(a.crest_m)) }
                        }
                    }
                } @else { p class="now-is" { "✓ The file has this crest." } }
            }
        }
        @if !given.risers.is_empty() { (caution("knife")) }
        (fill(survey, &given.lines))
        @if given.throttles.len() > 1 { (throttle(survey, &given.throttles)) }
    }
}

fn fill(survey: &Survey, l: &FillLines) -> Markup {
    let u = survey.units();
    html! {
        div class="pen" {
            h3 { "Two pen lines on the reservoir" }
            @if l.possible {
                table {
                    thead { tr { th scope="col" { "pump off, trays empty" } th scope="col" { "below the rim" } th scope="col" { "holds" } } }
                    tbody {
                        tr { th scope="row" { "highest line" } td class="likely" { (u.length(l.highest_below_rim_m.max(0.0))) } td { (u.volume(l.highest_m3)) } }
                        tr { th scope="row" { "as in the file" } td class="likely" { (u.length(l.present_below_rim_m)) } td { (u.volume(survey.rig.reservoir.fill.get().value)) } }
                        tr { th scope="row" { "lowest line" } td class="likely" { (u.length(l.lowest_below_rim_m.max(0.0))) } td { (u.volume(l.lowest_m3)) } }
                    }
                }
                p { (words::step(survey.units()).0) " is " (per_cm(survey, l)) ". The highest line is set by " (l.highest_set_by) "." }
            } @else {
                p class="warned" { "■ No fill both keeps the pump wet and holds all that drains back: the highest line (" (u.volume(l.highest_m3)) ") lies below the lowest (" (u.volume(l.lowest_m3)) ")." }
            }
        }
    }
}

fn per_cm(survey: &Survey, l: &FillLines) -> String {
    let per = l.per_cm_m3 * words::step(survey.units()).1;
    let text = survey.units().volume(per);
    if per < 1e-4 { format!("{:.0} mL", per * 1e6) } else { text }
}

fn throttle(survey: &Survey, rows: &[ThrottleRow]) -> Markup {
    let u = survey.units();
    html! {
        details class="throttles" {
            summary { "What throttling the pump does" }
            table {
                thead { tr { th scope="col" { "setting" } th scope="col" { "flow" } th scope="col" { "crest wet" } th scope="col" { "highest" } } }
                tbody {
                    @for r in rows {
                        tr { th scope="row" { (r.setting) } td { (words::flow(u, r.flow_m3_s)) } td { (words::watch(r.crest_wet_s)) } td { (u.length(r.highest_m)) } }
                    }
                }
            }
        }
    }
}

/// What a tray weighs at its worst, blocks and all \[kg\].
pub fn full_mass_kg(rig: &Rig, tray: usize) -> f64 {
    tidewright_plan::stand::load(rig, tray, None).on_rails_kg()
}

/// One caution, by the name of the place where the hand is.
pub fn caution(place: &str) -> Markup {
    let words = match place {
        "mains" => {
            "Mains and water: hang every cable in a drip loop below its socket, feed the bench through residual-current \
             protection, keep sockets and timer above and away from any spill, and pull the plug before a hand goes into \
             the water. Fixed wiring is for a licensed electrician, by the local code."
        }
        "air-gap" => {
            "Top up through an air gap: the tap's end stays above the rim, never in the water, so that nothing can be \
             drawn back into the drinking water. A hose on a tap needs the backflow protection of the local code."
        }
        "knife" => {
            "Cutting: clamp the tube, cut away from the hand, wear eye protection, deburr the edge. Cut long first: a \
             riser can be shortened, not lengthened."
        }
        "stand" => "A bench is for trays: never climb or sit on it, and fix it so that it cannot tip or slide.",
        _ => return html! {},
    };
    html! { p class="caution" { strong { "Take care. " } (words) } }
}

/// The weight line beside the trays.
pub fn weight(rig: &Rig) -> Markup {
    let all: Vec<f64> = (0..rig.trays.len()).map(|i| full_mass_kg(rig, i)).collect();
    let sum: f64 = all.iter().sum();
    let u = rig.system;
    html! {
        p class="caution" {
            strong { "Take care. " }
            @if let [one] = all.as_slice() {
                "With its drain blocked the tray weighs about " strong { (words::mass(u, *one)) } ", water and blocks together; the stand must carry that with room to spare. "
            } @else {
                "With their drains blocked the trays weigh about "
                @for (i, x) in all.iter().enumerate() { @if i > 0 { ", " } (words::mass(u, *x)) }
                ", together " strong { (words::mass(u, sum)) } "; the stand must carry that with room to spare. "
            }
            "Never climb or sit on it, and fix it so that it cannot tip."
        }
    }
}
