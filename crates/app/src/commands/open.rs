use crate::bench_file::{DEMOS, Source};
use crate::server;
use crate::server::session::Session;
use crate::terminal::{Outcome, Trouble, say, show_faults};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use tidewright_plan::{Survey, judge};
use tidewright_report::answers;
use tidewright_rig::parts::Library;
use tidewright_sim::band::USUAL_RUNS;

/// Open the pages of a bench in the browser; edits are kept until they are saved
#[derive(clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    source: Source,
    /// Port on this machine
    #[arg(long, default_value_t = 8733)]
    port: u16,
    /// Do not start a browser
    #[arg(long)]
    quiet: bool,
}

pub(crate) fn run(args: &Args) -> Outcome {
    let mut source = args.source.clone();
    // A demo that was saved in this folder is the bench that is meant.
    if source.file.is_none() && Path::new(DEMOS[0].0).is_file() {
        source.file = Some(PathBuf::from(DEMOS[0].0));
    }
    let path = source.file.clone().unwrap_or_else(|| PathBuf::from(DEMOS[0].0));
    let bytes = source.bytes()?;
    let text = String::from_utf8(bytes).map_err(|_| crate::store::no_text(&path))?;
    let session = Session::open(path.clone(), text.clone(), source.library()?);
    if !session.has_drawing() {
        show_faults(&path.display().to_string(), &text, session.faults());
        return Err(Trouble(format!("{} does not read; mend it and open it again", path.display())));
    }
    if let Some(remark) = session.remark() {
        crate::terminal::complain(&Trouble(remark.to_owned()));
    }
    server::serve(session, args.port, !args.quiet)?;
    Ok(ExitCode::SUCCESS)
}

/// Without a command: the findings of the demo bench, and its pages.
pub(crate) fn demo() -> Outcome {
    let library = Library::shipped();
    let text = DEMOS[0].1;
    if let Some(rig) = tidewright_rig::read(text, &library).rig {
        let survey = Survey::of(&rig, USUAL_RUNS);
        say(&answers::check(&survey, &judge(&survey), false))?;
    }
    let session = Session::open(PathBuf::from(DEMOS[0].0), text.to_owned(), library);
    server::serve(session, 8733, true)?;
    Ok(ExitCode::SUCCESS)
}
