//! Addresses of the pages on air and heat, light and stand, and of the build book.

use super::routes::{Bench, lock, refused};
use super::session::{Session, Snapshot};
use super::solution::Edit;
use crate::commands::book::evidence;
use crate::terminal::Trouble;
use axum::Json;
use axum::extract::{Query, State as Shared};
use axum::response::{Html, IntoResponse, Response};
use serde::Deserialize;
use tidewright_plan::{Survey, advice, judge, judge_air, judge_some, rules};
use tidewright_report::Advice;
use tidewright_report::book::{Contents, Sheet, book};
use tidewright_report::more_pages::{Shown, air_page, air_part, light_page, light_part};
use tidewright_sim::band::USUAL_RUNS;

/// Enough runs for rules that look at no band.
const NO_BANDS: usize = 2;

/// Which page.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Air,
    Light,
}

fn drawn(s: &Snapshot, which: Which, all: bool) -> String {
    let rig = advice::settle_crests(s.rig()).0;
    match which {
        Which::Air => {
            let (findings, climate) = judge_air(&rig, s.water(&rig));
            let shown = Shown { rig: &rig, findings: &findings, faults: s.faults(), saved: s.is_saved() };
            if all { air_page(&shown, climate.as_ref()) } else { air_part(&shown, climate.as_ref()).into_string() }
        }
        Which::Light => {
            let findings = judge_some(&Survey::of(&rig, NO_BANDS), rules::FRAME);
            let shown = Shown { rig: &rig, findings: &findings, faults: s.faults(), saved: s.is_saved() };
            if all { light_page(&shown) } else { light_part(&shown).into_string() }
        }
    }
}

async fn answer(bench: Bench, which: Which, all: bool) -> Response {
    with(bench, move |s| drawn(&s, which, all)).await
}

async fn with(bench: Bench, go: impl FnOnce(Snapshot) -> String + Send + 'static) -> Response {
    let Some(snapshot) = lock(&bench).snapshot(false) else {
        return refused(&Trouble("the bench file has faults and no drawing yet".into()));
    };
    match tokio::task::spawn_blocking(move || go(snapshot)).await {
        Ok(html) => Html(html).into_response(),
        Err(e) => refused(&Trouble(e.to_string())),
    }
}

pub(super) async fn air(Shared(bench): Shared<Bench>) -> Response {
    answer(bench, Which::Air, true).await
}

pub(super) async fn light(Shared(bench): Shared<Bench>) -> Response {
    answer(bench, Which::Light, true).await
}

async fn changed(bench: Bench, which: Which, change: impl FnOnce(&mut Session) -> Result<(), Trouble>) -> Response {
    if let Err(t) = change(&mut lock(&bench)) {
        return refused(&t);
    }
    answer(bench, which, false).await
}

pub(super) async fn edit_air(Shared(bench): Shared<Bench>, Json(e): Json<Edit>) -> Response {
    changed(bench, Which::Air, |s| s.edit(&e.path, &e.value)).await
}

pub(super) async fn edit_light(Shared(bench): Shared<Bench>, Json(e): Json<Edit>) -> Response {
    changed(bench, Which::Light, |s| s.edit(&e.path, &e.value)).await
}

pub(super) async fn state_air(Shared(bench): Shared<Bench>) -> Response {
    answer(bench, Which::Air, false).await
}

pub(super) async fn state_light(Shared(bench): Shared<Bench>) -> Response {
    answer(bench, Which::Light, false).await
}

pub(super) async fn save_air(Shared(bench): Shared<Bench>) -> Response {
    changed(bench, Which::Air, Session::save).await
}

pub(super) async fn save_light(Shared(bench): Shared<Bench>) -> Response {
    changed(bench, Which::Light, Session::save).await
}

/// What is asked of the book.
#[derive(Deserialize)]
pub(super) struct Asked {
    paper: Option<String>,
}

pub(super) async fn build_book(Shared(bench): Shared<Bench>, Query(asked): Query<Asked>) -> Response {
    let sheet = match asked.paper.as_deref().unwrap_or("a4").to_ascii_lowercase().as_str() {
        "a4" => Sheet::A4,
        "letter" => Sheet::Letter,
        other => return refused(&Trouble(format!("\"{other}\" is no paper: a4 or letter"))),
    };
    with(bench, move |s| {
        let survey = Survey::with_crop(&advice::settle_crests(s.rig()).0, USUAL_RUNS);
        book(&Contents {
            survey: &survey,
            findings: &judge(&survey),
            advice: &Advice::of(&survey),
            evidence: evidence(),
            sheet,
            preview: true,
        })
    })
    .await
}
