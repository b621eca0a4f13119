//! Addresses of the pages. Only this machine may ask, and only its own pages may change anything.

use super::session::Session;
use super::{more, solution};
use crate::terminal::Trouble;
use axum::body::Body;
use axum::extract::{DefaultBodyLimit, Path, Query, Request, State as Shared};
use axum::http::{StatusCode, header};
use axum::middleware::{Next, from_fn};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use serde::Deserialize;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tidewright_plan::pages;
use tidewright_report::{CSS, JS, State, Width, explain_page, page};
use tokio::sync::Semaphore;
use tokio::sync::mpsc::{Receiver, channel};
use tokio_stream::wrappers::ReceiverStream;
use tokio_stream::{StreamExt, once};

pub(super) type Bench = Arc<Mutex<Session>>;

/// A change of one field is a few hundred bytes; anything larger is no change.
const LARGEST_BODY: usize = 64 * 1024;

pub(super) fn router(bench: Bench) -> Router {
    Router::new()
        .route("/", get(front))
        .route("/explain/{name}", get(explain))
        .route("/workings", get(workings))
        .route("/program", get(program))
        .route("/program.ics", get(calendar))
        .route("/solution", get(solution::front))
        .route("/solution/salt", get(solution::salt))
        .route("/api/solution/edit", post(solution::edit))
        .route("/api/solution/save", post(solution::save))
        .route("/api/solution/state", post(solution::state))
        .route("/api/solution/report", post(solution::report))
        .route("/api/solution/water", post(solution::water))
        .route("/air", get(more::air))
        .route("/api/air/edit", post(more::edit_air))
        .route("/api/air/state", post(more::state_air))
        .route("/api/air/save", post(more::save_air))
        .route("/light", get(more::light))
        .route("/api/light/edit", post(more::edit_light))
        .route("/api/light/state", post(more::state_light))
        .route("/api/light/save", post(more::save_light))
        .route("/book", get(more::build_book))
        .route("/assets/{name}", get(asset))
        .route("/api/refine", get(|s: Shared<Bench>| answer(s, true, Seen::default(), |_| Ok(()))))
        .route("/api/edit", post(edit))
        .route(
            "/api/undo",
            post(|s: Shared<Bench>, Query(seen): Query<Seen>| {
                answer(s, false, seen, |b| {
                    b.undo();
                    Ok(())
                })
            }),
        )
        .route(
            "/api/redo",
            post(|s: Shared<Bench>, Query(seen): Query<Seen>| {
                answer(s, false, seen, |b| {
                    b.redo();
                    Ok(())
                })
            }),
        )
        .route("/api/save", post(|s: Shared<Bench>, Query(seen): Query<Seen>| answer(s, true, seen, Session::save)))
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(from_fn(only_this_machine))
        .with_state(bench)
}

/// Another site open in the same browser must not reach the bench: neither by a name that points
/// here, nor by a form that posts here.
async fn only_this_machine(request: Request, next: Next) -> Response {
    let headers = request.headers();
    let text = |key: &str| headers.get(key).map(|v| v.to_str().unwrap_or("?").to_owned());
    let host = text("host").unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host.as_str(), |(name, _)| name);
    let named_here = name == "127.0.0.1" || name == "localhost";
    // A page of another program on this machine has another port, so another origin.
    let own_origin = text("origin").is_none_or(|o| o == format!("http://{host}"));
    let own_site = text("sec-fetch-site").is_none_or(|s| s == "same-origin" || s == "none");
    if named_here && own_origin && own_site {
        let mut response = next.run(request).await;
        let policy = "default-src 'none'; style-src 'self' 'unsafe-inline'; script-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
        if let Ok(value) = policy.parse() {
            response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, value);
        }
        return response;
    }
    (StatusCode::FORBIDDEN, "only the pages of this bench may ask here").into_response()
}

/// A panic elsewhere must not lock the bench away: its text is whole after every change.
pub(super) fn lock(bench: &Bench) -> MutexGuard<'_, Session> {
    bench.lock().unwrap_or_else(PoisonError::into_inner)
}

/// An answer has two parts at most.
const PARTS: usize = 2;

/// So many benches are computed at once; more requests wait their turn.
static TURNS: Semaphore = Semaphore::const_new(2);

/// Computes a bench on a thread of its own and hands on what it says, part after part; the last part is the whole.
fn compute(bench: Bench, refined: bool, width: Option<Width>) -> Receiver<Result<State, Trouble>> {
    let (tell, told) = channel(PARTS);
    let work = move |_turn| {
        let snapshot = lock(&bench).snapshot(refined);
        let whole = match snapshot {
            Some(snapshot) => {
                let first = |state| width.is_none() || tell.blocking_send(Ok(state)).is_ok();
                snapshot.state(width.unwrap_or_default(), first).map(Ok)
            }
            None => Some(Err(Trouble("the bench file has faults and no drawing yet".into()))),
        };
        // Who asked may have gone.
        whole.map(|w| tell.blocking_send(w).is_ok())
    };
    tokio::spawn(async move {
        if let Ok(turn) = TURNS.acquire().await {
            tokio::task::spawn_blocking(move || work(turn));
        }
    });
    told
}

/// The next part of an answer.
async fn next(told: &mut Receiver<Result<State, Trouble>>) -> Result<State, Trouble> {
    told.recv().await.unwrap_or_else(|| Err(Trouble("the computation broke off".into())))
}

/// Which drawings somebody looks at.
#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Seen {
    #[serde(default)]
    width: Width,
}

/// What the eye is on, then the whole page; where refined, the whole page alone. A sequence of JSON texts after
/// RFC 7464, each sent once it is known.
async fn answer(
    Shared(bench): Shared<Bench>,
    refined: bool,
    seen: Seen,
    change: impl FnOnce(&mut Session) -> Result<(), Trouble>,
) -> Response {
    if let Err(t) = change(&mut lock(&bench)) {
        return refused(&t);
    }
    let mut told = compute(bench, refined, Some(seen.width));
    let first = match next(&mut told).await {
        Ok(state) => state,
        Err(t) => return refused(&t),
    };
    let states = once(first).chain(ReceiverStream::new(told).filter_map(Result::ok));
    let kind = [(header::CONTENT_TYPE, "application/json-seq")];
    (kind, Body::from_stream(states.map(|state| record(&state)))).into_response()
}

/// One text of a JSON sequence.
fn record(state: &State) -> serde_json::Result<Vec<u8>> {
    let mut out = vec![0x1e];
    serde_json::to_writer(&mut out, state)?;
    out.push(b'\n');
    Ok(out)
}

pub(super) fn refused(t: &Trouble) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, Json(serde_json::json!({ "trouble": t.0 }))).into_response()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Edit {
    path: String,
    value: String,
}

async fn edit(bench: Shared<Bench>, Query(seen): Query<Seen>, Json(edit): Json<Edit>) -> Response {
    answer(bench, false, seen, |b| b.edit(&edit.path, &edit.value)).await
}

async fn front(Shared(bench): Shared<Bench>) -> Response {
    match next(&mut compute(bench, false, None)).await {
        Ok(state) => Html(with_linked_script(&page(&state))).into_response(),
        Err(t) => refused(&t),
    }
}

/// The page carries its script inside, so that it works as a file; served, the script comes from
/// its own address and the policy can forbid any other.
fn with_linked_script(html: &str) -> String {
    html.replace(JS, "").replacen("<script></script>", "<script src=\"/assets/page.js\"></script>", 1)
}

async fn workings(Shared(bench): Shared<Bench>) -> Response {
    let Some(snapshot) = lock(&bench).snapshot(true) else {
        return refused(&Trouble("the bench file has faults and no drawing yet".into()));
    };
    let _turn = TURNS.acquire().await;
    match tokio::task::spawn_blocking(move || snapshot.workings()).await {
        Ok(html) => Html(html).into_response(),
        Err(e) => refused(&Trouble(e.to_string())),
    }
}

/// What is asked of a timer program; texts, so that a wrong one is answered in plain words.
#[derive(Deserialize)]
struct Asked {
    tray: Option<String>,
    first: Option<String>,
}

/// A tray counted from 1, as in an address.
fn tray_of(asked: &Asked) -> Result<usize, Trouble> {
    let text = asked.tray.as_deref().unwrap_or("1");
    text.parse::<usize>()
        .ok()
        .and_then(|t| t.checked_sub(1))
        .ok_or_else(|| Trouble(format!("\"{text}\" is no tray: they count from 1")))
}

async fn with_program(
    bench: Bench,
    go: impl FnOnce(super::session::Snapshot) -> Result<Response, Trouble> + Send + 'static,
) -> Response {
    let Some(snapshot) = lock(&bench).snapshot(true) else {
        return refused(&Trouble("the bench file has faults and no drawing yet".into()));
    };
    let _turn = TURNS.acquire().await;
    match tokio::task::spawn_blocking(move || go(snapshot)).await {
        Ok(Ok(response)) => response,
        Ok(Err(trouble)) => refused(&trouble),
        Err(e) => refused(&Trouble(e.to_string())),
    }
}

async fn program(Shared(bench): Shared<Bench>, Query(asked): Query<Asked>) -> Response {
    with_program(bench, move |s| Ok(Html(s.program(tray_of(&asked)?)?).into_response())).await
}

async fn calendar(Shared(bench): Shared<Bench>, Query(asked): Query<Asked>) -> Response {
    with_program(bench, move |s| {
        let text = asked.first.as_deref().unwrap_or_default();
        let first = tidewright_report::calendar::day(text)
            .ok_or_else(|| Trouble(format!("\"{text}\" is no day; write year, month and day, as in 2026-03-01")))?;
        let kind = [
            (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
            (header::CONTENT_DISPOSITION, "attachment; filename=\"timer-program.ics\""),
        ];
        Ok((kind, s.calendar(tray_of(&asked)?, first)?).into_response())
    })
    .await
}

async fn explain(Path(name): Path<String>) -> Response {
    match pages::page(&name) {
        Some(p) => Html(explain_page(p.name, p.title, p.text)).into_response(),
        None => (StatusCode::NOT_FOUND, "there is no such finding").into_response(),
    }
}

async fn asset(Path(name): Path<String>) -> Response {
    let (kind, body) = match name.as_str() {
        "page.js" => ("text/javascript; charset=utf-8", JS),
        "solution.js" => ("text/javascript; charset=utf-8", tidewright_report::solution::page::SOLUTION_JS),
        "page.css" => ("text/css; charset=utf-8", CSS),
        _ => return (StatusCode::NOT_FOUND, "there is no such file").into_response(),
    };
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "no-cache")], body).into_response()
}
