//! What each lens sees, over the wire: `/api/craft/ID/view`, and with `?tilt=30` what it would see so tilted;
//! `/api/craft/ID/course`, and with `?speed=15&beside=4:3` what it would show there; `/api/craft/ID/flying?speed=15`, what flying does to it.

use super::handlers::craft_id;
use super::{Shared, guard};
use crate::course_tried::CourseTried;
use crate::refusal::{Cause, PLAIN_NUMBERS, Refusal};
use crate::tilt_tried::TiltTried;
use crate::wire::course::CourseView;
use crate::wire::flying::{FlyingTried, FlyingView};
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
    let Query(tried) =
        asked.map_err(|cause| Refusal::new(Cause::Misread, cause.body_text()).hint(PLAIN_NUMBERS))?;
    let judged = shared.with(move |bench| bench.seen_tilted(&id, &tried)).await?;
    let view = tokio::task::spawn_blocking(move || InPictureView::new(&judged)).await;
    view.map(Json).map_err(|_| guard::ours())
}

/// What a lens shows over the course.
pub async fn over_course(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    tilted: Result<Query<TiltTried>, QueryRejection>,
    asked: Result<Query<CourseTried>, QueryRejection>,
) -> Result<Json<CourseView>, Refusal> {
    let id = craft_id(id)?;
    let misread = |cause: QueryRejection| Refusal::new(Cause::Misread, cause.body_text()).hint(PLAIN_NUMBERS);
    let Query(tilted) = tilted.map_err(misread)?;
    let Query(asked) = asked.map_err(misread)?;
    let camera = tilted.camera.clone();
    let (craft, drawer, outlines) = shared.with(move |bench| bench.for_course(&id, &tilted)).await?;
    let view = tokio::task::spawn_blocking(move || {
        CourseView::new(&craft, camera.as_deref(), &drawer, &asked, &outlines)
    });
    view.await.map_err(|_| guard::ours())?.map(Json)
}

/// What flying does to the picture, as curves.
pub async fn flying(
    State(shared): State<Shared>,
    Path(id): Path<String>,
    asked: Result<Query<FlyingTried>, QueryRejection>,
) -> Result<Json<FlyingView>, Refusal> {
    let id = craft_id(id)?;
    let Query(tried) =
        asked.map_err(|cause| Refusal::new(Cause::Misread, cause.body_text()).hint(PLAIN_NUMBERS))?;
    let (judged, outlines) = shared.with(move |bench| Ok((bench.judged(&id)?, bench.outlines()))).await?;
    let view = tokio::task::spawn_blocking(move || FlyingView::new(&judged, &outlines, &tried));
    view.await.map_err(|_| guard::ours())?.map(Json)
}
