//! The radio link over the wire: `/api/craft/ID/link/budget?distance=300&height=10&bank=30`, answered for the pose that is asked.

use super::handlers::craft_id;
use super::{Shared, guard};
use crate::link_asked::LinkWish;
use crate::refusal::{Cause, PLAIN_NUMBERS, Refusal};
use crate::wire::link::{LinkPage, LinkShow, LinkView, no_such};
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};

/// One picture of the link of a craft, with its words and figures.
pub async fn link(
    State(shared): State<Shared>,
    Path((id, word)): Path<(String, String)>,
    wish: Result<Query<LinkWish>, QueryRejection>,
    page: Result<Query<LinkPage>, QueryRejection>,
) -> Result<Json<LinkView>, Refusal> {
    let id = craft_id(id)?;
    let show = LinkShow::from_word(&word).ok_or_else(|| no_such(&word))?;
    let misread = |cause: QueryRejection| Refusal::new(Cause::Misread, cause.body_text()).hint(PLAIN_NUMBERS);
    let (Query(wish), Query(page)) = (wish.map_err(misread)?, page.map_err(misread)?);
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    // A sweep takes some tens of milliseconds: not on a thread that answers others.
    let made = tokio::task::spawn_blocking(move || LinkView::new(&judged, show, &wish, &page)).await;
    made.map_err(|_| guard::ours())?.map(Json)
}
