//! Addresses of the solution's page: it edits the bench file, and keeps water reports in the parts file beside it.

use super::routes::{Bench, lock, refused};
use super::session::{Session, Snapshot};
use crate::commands::salt::text as salt_text;
use crate::terminal::Trouble;
use axum::Json;
use axum::extract::State as Shared;
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use serde::Deserialize;
use std::collections::BTreeMap;
use tidewright_plan::solution::acid;
use tidewright_plan::solution::crust::{Ask, salted};
use tidewright_plan::solution::outlook::{glance, outlook};
use tidewright_report::solution::bars::profiles;
use tidewright_report::solution::page::{Shown, at_once, balance, page, part, salt_page};
use tidewright_rig::parts::Library;
use tidewright_rig::solution::Water;
use tidewright_rig::solution::keep::Typed;

/// How much of the page is wanted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wanted {
    /// All of it.
    Page,
    /// All below the head.
    Part,
    /// What an edit changes at once; the weeks follow when the hand rests.
    AtOnce,
}

fn drawn(s: &Snapshot, wanted: Wanted) -> String {
    let looked = if wanted == Wanted::AtOnce { glance(s.rig()) } else { outlook(s.rig()) };
    let (findings, looked) = tidewright_plan::judge_solution(s.rig(), looked);
    let shown = Shown {
        rig: s.rig(),
        library: s.library(),
        outlook: &looked,
        findings: &findings,
        faults: s.faults(),
        saved: s.is_saved(),
    };
    match wanted {
        Wanted::Page => page(&shown),
        Wanted::Part => part(&shown).into_string(),
        Wanted::AtOnce => at_once(&shown).into_string(),
    }
}

async fn answer(bench: Bench, wanted: Wanted) -> Response {
    let Some(snapshot) = lock(&bench).snapshot(false) else {
        return refused(&Trouble("the bench file has faults and no drawing yet".into()));
    };
    match tokio::task::spawn_blocking(move || drawn(&snapshot, wanted)).await {
        Ok(html) => Html(html).into_response(),
        Err(e) => refused(&Trouble(e.to_string())),
    }
}

pub(super) async fn front(Shared(bench): Shared<Bench>) -> Response {
    answer(bench, Wanted::Page).await
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Edit {
    pub(super) path: String,
    pub(super) value: String,
}

pub(super) async fn edit(Shared(bench): Shared<Bench>, Json(edit): Json<Edit>) -> Response {
    if let Err(t) = lock(&bench).edit(&edit.path, &edit.value) {
        return refused(&t);
    }
    answer(bench, Wanted::AtOnce).await
}

pub(super) async fn state(Shared(bench): Shared<Bench>) -> Response {
    answer(bench, Wanted::Part).await
}

pub(super) async fn save(Shared(bench): Shared<Bench>) -> Response {
    if let Err(t) = lock(&bench).save() {
        return refused(&t);
    }
    answer(bench, Wanted::Part).await
}

/// A water report as the form has it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Report {
    name: String,
    ph: String,
    ions: BTreeMap<String, String>,
}

impl Report {
    fn typed(self) -> Typed {
        Typed { name: self.name, ph: self.ph, ions: self.ions }
    }
}

/// The water that a typed report is.
fn water_of(typed: &Typed) -> Result<Water, Trouble> {
    let mut library = Library::default();
    library.add("report", &typed.as_part().map_err(Trouble)?).map_err(|f| Trouble(plain(&f.sentence)))?;
    library.waters().first().cloned().ok_or_else(|| Trouble("the report does not read".into()))
}

/// A fault of a row without the names of file and row, which the form does not show.
fn plain(sentence: &str) -> String {
    let rest = sentence.split_once("\": ").map_or(sentence, |(_, rest)| rest);
    let mut c = rest.chars();
    c.next().map_or_else(String::new, |f| f.to_uppercase().chain(c).collect())
}

/// What a report would look like, nothing kept.
pub(super) async fn report(Shared(bench): Shared<Bench>, Json(report): Json<Report>) -> Response {
    let Some(t) = lock(&bench).snapshot(false).map(|s| s.rig().site.water_temperature.get()) else {
        return refused(&Trouble("the bench file has faults and no drawing yet".into()));
    };
    let name = if report.name.trim().is_empty() { "water".into() } else { report.name.clone() };
    match water_of(&Report { name, ..report }.typed()) {
        Ok(water) => {
            let source = acid::source(&water, t).ok();
            Html(balance(&water, source.as_ref()).into_string()).into_response()
        }
        Err(t) => refused(&t),
    }
}

/// Keeps a report as a water of this bench.
pub(super) async fn water(Shared(bench): Shared<Bench>, Json(report): Json<Report>) -> Response {
    let typed = report.typed();
    let kept = water_of(&typed).and_then(|w| lock(&bench).keep_water(&w.id, &typed));
    match kept {
        Ok(()) => answer(bench, Wanted::Part).await,
        Err(t) => refused(&t),
    }
}

pub(super) async fn salt(Shared(bench): Shared<Bench>) -> Response {
    let Some(snapshot) = lock(&bench).snapshot(false) else {
        return refused(&Trouble("the bench file has faults and no drawing yet".into()));
    };
    let go = move || {
        let ask = Ask { days: 42, leach_m: 0.03, every: 14 };
        let all = salted(snapshot.rig(), &ask)?;
        let trays: Vec<(String, String)> =
            all.iter().map(|s| (profiles(&s.plain, s.ec_ms_cm), salt_text(std::slice::from_ref(s), &ask))).collect();
        Ok::<String, String>(salt_page(snapshot.rig(), &trays))
    };
    match tokio::task::spawn_blocking(go).await {
        Ok(Ok(html)) => Html(html).into_response(),
        Ok(Err(why)) => refused(&Trouble(why)),
        Err(e) => (StatusCode::INTERNAL_SERVER_ERROR, e.to_string()).into_response(),
    }
}

impl Session {
    /// Writes a water into the parts file beside the bench file, and makes it the bench's.
    ///
    /// # Errors
    /// Where the parts file does not read or the disk refuses; nothing is changed then.
    fn keep_water(&mut self, id: &str, typed: &Typed) -> Result<(), Trouble> {
        let path = self.parts_path();
        let old = if path.is_file() {
            String::from_utf8(crate::store::load(&path)?).map_err(|_| crate::store::no_text(&path))?
        } else {
            String::new()
        };
        let text = typed.put_into(&old).map_err(|why| Trouble(format!("{}: {why}", path.display())))?;
        self.add_parts(&path.display().to_string(), &text)?;
        crate::store::save(&path, &text)?;
        self.edit("solution.water", id)
    }
}
