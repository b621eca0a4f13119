//! The first day: trials in an order that separates causes, and the card with what they should give.

use crate::advice::fill_lines;
use crate::climate::Climate;
use crate::survey::Survey;
use serde::Serialize;
use tidewright_rig::units::{System, stopwatch};
use tidewright_sim::band::{Band, Figure};

/// One trial of the first day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trial {
    /// In a few words.
    pub title: String,
    /// What to do.
    pub say: String,
    /// What it tells when it fails.
    pub tells: String,
    /// Caution at this place.
    pub caution: Option<&'static str>,
}

/// One line of the card: a predicted band beside a blank.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardRow {
    /// What is read.
    pub what: String,
    /// Predicted low, likely, high, in the user's units.
    pub band: [String; 3],
    /// What to accept, in words.
    pub accept: String,
}

/// Trials, in their order.
pub fn trials(s: &Survey) -> Vec<Trial> {
    let u = s.units();
    let many = s.trays.len() > 1;
    let trial = |title: &str, say: String, tells: &str, caution| Trial {
        title: title.into(),
        say,
        tells: tells.into(),
        caution,
    };
    let lift = s.each().next().map_or(0.5, |v| v.lift().value);
    let mut out = vec![
        trial(
            "Leak",
            format!("Hoses off, a bung in every fitting of the tray{}: fill to the crest by hand, dry paper under every fitting, and wait 24 h. Take the bungs out over a bucket, put the hoses on. Then the reservoir, to its upper line, a day as well.", if many { "s" } else { "" }),
            "Wet paper under one fitting: that fitting. Seal and wait again; nothing else is tried before it is dry.",
            Some("A full tray cannot be moved: fill it where it stays. Nothing is plugged in yet."),
        ),
        trial(
            "Test button",
            "Before anything else hangs on it: a lamp in the socket, press the button of the residual-current device: the lamp goes out. Set it again. Then each month.".into(),
            "It does not trip: do not run the bench; an electrician looks at it.",
            Some("Never bridge it, never test it with water or a finger."),
        ),
        trial(
            "Pump alone",
            format!("The pump in the reservoir, its hose held {} over the water, into a bucket with a litre mark and a stopwatch. Three times.", u.distance(lift)),
            "Too little here is the pump, its sponge or its voltage, not the bench. Write it into the bench file as bucket_tests.",
            Some("Plug in with dry hands, through the residual-current device, the cord in a drip loop. Never run it dry."),
        ),
        trial(
            "Three marks",
            "Connect it. Stopwatch from pump on: floor wet, crest wet, level steady. Twice, blocks in their places and wet.".into(),
            "Slow to the floor: air lock or kink. Slow from floor to crest only: the blocks drink, or the riser leaks.",
            None,
        ),
        trial(
            "Four corners",
            "A ruler at the four corners while the pump runs, then with it off and the level at the crest.".into(),
            "Corners differ: the stand is out of level; pack under the legs, not under the tray.",
            Some("The ruler goes into the water, no hand does, while anything is plugged in."),
        ),
        trial(
            "Highest water",
            "Ruler at the riser with the pump running: water over the crest, and how far below the rim.".into(),
            "Higher than the card: the strainer, a hump in the return, or a riser smaller than its name.",
            None,
        ),
        trial(
            "Drain",
            "Stopwatch from pump off to the drained mark (5 mm over the floor).".into(),
            "Slow: the pump lets little back. One reading closes most of the band: write it down as a [[reading]].",
            None,
        ),
        trial(
            "Puddle",
            "All plugs out. Sponge up what stays and weigh it.".into(),
            "Much of it in one place: nine ruler readings of the floor (floor_readings) make a map of it.",
            Some("Plugs out before a hand goes into the tray."),
        ),
        trial(
            "Stuck",
            "Plug the riser and let the pump run, your hand on its plug, until the level stands still or nears the rim.".into(),
            "If it would run over, the reservoir is too full for this tray: draw the upper line lower.",
            Some("Stay with it. Water on the floor and a plug do not go together: towels, and the socket high and dry."),
        ),
        trial(
            "Ten cycles",
            "Ten floods while somebody is in the room, the timer set as it will stay. Mark both lines on the reservoir at rest.".into(),
            "What is right nine times and wrong once is an air lock, a valve that sticks or a timer.",
            None,
        ),
    ];
    if s.rig.aeration.is_some() {
        out.insert(
            8,
            trial(
                "Air",
                "Air pump on, above the water: bubbles from every open stone. Then pull its plug and watch the line for a minute.".into(),
                "Water creeps up the line: the valve leaks or sits the wrong way round; the loop must hold it.",
                Some("The air pump stands outside the water and above it, its cord in a drip loop."),
            ),
        );
    }
    out
}

fn times(b: &Band) -> [String; 3] {
    [b.low, b.likely, b.high].map(stopwatch)
}

fn lengths(u: System, b: &Band) -> [String; 3] {
    [b.low, b.likely, b.high].map(|x| u.length(x))
}

/// The card: predicted bands beside blanks.
pub fn card(s: &Survey, climate: Option<&Climate>) -> Vec<CardRow> {
    let u = s.units();
    let mut out = Vec::new();
    let mut row =
        |what: String, band: [String; 3], accept: &str| out.push(CardRow { what, band, accept: accept.into() });
    for v in s.each() {
        let who = v.who();
        row(
            format!("{who}pump on to crest wet"),
            times(v.band(Figure::CrestWet)),
            "within the band; twice alike within 5 s",
        );
        row(format!("{who}pump on to level steady"), times(v.band(Figure::Steady)), "within the band");
        row(
            format!("{who}highest water over the floor"),
            lengths(u, v.band(Figure::HighestWater)),
            "within the band and a ruler's error",
        );
        let tops = v.tops().map_or_else(|| "–".into(), |t| u.length(t.value));
        row(
            format!("{who}block tops over the floor"),
            [tops.clone(), tops.clone(), tops],
            "measured, before the first flood",
        );
        row(format!("{who}pump off to drained mark"), times(v.band(Figure::Drained)), "within the band");
        let flow = v.band(Figure::LastFlow);
        row(
            format!("{who}flow while flooded"),
            [flow.low, flow.likely, flow.high].map(|q| u.flow(q)),
            "litres of the bucket test",
        );
    }
    let low = s.each().next().map(|v| v.band(Figure::LowestReservoir).clone());
    if let Some(b) = low {
        row("lowest water over the reservoir's floor".into(), lengths(u, &b), "pump never draws air");
    }
    let l = fill_lines(s);
    let line = |below: f64| {
        let t = u.length(below);
        [t.clone(), t.clone(), t]
    };
    if l.possible {
        row("upper line, below the reservoir's rim, at rest".into(), line(l.highest_below_rim_m), "drawn with a pen");
        row("lower line, below the reservoir's rim, at rest".into(), line(l.lowest_below_rim_m), "drawn with a pen");
    }
    if let Some(c) = climate {
        let (low, likely, high) = (c.low.oxygen_span().0, c.likely.oxygen_span().0, c.high.oxygen_span().0);
        row(
            "oxygen in the reservoir before the light, mg/L".into(),
            [low, likely, high].map(|x| format!("{x:.1}")),
            "above 5",
        );
        let (cold, warm) = c.likely.temperature_span();
        row(
            "water temperature, morning and evening".into(),
            [u.temperature(cold), u.temperature(c.likely.mean_k()), u.temperature(warm)],
            "within the band",
        );
    }
    out
}
