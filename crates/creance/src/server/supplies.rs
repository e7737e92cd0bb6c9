//! The supply over the wire: `/api/craft/ID/supply/punch?charge=30&temperature=5&level=25`, answered for what is asked.

use super::handlers::craft_id;
use super::{Shared, guard};
use crate::refusal::{Cause, PLAIN_NUMBERS, Refusal};
use crate::supply_asked::SupplyWish;
use crate::wire::link::LinkPage;
use crate::wire::supply::{SupplyShow, SupplyView, no_such};
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};

/// One picture of the supply of a craft, with its words.
pub async fn supply(
    State(shared): State<Shared>,
    Path((id, word)): Path<(String, String)>,
    wish: Result<Query<SupplyWish>, QueryRejection>,
    page: Result<Query<LinkPage>, QueryRejection>,
) -> Result<Json<SupplyView>, Refusal> {
    let id = craft_id(id)?;
    let show = SupplyShow::from_word(&word).ok_or_else(|| no_such(&word))?;
    let misread = |cause: QueryRejection| Refusal::new(Cause::Misread, cause.body_text()).hint(PLAIN_NUMBERS);
    let (Query(wish), Query(page)) = (wish.map_err(misread)?, page.map_err(misread)?);
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    // Flights drawn over all doubts take some tens of milliseconds: not on a thread that answers others.
    let made = tokio::task::spawn_blocking(move || SupplyView::new(&judged, show, &wish, &page)).await;
    made.map_err(|_| guard::ours())?.map(Json)
}
