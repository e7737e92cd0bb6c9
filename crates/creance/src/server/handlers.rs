//! What the routes do: parse, call, answer.

use super::body::{Sent, SheetText};
use super::drawings::{DrawingAsked, DrawingWanted};
use super::{Shared, guard};
use crate::manual;
use crate::refusal::{Cause, Refusal};
use crate::wire::asked::{BackupAsked, CraftAsked, NameAsked, PartAsked};
use crate::wire::bench::{BenchView, SizeView};
use crate::wire::edit::EditSent;
use crate::wire::fleet::{BackupView, FleetView, Health, JournalLine, Made};
use crate::wire::lead::{self, LeadView};
use crate::wire::manual::ManualView;
use crate::wire::part::PartView;
use crate::wire::schema::{SchemaView, schema};
use crate::wire::tilt::{TiltView, tilts};
use crate::wire::wiring::WiringView;
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::IntoResponse;
use craft::{CraftId, PartId};

type Answer<T> = Result<Json<T>, Refusal>;

/// What runs.
pub async fn health() -> Json<Health> {
    Json(Health { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") })
}

/// What every part, place and craft may carry.
pub async fn the_schema() -> Json<SchemaView> {
    Json(schema())
}

/// The manual.
pub async fn the_manual() -> Answer<&'static ManualView> {
    tokio::task::spawn_blocking(manual::manual).await.map(Json).map_err(|_| guard::ours())
}

/// Every craft at a glance.
pub async fn fleet(State(shared): State<Shared>) -> Answer<FleetView> {
    shared.with(|bench| bench.fleet()).await.map(Json)
}

/// Begins a craft.
pub async fn new_craft(State(shared): State<Shared>, Sent(asked): Sent<CraftAsked>) -> Answer<Made> {
    let id = shared.with(move |bench| bench.new_craft(&asked.name, asked.class.as_deref())).await?;
    Ok(Json(Made { id: id.to_string() }))
}

/// One craft with its proof.
pub async fn craft(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<BenchView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.view(&id)).await.map(Json)
}

/// How much there is to prove of a craft, which is told at once.
pub async fn size(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<SizeView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.size(&id)).await.map(Json)
}

/// Removes a craft.
pub async fn remove_craft(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<Made> {
    let id = craft_id(id)?;
    let made = Made { id: id.to_string() };
    shared.with(move |bench| bench.remove(&id)).await?;
    Ok(Json(made))
}

/// Copies a craft.
pub async fn duplicate_craft(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(asked): Sent<NameAsked>,
) -> Answer<Made> {
    let id = craft_id(id)?;
    let copy = shared.with(move |bench| bench.duplicate(&id, &asked.name)).await?;
    Ok(Json(Made { id: copy.to_string() }))
}

/// Changes a craft and answers with the proof as it then stands.
pub async fn edit_craft(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<EditSent>,
) -> Answer<BenchView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.edit(&id, &sent.edit)).await.map(Json)
}

/// Takes the last change of a craft back.
pub async fn undo_craft(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<BenchView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.undo(&id)).await.map(Json)
}

/// Makes the change again that was last taken back.
pub async fn redo_craft(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<BenchView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.redo(&id)).await.map(Json)
}

/// What happened to a craft.
pub async fn journal(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<Vec<JournalLine>> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.journal(&id)).await.map(Json)
}

/// A craft as a sheet, to be kept as a file.
pub async fn sheet(
    State(shared): State<Shared>,
    Path(id): Path<String>,
) -> Result<impl IntoResponse, Refusal> {
    let id = craft_id(id)?;
    let name = format!("attachment; filename=\"{id}.toml\"");
    let text = shared.with(move |bench| bench.sheet(&id)).await?;
    Ok(([(CONTENT_TYPE, "text/plain; charset=utf-8".to_owned()), (CONTENT_DISPOSITION, name)], text))
}

/// A drawing of a craft: `card.pdf`, or one page of it: `card.svg`, `card-2.png`.
pub async fn draw(
    State(shared): State<Shared>,
    Path((id, file)): Path<(String, String)>,
    asked: Result<Query<DrawingAsked>, QueryRejection>,
) -> Result<impl IntoResponse, Refusal> {
    let id = craft_id(id)?;
    let wanted = DrawingWanted::read(&file)?;
    let Query(asked) = asked.map_err(|cause| Refusal::new(Cause::Misread, cause.body_text()))?;
    let tried = asked.tried();
    let (judged, drawer) =
        shared.with(move |bench| Ok((bench.judged_tilted(&id, &tried)?, bench.lens_drawer(&id)?))).await?;
    // Laying out and filling in take a moment: not on a thread that answers others.
    let made = tokio::task::spawn_blocking(move || wanted.made(&judged, &asked, drawer)).await;
    let (format, name, contents) = made.map_err(|_| guard::ours())??;
    let name = format!("inline; filename=\"{name}\"");
    Ok(([(CONTENT_TYPE, format.content_type().to_owned()), (CONTENT_DISPOSITION, name)], contents))
}

/// How far the cameras of a craft can be tilted.
pub async fn tilt(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<Vec<TiltView>> {
    let id = craft_id(id)?;
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    Ok(Json(tilts(&judged)))
}

/// How the leads of a craft lie.
pub async fn leads(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<Vec<LeadView>> {
    let id = craft_id(id)?;
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    Ok(Json(lead::leads(&judged)))
}

/// Pads, wires, what is at fault with them, and the lists for the bench.
pub async fn wiring(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<WiringView> {
    let id = craft_id(id)?;
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    // Finding the order with the fewest crossings takes a moment: not on a thread that answers others.
    let made = tokio::task::spawn_blocking(move || WiringView::new(&judged)).await;
    made.map(Json).map_err(|_| guard::ours())
}

/// The solder list as rows of text.
pub async fn solder_list(
    State(shared): State<Shared>,
    Path(id): Path<String>,
) -> Result<impl IntoResponse, Refusal> {
    let id = craft_id(id)?;
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    let rows = judged.proved.wiring.as_deref().map_or_else(Vec::new, proof::wiring::WiringModel::solder_list);
    let name = format!("attachment; filename=\"{}-solder.csv\"", judged.craft.id);
    let head = [(CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()), (CONTENT_DISPOSITION, name)];
    let beside = proof::wiring::beside_the_wires(&proof::Proof::new(&judged.craft));
    Ok((head, proof::wiring::solder_csv(&rows, &beside)))
}

/// Takes a craft in from a sheet.
pub async fn import(State(shared): State<Shared>, SheetText(text): SheetText) -> Answer<Made> {
    let id = shared.with(move |bench| bench.import(&text)).await?;
    Ok(Json(Made { id: id.to_string() }))
}

/// Every part of the store.
pub async fn parts(State(shared): State<Shared>) -> Answer<Vec<PartView>> {
    shared.with(|bench| bench.part_views()).await.map(Json)
}

/// Adds a part.
pub async fn new_part(State(shared): State<Shared>, Sent(asked): Sent<PartAsked>) -> Answer<PartView> {
    shared.with(move |bench| bench.new_part(&asked.kind, &asked.name)).await.map(Json)
}

/// One part of the store.
pub async fn part(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<PartView> {
    let id = part_id(id)?;
    shared.with(move |bench| bench.part_view(&id)).await.map(Json)
}

/// Removes a part that no craft uses.
pub async fn remove_part(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<Made> {
    let id = part_id(id)?;
    let made = Made { id: id.to_string() };
    shared.with(move |bench| bench.remove_part(&id)).await?;
    Ok(Json(made))
}

/// Changes a part, for every craft that uses it.
pub async fn edit_part(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(sent): Sent<EditSent>,
) -> Answer<PartView> {
    let id = part_id(id)?;
    shared.with(move |bench| bench.edit_part(&id, &sent.edit)).await.map(Json)
}

/// Takes back the last change of a part made on the page of parts.
pub async fn undo_part(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<PartView> {
    let id = part_id(id)?;
    shared.with(move |bench| bench.undo_part(&id)).await.map(Json)
}

/// Makes the change of a part again that was last taken back.
pub async fn redo_part(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<PartView> {
    let id = part_id(id)?;
    shared.with(move |bench| bench.redo_part(&id)).await.map(Json)
}

/// Copies a part.
pub async fn duplicate_part(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(asked): Sent<NameAsked>,
) -> Answer<PartView> {
    let id = part_id(id)?;
    shared.with(move |bench| bench.duplicate_part(&id, &asked.name)).await.map(Json)
}

/// Puts the demo in.
pub async fn load_demo(State(shared): State<Shared>) -> Answer<FleetView> {
    shared.with(|bench| bench.load_demo()).await.map(Json)
}

/// Takes the demo out.
pub async fn remove_demo(State(shared): State<Shared>) -> Answer<FleetView> {
    shared.with(|bench| bench.remove_demo()).await.map(Json)
}

/// Writes a backup beside the workshop.
pub async fn backup(State(shared): State<Shared>, Sent(asked): Sent<BackupAsked>) -> Answer<BackupView> {
    shared.with(move |bench| bench.backup(asked.name.as_deref())).await.map(Json)
}

pub(super) fn craft_id(text: String) -> Result<CraftId, Refusal> {
    CraftId::new(text).map_err(|fault| Refusal::new(Cause::NoSuch, format!("no craft: {fault}")))
}

fn part_id(text: String) -> Result<PartId, Refusal> {
    PartId::new(text).map_err(|fault| Refusal::new(Cause::NoSuch, format!("no part: {fault}")))
}
