//! What each lens sees, over the wire: `/api/craft/ID/view`, and with `?tilt=30` what it would see so tilted.

use super::handlers::craft_id;
use super::{Shared, guard};
use crate::refusal::{Cause, Refusal};
use crate::tilt_tried::TiltTried;
use crate::wire::in_picture::InPictureView;
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};

/// What each lens sees of a craft.
pub async fn in_picture(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    asked: Result<Query<TiltTried>, QueryRejection>,
) -> Result<Json<InPictureView>, Refusal> {
    let id = craft_id(id)?;
    let Query(tried) = asked.map_err(|cause| Refusal::new(Cause::Misread, cause.body_text()))?;
    let judged = shared.with(move |bench| bench.judged_tilted(&id, &tried)).await?;
    let view = tokio::task::spawn_blocking(move || InPictureView::new(&judged)).await;
    view.map(Json).map_err(|_| guard::ours())
}
