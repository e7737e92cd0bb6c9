//! Reading what a request carries, within a named limit.
//!
//! It is read to its end before anything is answered, also where nobody asks for it: a connection that is
//! answered with part of the request still unread is closed at once, and the answer may be lost on its way.
//! A body beyond its limit is read to its end and thrown away, so that the one who sent it hears the
//! answer instead of a broken connection; beyond [`DRAINED_MAX`] the connection is simply closed.

use crate::refusal::{Cause, Refusal};
use axum::body::{Body, HttpBody};
use axum::extract::{FromRequest, Request};
use serde::de::DeserializeOwned;
use std::future::poll_fn;
use std::pin::Pin;

/// The most an ordinary request may carry, in bytes: 1 MiB.
pub const REQUEST_MAX: usize = 1 << 20;
/// The most a sheet to be imported may weigh, in bytes: 64 MiB.
pub const SHEET_MAX: usize = 64 << 20;
/// How much of a body that is too large is read and thrown away.
const DRAINED_MAX: usize = 256 << 20;

/// JSON of a type, at most [`REQUEST_MAX`] long.
pub struct Sent<T>(pub T);

/// The text of a sheet, at most [`SHEET_MAX`] long.
pub struct SheetText(pub String);

/// A request with its body read to the end.
pub async fn whole(request: Request) -> Result<Request, Refusal> {
    let (limit, what) = match request.uri().path() {
        "/api/import" => (SHEET_MAX, "a sheet"),
        _ => (REQUEST_MAX, "a request"),
    };
    let (head, body) = request.into_parts();
    let bytes = read(body, limit, what).await?;
    Ok(Request::from_parts(head, Body::from(bytes)))
}

/// Reads a body to its end for nothing.
pub async fn drain(request: Request) {
    // Whatever it carries, the answer is settled.
    let _ = read(request.into_body(), 0, "a request").await;
}

impl<S: Sync, T: DeserializeOwned> FromRequest<S> for Sent<T> {
    type Rejection = Refusal;
    async fn from_request(request: Request, _: &S) -> Result<Self, Refusal> {
        let bytes = read(request.into_body(), REQUEST_MAX, "a request").await?;
        serde_json::from_slice(&bytes).map(Sent).map_err(|cause| {
            Refusal::new(Cause::Misread, format!("the request cannot be read: {cause}")).hint(
                "Reload the page; if it happens again, the page and the program are of different versions.",
            )
        })
    }
}

impl<S: Sync> FromRequest<S> for SheetText {
    type Rejection = Refusal;
    async fn from_request(request: Request, _: &S) -> Result<Self, Refusal> {
        let bytes = read(request.into_body(), SHEET_MAX, "a sheet").await?;
        text(bytes).map(SheetText)
    }
}

/// Bytes as text, or where they stop being text.
pub fn text(bytes: Vec<u8>) -> Result<String, Refusal> {
    String::from_utf8(bytes).map_err(|cause| {
        let valid = cause.utf8_error().valid_up_to();
        let line = 1 + cause.as_bytes()[..valid].iter().filter(|byte| **byte == b'\n').count();
        Refusal::new(
            Cause::Unfit,
            format!("the sheet is no UTF-8 text: byte {} in line {line} belongs to no letter", valid + 1),
        )
        .hint("Save it as UTF-8 in your editor, or check that it is a sheet at all.")
    })
}

async fn read(mut body: Body, limit: usize, what: &str) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    let mut size = 0;
    while let Some(frame) = poll_fn(|cx| Pin::new(&mut body).poll_frame(cx)).await {
        let frame =
            frame.map_err(|cause| Refusal::new(Cause::Misread, format!("the request broke off: {cause}")))?;
        let Ok(data) = frame.into_data() else { continue };
        size += data.len();
        if size <= limit {
            bytes.extend_from_slice(&data);
        } else if size > DRAINED_MAX {
            break;
        }
    }
    if size > limit {
        let words =
            format!("{what} may carry at most {} MiB, this one carries {}", limit >> 20, mebibytes(size));
        return Err(Refusal::new(Cause::TooLarge, words));
    }
    Ok(bytes)
}

fn mebibytes(size: usize) -> String {
    if size > DRAINED_MAX {
        format!("over {} MiB", DRAINED_MAX >> 20)
    } else {
        format!("{:.1} MiB", size as f64 / f64::from(1 << 20))
    }
}
