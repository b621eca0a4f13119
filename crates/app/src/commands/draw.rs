use crate::bench_file::Source;
use crate::terminal::{Outcome, Trouble, say};
use std::process::ExitCode;
use tidewright_plan::Survey;
use tidewright_report::layout::Layout;
use tidewright_report::paper::Paper;
use tidewright_report::section::{Now, lanes, section};
use tidewright_report::series::Course;
use tidewright_report::{Advice, alone, chart, plan_view};
use tidewright_sim::band::{USUAL_RUNS, depth_at};

/// Draw a bench as SVG: section, plan, or the chart of one flood
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// What to draw
    #[arg(long, value_enum, default_value_t = What::Section)]
    what: What,
    /// Which tray the chart is of, from 1
    #[arg(long, default_value_t = 1)]
    tray: usize,
    /// Where the water stands in the drawing: minutes after the pump's start
    #[arg(long, default_value_t = 10.0)]
    minutes: f64,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum What {
    Section,
    Plan,
    Chart,
}

pub(crate) fn run(args: &Args) -> Outcome {
    args.source.with(|bench| {
        let survey = Survey::of(&bench.rig, USUAL_RUNS);
        if args.tray == 0 || args.tray > survey.trays.len() {
            return Err(Trouble(format!("there is no tray {}; the bench has {}", args.tray, survey.trays.len())));
        }
        let tray = args.tray - 1;
        let flood = &survey.trays[tray].flood;
        let t = args.minutes.clamp(0.0, 1440.0) * 60.0;
        let trays_m: Vec<f64> = (0..survey.trays.len()).map(|i| depth_at(flood, i, t)).collect();
        let moment = flood.course.iter().rev().find(|m| m.t_s <= t).or(flood.course.first());
        let now = Now { reservoir_m: moment.map_or(0.0, |m| m.reservoir_m), trays_m, blocks: Vec::new() };
        let layout = Layout::of(&bench.rig);
        let lines = Advice::lines(&survey).lines;
        let paper = Paper::wide(&layout, lanes(&survey, &layout, &lines, &now));
        let svg = match args.what {
            What::Section => section(&survey, &layout, &paper, &lines, &now),
            What::Plan => plan_view::plan_view(&survey, &layout, &paper, &now),
            What::Chart => chart::depth(&survey, tray, &Course::of(flood, survey.trays.len()), false),
        };
        say(&alone(&svg))?;
        Ok(ExitCode::SUCCESS)
    })
}
