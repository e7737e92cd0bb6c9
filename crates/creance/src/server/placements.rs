//! Placements over the wire: a search, how far it is, ending it, and taking what it found as one step.

use super::Shared;
use super::body::Sent;
use super::handlers::craft_id;
use crate::placing::{Also, question};
use crate::refusal::{Cause, Refusal};
use crate::wire::bench::BenchView;
use crate::wire::placed::{PlaceAsked, PlacementTaken, SearchView};
use axum::Json;
use axum::extract::{Path, State};

type Answer<T> = Result<Json<T>, Refusal>;

/// Begins a search of the craft as it stands; one that takes a moment only is answered with what it found.
pub async fn begin(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(asked): Sent<PlaceAsked>,
) -> Answer<SearchView> {
    let (id, question) = (craft_id(id)?, question(&asked.only, asked.best as usize)?);
    let (craft, outlines) = shared.with(move |bench| bench.for_search(&id)).await?;
    shared.searches.begin(craft, question, outlines)?.view().await.map(Json)
}

/// How far a search is.
pub async fn how_far(
    State(shared): State<Shared>,
    Path((id, search)): Path<(String, String)>,
) -> Answer<SearchView> {
    shared.searches.of(&craft_id(id)?, number(&search)?)?.view().await.map(Json)
}

/// Ends a search and answers with what it found so far.
pub async fn end(
    State(shared): State<Shared>,
    Path((id, search)): Path<(String, String)>,
) -> Answer<SearchView> {
    shared.searches.of(&craft_id(id)?, number(&search)?)?.stopped().await.map(Json)
}

/// Takes a placement as one step and answers with the proof as it then stands.
pub async fn take(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    Sent(taken): Sent<PlacementTaken>,
) -> Answer<BenchView> {
    let id = craft_id(id)?;
    let search = shared.searches.of(&id, taken.search)?;
    let step = search.step(taken.number, Also::of(taken.swap, taken.mend))?;
    shared.with(move |bench| bench.take_placement(&search.craft, &step)).await.map(Json)
}

fn number(text: &str) -> Result<u32, Refusal> {
    text.parse().map_err(|_| Refusal::new(Cause::NoSuch, format!("there is no search {text:?}")))
}
