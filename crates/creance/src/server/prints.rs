//! Prints over the wire: what one would be, its files, and taking it into the craft.

use super::Shared;
use super::body::Sent;
use super::handlers::craft_id;
use crate::commands::print::PrintFile;
use crate::drawn::Format;
use crate::refusal::{Cause, Refusal};
use crate::wire::bench::BenchView;
use crate::wire::print::{PrintAsked, PrintForm, PrintView, kind_of};
use axum::Json;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use drawing::print::{picture, print_for};

type Asked = Result<Query<PrintAsked>, QueryRejection>;

/// What may be set of each kind of print for a craft.
pub async fn print_forms(
    State(shared): State<Shared>,
    Path(id): Path<String>,
) -> Result<Json<Vec<PrintForm>>, Refusal> {
    let id = craft_id(id)?;
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    Ok(Json(PrintForm::all(&judged.craft)))
}

/// What a print would be (`adapter`), how it looks (`adapter.svg`), or one of its files (`adapter.stl`, `adapter.3mf`).
pub async fn print(
    State(shared): State<Shared>,
    Path((id, file)): Path<(String, String)>,
    asked: Asked,
) -> Result<Response, Refusal> {
    let Query(asked) = asked.map_err(|told| Refusal::new(Cause::Misread, told.body_text()))?;
    let (word, ending) = file.split_once('.').map_or((file.as_str(), None), |(word, end)| (word, Some(end)));
    let (kind, wanted, id) = (kind_of(word)?, asked.read()?, craft_id(id)?);
    let is_picture = ending == Some("svg");
    let form = ending.filter(|_| !is_picture);
    let form = form.map(|end| PrintFile::of_ending(end).ok_or_else(|| no_file(word, end))).transpose()?;
    let judged = shared.with(move |bench| bench.judged(&id)).await?;
    let printed = print_for(&judged.craft, kind, &wanted)?;
    if is_picture {
        let svg = picture(&printed.mesh, &format!("{}, as it lies in the printer", printed.part.name));
        return Ok(([(CONTENT_TYPE, Format::Svg.content_type())], svg).into_response());
    }
    let Some(form) = form else {
        return Ok(Json(PrintView::new(&judged, &printed)).into_response());
    };
    let name = format!("attachment; filename=\"{}.{}\"", printed.file_stem(&judged.craft), form.ending());
    let head = [(CONTENT_TYPE, form.content_type().to_owned()), (CONTENT_DISPOSITION, name)];
    Ok((head, form.bytes(&printed)?).into_response())
}

/// Puts a print into the craft as one step and answers with the proof as it then stands.
pub async fn take_print(
    State(shared): State<Shared>,
    Path((id, word)): Path<(String, String)>,
    Sent(asked): Sent<PrintAsked>,
) -> Result<Json<BenchView>, Refusal> {
    let (id, kind, wanted) = (craft_id(id)?, kind_of(&word)?, asked.read()?);
    shared.with(move |bench| bench.take_print(&id, kind, &wanted)).await.map(Json)
}

fn no_file(word: &str, ending: &str) -> Refusal {
    Refusal::new(Cause::NoSuch, format!("there is no file {:?} of a print", format!("{word}.{ending}")))
        .hint(format!("There are {word}.stl, {word}.3mf and {word}.svg."))
}
