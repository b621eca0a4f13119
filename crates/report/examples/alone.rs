//! Writes the section of a bench file as an SVG file: `alone BENCH.toml SECTION.svg`.

use tidewright_plan::Survey;
use tidewright_report::layout::Layout;
use tidewright_report::paper::Paper;
use tidewright_report::section::{Now, lanes, section};
use tidewright_report::{Advice, alone};
use tidewright_rig::parts::Library;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let (Some(from), Some(to)) = (args.next(), args.next()) else { return Err("alone BENCH.toml SECTION.svg".into()) };
    let reading = tidewright_rig::read(&std::fs::read_to_string(&from)?, &Library::shipped());
    let rig = reading.rig.ok_or("the bench does not read")?;
    let survey = Survey::of(&rig, 32);
    let lines = Advice::of(&survey).lines;
    let layout = Layout::of(&rig);
    let now =
        Now { reservoir_m: rig.reservoir.rest_depth().value, trays_m: vec![0.0; rig.trays.len()], blocks: Vec::new() };
    let paper = Paper::wide(&layout, lanes(&survey, &layout, &lines, &now));
    std::fs::write(to, alone(&section(&survey, &layout, &paper, &lines, &now)))?;
    Ok(())
}
