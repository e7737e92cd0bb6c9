//! The pages, embedded when they were built before the program.

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::http::{StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "$CARGO_MANIFEST_DIR/../../web/dist"]
#[allow_missing = true]
struct Pages;

const NOT_BUILT: &str = "The pages are not built into this program; run `cargo xtask run` to build them.\n";

/// A file of the pages; addresses without one are the app's own and get its first page.
pub async fn page(uri: Uri) -> Response {
    let path = uri.path().trim_start_matches('/');
    if path.starts_with("api/") || path == "api" {
        return crate::refusal::Refusal::new(
            crate::refusal::Cause::NoSuch,
            format!("there is nothing at /{path}"),
        )
        .into_response();
    }
    // Ids of rules have dots, so a dot alone makes no file: files lie in assets/ or at the top.
    let is_file = path.starts_with("assets/") || (path.contains('.') && !path.contains('/'));
    match Pages::get(path) {
        Some(file) => answer(path, file.data.into_owned()),
        None if is_file => {
            (StatusCode::NOT_FOUND, format!("there is no page file {path:?}\n")).into_response()
        }
        None => match Pages::get("index.html") {
            Some(file) => answer("index.html", file.data.into_owned()),
            None => (StatusCode::NOT_FOUND, [(CONTENT_TYPE, "text/plain; charset=utf-8")], NOT_BUILT)
                .into_response(),
        },
    }
}

fn answer(path: &str, data: Vec<u8>) -> Response {
    // Names under assets/ carry a digest of their content; the rest must be asked for anew.
    let keep = if path.starts_with("assets/") { "public, max-age=31536000, immutable" } else { "no-cache" };
    ([(CONTENT_TYPE, media_type(path)), (CACHE_CONTROL, keep)], data).into_response()
}

fn media_type(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "woff" => "font/woff",
        "json" | "webmanifest" => "application/json",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}
