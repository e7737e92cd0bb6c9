//! Fault finding over the wire: the page of a craft, and what is said in its session.

use super::Shared;
use super::body::Sent;
use super::handlers::craft_id;
use crate::refusal::Refusal;
use crate::wire::mend::{MendSaid, MendView};
use axum::Json;
use axum::extract::{Path, State};

type Answer<T> = Result<Json<T>, Refusal>;

/// The page of a craft.
pub async fn mend(State(shared): State<Shared>, Path(id): Path<String>) -> Answer<MendView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.mend(&id)).await.map(Json)
}

/// Something is said in its session.
pub async fn say(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(said): Sent<MendSaid>,
) -> Answer<MendView> {
    let id = craft_id(id)?;
    shared.with(move |bench| bench.mend_say(&id, said)).await.map(Json)
}
