//! Who is let in from the local network: phones that were paired, and nobody else.
//!
//! - The Host header must be the very address this server listens on: a name that was rebound to it is refused.
//! - Without the token of a paired phone only the page for the code is answered, and nothing that is in the workshop.
//! - Whatever is not GET or HEAD must carry our own Origin; a request of another site carries its own and is refused.
//! - The token lies in a cookie that no script reads and no other site sends along.
//! - What writes files on this machine, reads them by their path, or pairs further phones is done at the machine only.

use super::guard;
use crate::pairing::Pairing;
use crate::refusal::{Cause, Refusal};
use axum::body::to_bytes;
use axum::extract::{Request, State};
use axum::http::header::{CONTENT_TYPE, COOKIE, HOST, LOCATION, ORIGIN, SET_COOKIE};
use axum::http::{HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
use std::time::Instant;

/// The name of the cookie.
const COOKIE_NAME: &str = "creance_phone";
/// The most the form of the code may carry, in bytes.
const FORM_MAX: usize = 1024;
const PAGE_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Lets a request from the local network through, or says why not.
pub async fn admit(State(pairing): State<Arc<Pairing>>, request: Request, next: Next) -> Response {
    if let Some(refusal) = outsider(&pairing, &request) {
        return guard::refuse(request, refusal).await;
    }
    let path = request.uri().path().to_owned();
    if path == "/pair" {
        return pair(&pairing, request).await;
    }
    let paired = token(&request).is_some_and(|token| pairing.is_paired(&token, Instant::now()));
    match () {
        () if !paired && request.method() == Method::GET && !path.starts_with("/api/") => {
            redirect("/pair", None)
        }
        () if !paired => {
            guard::refuse(
                request,
                Refusal::new(Cause::Outsider, "this phone is not paired")
                    .hint("Open /pair and type the code that the machine shows."),
            )
            .await
        }
        () if at_the_machine_only(request.method(), &path) => {
            let words = "this is done at the machine itself, not from a phone";
            guard::refuse(request, Refusal::new(Cause::Outsider, words)).await
        }
        () => guard::served(request, next).await,
    }
}

fn outsider(pairing: &Pairing, request: &Request) -> Option<Refusal> {
    let text = |name| request.headers().get(name).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let own = pairing.address.to_string();
    if text(HOST) != own {
        let words = format!("host {:?} is not the address this program listens on", text(HOST));
        return Some(Refusal::new(Cause::Outsider, words).hint("Open the address that the machine shows."));
    }
    if matches!(*request.method(), Method::GET | Method::HEAD) {
        return None;
    }
    let origin = text(ORIGIN);
    (origin != format!("http://{own}")).then(|| {
        Refusal::new(Cause::Outsider, format!("a page from {origin:?} may not change anything here"))
    })
}

/// What a phone may not do: it would write or read files of the machine, or let others in.
fn at_the_machine_only(method: &Method, path: &str) -> bool {
    if *method == Method::GET {
        return path == "/api/pairing";
    }
    let on_a_card =
        path.starts_with("/api/load/") && !(path.ends_with("/report") || path.ends_with("/go-on"));
    on_a_card || ["/api/backup", "/api/pairing", "/api/demo", "/api/import"].contains(&path)
}

fn token(request: &Request) -> Option<String> {
    let cookies = request.headers().get(COOKIE)?.to_str().ok()?;
    cookies
        .split(';')
        .find_map(|one| one.trim().strip_prefix(COOKIE_NAME)?.strip_prefix('=').map(str::to_owned))
}

/// The page for the code, and what came of it.
async fn pair(pairing: &Pairing, request: Request) -> Response {
    if request.method() != Method::POST {
        let code = request
            .uri()
            .query()
            .and_then(|query| query.strip_prefix("code="))
            .unwrap_or_default()
            .to_owned();
        return form(&plain(&code), None);
    }
    let kind = request
        .headers()
        .get(CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok())
        .unwrap_or_default()
        .to_owned();
    let Ok(bytes) = to_bytes(request.into_body(), FORM_MAX).await else {
        return form("", Some("That is longer than any code."));
    };
    let sent = String::from_utf8_lossy(&bytes).into_owned();
    let code = kind
        .starts_with("application/x-www-form-urlencoded")
        .then(|| sent.strip_prefix("code=").map(plain))
        .flatten();
    match pairing.pair(&code.unwrap_or_default(), Instant::now()) {
        Ok(token) => redirect(
            "/",
            Some(&format!("{COOKIE_NAME}={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age=43200")),
        ),
        Err(refusal) => form("", Some(&refusal.to_string())),
    }
}

/// Letters of a code, and nothing else that somebody may have put into an address.
fn plain(text: &str) -> String {
    text.chars().filter(char::is_ascii_alphanumeric).take(16).collect()
}

fn redirect(to: &'static str, cookie: Option<&str>) -> Response {
    let mut response = (StatusCode::SEE_OTHER, [(LOCATION, to)]).into_response();
    if let Some(value) = cookie.and_then(|cookie| HeaderValue::from_str(cookie).ok()) {
        response.headers_mut().insert(SET_COOKIE, value);
    }
    guard::close(response.headers_mut(), true);
    response
}

fn form(code: &str, said: Option<&str>) -> Response {
    let said = said
        .map(|words| format!("<p role=\"alert\"><strong>{}</strong></p>", escaped(words)))
        .unwrap_or_default();
    let page = format!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">\
         <title>Pair this phone · Creance</title><style>body{{font:18px/1.5 Georgia,serif;margin:2rem auto;max-width:26rem;\
         padding:0 1rem;background:#f7f4ec;color:#1f2a33}}input,button{{font:inherit;padding:.6rem;width:100%;\
         box-sizing:border-box;margin:.4rem 0}}input{{letter-spacing:.2em;text-transform:uppercase}}\
         button{{background:#a8481f;color:#fffaf2;border:0}}</style></head><body><h1>Pair this phone</h1>{said}\
         <form method=\"post\" action=\"/pair\"><label for=\"code\">The code that the machine shows</label>\
         <input id=\"code\" name=\"code\" value=\"{code}\" autocomplete=\"off\" autocapitalize=\"characters\" required maxlength=\"16\">\
         <button>Pair</button></form><p>The code is good once. Whoever can listen on this network can read along: pair on one you \
         trust.</p></body></html>"
    );
    let status = if said.is_empty() { StatusCode::OK } else { StatusCode::FORBIDDEN };
    let mut response = (status, [(CONTENT_TYPE, "text/html; charset=utf-8")], page).into_response();
    guard::close(response.headers_mut(), true);
    response.headers_mut().insert("content-security-policy", HeaderValue::from_static(PAGE_POLICY));
    // Without it a browser would send this very form with an origin of "null".
    response.headers_mut().insert("referrer-policy", HeaderValue::from_static("same-origin"));
    response
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
