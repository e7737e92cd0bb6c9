//! Routes of the journal, of care and of loading: parse, call, answer.

use super::Shared;
use super::body::Sent;
use super::handlers::craft_id;
use crate::refusal::{Cause, Refusal};
use crate::wire::care::{CareView, CounterSent, TickedSent};
use crate::wire::fleet::Made;
use crate::wire::journal::{EntrySent, JournalAsked, JournalView, KeptView, LineSent, StandSent};
use crate::wire::load::{
    GoOnSent, ImageSent, LoadView, PlanSent, PlanView, RecipeSent, ReportSent, SearchSent, SetSent, UnitSent,
    WritingView,
};
use crate::wire::spares::{SparesAsked, SparesView};
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::IntoResponse;
use workshop::Drawer;

type Answer<T> = Result<Json<T>, Refusal>;
type Asked = Result<Query<JournalAsked>, QueryRejection>;
type SparesQuery = Result<Query<SparesAsked>, QueryRejection>;

fn asked(query: Asked) -> Result<JournalAsked, Refusal> {
    query.map(|Query(asked)| asked).map_err(|cause| Refusal::new(Cause::Misread, cause.body_text()))
}

/// The journal.
pub async fn entries(State(shared): State<Shared>, query: Asked) -> Answer<JournalView> {
    let asked = asked(query)?;
    shared.with(move |bench| bench.journal_view(&asked)).await.map(Json)
}

/// The journal as a file: `journal.csv` or `journal.html`.
pub async fn file(
    State(shared): State<Shared>,
    Path(name): Path<String>,
    query: Asked,
) -> Result<impl IntoResponse, Refusal> {
    let asked = asked(query)?;
    let (kind, text) = match name.as_str() {
        "journal.csv" => {
            ("text/csv; charset=utf-8", shared.with(move |bench| bench.journal_table(&asked)).await?)
        }
        "journal.html" => {
            ("text/html; charset=utf-8", shared.with(move |bench| bench.journal_page(&asked)).await?)
        }
        _ => {
            return Err(Refusal::new(
                Cause::NoSuch,
                format!("there is no {name:?}; there are journal.csv and journal.html"),
            ));
        }
    };
    Ok((
        [(CONTENT_TYPE, kind.to_owned()), (CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\""))],
        text,
    ))
}

/// Puts an entry in.
pub async fn enter(State(shared): State<Shared>, Sent(sent): Sent<EntrySent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.enter(sent)).await.map(Json)
}

/// Takes back what a line kept.
pub async fn take_back(State(shared): State<Shared>, Sent(sent): Sent<LineSent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.take_back(sent.line)).await?;
    Ok(Json(KeptView { line: None, ids: Vec::new(), mind: Vec::new() }))
}

/// Takes something out of a drawer.
pub async fn take_out(
    State(shared): State<Shared>,
    Path((drawer, id)): Path<(String, String)>,
) -> Answer<KeptView> {
    let drawer = match drawer.as_str() {
        "unit" => Drawer::Unit,
        "image" => Drawer::Image,
        "set" => Drawer::MatchingSet,
        "recipe" => Drawer::Recipe,
        "batch" => Drawer::Batch,
        "counter" => Drawer::Counter,
        "entry" => Drawer::Entry,
        other => return Err(Refusal::new(Cause::NoSuch, format!("nothing is kept under {other:?}"))),
    };
    shared.with(move |bench| bench.take_out(drawer, &id)).await.map(Json)
}

/// How a craft is cared for.
pub async fn care(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<CareView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.care_view(&id)).await.map(Json)
}

/// Puts a ticked list in the journal.
pub async fn ticked(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<TickedSent>,
) -> Answer<KeptView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.ticked(&id, &sent)).await.map(Json)
}

/// Sets a counter of a craft.
pub async fn counter(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<CounterSent>,
) -> Answer<KeptView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.set_counter(&id, sent)).await.map(Json)
}

/// Units, images, recipes, batches.
pub async fn load(State(shared): State<Shared>) -> Answer<LoadView> {
    shared.with(|bench| bench.load_view()).await.map(Json)
}

/// Describes a unit.
pub async fn unit(State(shared): State<Shared>, Sent(sent): Sent<UnitSent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.describe_unit(sent)).await.map(Json)
}

/// Takes an image in.
pub async fn image(State(shared): State<Shared>, Sent(sent): Sent<ImageSent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.take_image(sent)).await.map(Json)
}

/// Lists versions that go together.
pub async fn set(State(shared): State<Shared>, Sent(sent): Sent<SetSent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.list_set(sent)).await.map(Json)
}

/// Takes a recipe in.
pub async fn recipe(State(shared): State<Shared>, Sent(sent): Sent<RecipeSent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.take_recipe(&sent)).await.map(Json)
}

/// Plans a batch.
pub async fn plan(State(shared): State<Shared>, Sent(sent): Sent<PlanSent>) -> Answer<PlanView> {
    shared.with(move |bench| bench.plan_view(&sent)).await.map(Json)
}

/// Begins a batch.
pub async fn begin(State(shared): State<Shared>, Sent(sent): Sent<PlanSent>) -> Answer<KeptView> {
    shared.with(move |bench| bench.begin_batch(&sent)).await.map(Json)
}

/// Begins to write the next card of a batch.
pub async fn write(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<WritingView> {
    let begun = move || shared.writing.begin(&shared.bench, &id);
    tokio::task::spawn_blocking(begun).await.map_err(|_| super::guard::ours())?.map(Json)
}

/// How far the writing is.
pub async fn writing(State(shared): State<Shared>) -> Answer<WritingView> {
    Ok(Json(shared.writing.view()))
}

/// Stops it.
pub async fn stop(State(shared): State<Shared>) -> Answer<WritingView> {
    shared.writing.stop();
    Ok(Json(shared.writing.view()))
}

/// Looks at the card again.
pub async fn look(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<KeptView> {
    shared.with(move |bench| bench.look_again(&id)).await.map(Json)
}

/// What a unit reports.
pub async fn report(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<ReportSent>,
) -> Answer<KeptView> {
    shared.with(move |bench| bench.reported(&id, &sent)).await.map(Json)
}

/// Begins the search for the fault of an odd unit.
pub async fn search(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<SearchSent>,
) -> Answer<Made> {
    let craft = shared.with(move |bench| bench.mend_odd(&id, sent.craft.as_deref())).await?;
    Ok(Json(Made { id: craft.to_string() }))
}

/// Takes an entry back, or lets it stand again.
pub async fn stand(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<StandSent>,
) -> Answer<KeptView> {
    shared.with(move |bench| bench.let_stand(&id, sent.stands)).await.map(Json)
}

/// How many of each part to carry.
pub async fn spares(State(shared): State<Shared>, query: SparesQuery) -> Answer<SparesView> {
    let Query(asked) = query.map_err(|cause| Refusal::new(Cause::Misread, cause.body_text()))?;
    shared.with(move |bench| bench.spares_view(&asked)).await.map(Json)
}

/// Goes on after an odd unit.
pub async fn go_on(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<GoOnSent>,
) -> Answer<KeptView> {
    shared.with(move |bench| bench.go_on(&id, &sent)).await.map(Json)
}
