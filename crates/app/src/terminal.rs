//! Writing to the terminal: results to stdout, troubles to stderr, colour only where wanted.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::io::Write;
use tidewright_rig::{Finding, Severity};

/// Something that stops a command before it can answer.
#[derive(Debug)]
pub(crate) struct Trouble(pub(crate) String);

impl From<std::io::Error> for Trouble {
    fn from(e: std::io::Error) -> Self {
        Self(e.to_string())
    }
}

/// What commands return.
pub(crate) type Outcome = Result<std::process::ExitCode, Trouble>;

/// Prints a result. A closed pipe (as in `| head`) is no trouble.
pub(crate) fn say(text: &str) -> Result<(), Trouble> {
    let mut out = anstream::stdout().lock();
    let ended = if text.ends_with('\n') { "" } else { "\n" };
    match write!(out, "{text}{ended}").and_then(|()| out.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => Err(e.into()),
        _ => Ok(()),
    }
}

/// Prints JSON, two spaces deep.
pub(crate) fn say_json(value: &impl serde::Serialize) -> Result<(), Trouble> {
    let text = serde_json::to_string_pretty(value).map_err(|e| Trouble(e.to_string()))?;
    say(&text)
}

/// Prints a trouble to stderr.
pub(crate) fn complain(trouble: &Trouble) {
    // Where even stderr is shut there is nobody left to tell.
    let _ = writeln!(anstream::stderr(), "tidewright: {}", trouble.0);
}

/// Prints the faults of a file with the lines that they stand on.
pub(crate) fn show_faults(name: &str, text: &str, faults: &[Finding]) {
    let renderer = Renderer::styled();
    let mut err = anstream::stderr();
    for f in faults {
        let level = match f.severity {
            Severity::Stop => Level::ERROR.with_name("stop"),
            Severity::Care => Level::WARNING.with_name("care"),
            Severity::Note | Severity::Good => Level::NOTE.with_name("note"),
        };
        let help = f.mend.as_ref().map(|m| m.say.clone());
        let title = level.primary_title(f.sentence.as_str()).id(f.name);
        let span = f.place.as_ref().and_then(|p| p.span.clone()).filter(|s| s.end <= text.len() && s.start <= s.end);
        let mut group = match span {
            Some(span) => Group::with_title(title).element(
                Snippet::source(text).path(name).annotation(AnnotationKind::Primary.span(span).label(f.title.as_str())),
            ),
            None => Group::with_title(title),
        };
        if let Some(help) = &help {
            group = group.element(Level::HELP.message(help.as_str()));
        }
        let _ = writeln!(err, "{}\n", renderer.render(&[group]));
    }
}

/// 0 only where no `stop` stands.
pub(crate) fn exit_code(findings: &[Finding]) -> std::process::ExitCode {
    if findings.iter().any(|f| f.severity == Severity::Stop) {
        std::process::ExitCode::from(1)
    } else {
        std::process::ExitCode::SUCCESS
    }
}
