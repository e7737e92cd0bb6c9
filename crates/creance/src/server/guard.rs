//! Who is let in: only this program's own pages, and the command line of this machine.
//!
//! The server listens on loopback only. That alone does not keep other sites out: a page from elsewhere
//! can send requests to loopback, and a name can be rebound to 127.0.0.1. So:
//! - the Host header must be a loopback name, whatever it resolves to;
//! - whatever is not GET or HEAD must carry no Origin (no browser) or ours, `http://` + Host;
//! - a body must be JSON, a sheet aside; a form's encodings are refused;
//! - no CORS header is ever sent, and the pages may load nothing from elsewhere.
//!
//! Left out: protection from other users of this machine.

use super::body;
use crate::refusal::{Cause, Refusal};
use axum::extract::Request;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, HOST, ORIGIN};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// What pages may load: nothing from elsewhere, no script or style written into the page.
pub const PAGE_POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Lets a request through, or says why not; every answer gets the headers that keep it closed.
pub async fn admit(request: Request, next: Next) -> Response {
    match refused(&request) {
        Some(refusal) => refuse(request, refusal).await,
        None => served(request, next).await,
    }
}

/// Says no, after the request was read to its end.
pub async fn refuse(request: Request, refusal: Refusal) -> Response {
    let api = request.uri().path().starts_with("/api/");
    body::drain(request).await;
    let mut response = refusal.into_response();
    close(response.headers_mut(), api);
    response
}

/// Answers a request that was let in, if what it carries is of a type that is read.
pub async fn served(request: Request, next: Next) -> Response {
    let api = request.uri().path().starts_with("/api/");
    if !matches!(*request.method(), Method::GET | Method::HEAD)
        && let Some(refusal) = wrong_type(request.headers(), request.uri().path())
    {
        return refuse(request, refusal).await;
    }
    let mut response = match body::whole(request).await {
        Ok(request) => answered(request, next).await,
        Err(refusal) => refusal.into_response(),
    };
    close(response.headers_mut(), api);
    response
}

/// A panic anywhere below becomes an answer in words; the server goes on.
async fn answered(request: Request, next: Next) -> Response {
    tokio::spawn(next.run(request)).await.unwrap_or_else(|_| ours().into_response())
}

/// What to say when this program failed.
pub fn ours() -> Refusal {
    Refusal::new(Cause::Ours, "the program met a fault of its own while answering; nothing was changed")
        .hint("Try once more. If it happens again, export the sheet and report it with what you did.")
}

fn refused(request: &Request) -> Option<Refusal> {
    let headers = request.headers();
    let host = headers.get(HOST).and_then(|host| host.to_str().ok()).unwrap_or_default();
    if !is_loopback(host) {
        let words = format!("host {host:?} is not this machine's own name");
        return Some(
            Refusal::new(Cause::Outsider, words)
                .hint("Open the address that the program printed, such as http://127.0.0.1:PORT."),
        );
    }
    if matches!(*request.method(), Method::GET | Method::HEAD) {
        return None;
    }
    if let Some(origin) = headers.get(ORIGIN)
        && origin.as_bytes() != format!("http://{host}").as_bytes()
    {
        let words = format!("a page from {origin:?} may not change anything here");
        return Some(Refusal::new(Cause::Outsider, words));
    }
    None
}

fn wrong_type(headers: &HeaderMap, path: &str) -> Option<Refusal> {
    let value = headers.get(CONTENT_TYPE).map(|value| value.to_str().unwrap_or("unreadable"));
    let kind = value.map(|value| value.split(';').next().unwrap_or_default().trim().to_ascii_lowercase());
    let empty = headers.get("content-length").is_none_or(|length| length == "0")
        && !headers.contains_key("transfer-encoding");
    let wanted: &[&str] = if path == "/api/import" {
        &["text/plain", "application/toml", "application/json"]
    } else {
        &["application/json"]
    };
    match kind {
        None if empty => None,
        Some(kind) if wanted.contains(&kind.as_str()) => None,
        kind => {
            let words = format!(
                "content type {} is not read here; send {}",
                kind.as_deref().unwrap_or("left out"),
                wanted[0]
            );
            Some(Refusal::new(Cause::WrongType, words))
        }
    }
}

/// Whether a Host header names this machine by a name that no one else can give out.
fn is_loopback(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if !port.is_empty() && port.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => host,
    };
    ["127.0.0.1", "localhost", "[::1]"].contains(&name.to_ascii_lowercase().as_str())
}

/// The headers that keep an answer closed.
pub fn close(headers: &mut HeaderMap, api: bool) {
    let mut set = |name: &'static str, value: &'static str| {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    };
    set("content-security-policy", PAGE_POLICY);
    set("x-content-type-options", "nosniff");
    set("referrer-policy", "no-referrer");
    set("cross-origin-resource-policy", "same-origin");
    set("cross-origin-opener-policy", "same-origin");
    if api {
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use axum::routing::get;
    use axum::{Router, middleware};

    #[test]
    fn only_names_of_this_machine_are_loopback() {
        for host in ["127.0.0.1", "127.0.0.1:8971", "localhost:1", "LOCALHOST", "[::1]:80", "[::1]"] {
            assert!(is_loopback(host), "{host}");
        }
        for host in [
            "",
            "example.org",
            "127.0.0.1.example.org",
            "localhost.example.org:80",
            "127.0.0.1:80:80",
            "localhost:",
        ] {
            assert!(!is_loopback(host), "{host}");
        }
    }

    #[test]
    fn a_panic_is_answered_in_words_and_the_next_request_as_ever() {
        async fn stumble() -> &'static str {
            panic!("stumbled")
        }
        let (send, address) = std::sync::mpsc::channel();
        std::thread::spawn(move || {
            let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
            runtime.block_on(async move {
                let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
                send.send(listener.local_addr().unwrap()).unwrap();
                let routes = Router::new()
                    .route("/api/stumble", get(stumble))
                    .route("/api/walk", get(|| async { "on" }));
                axum::serve(listener, routes.layer(middleware::from_fn(admit))).await.unwrap();
            });
        });
        let address = address.recv().unwrap();
        let agent: ureq::Agent = ureq::Agent::config_builder().http_status_as_error(false).build().into();
        let ask = |path: &str| {
            let mut answer = agent.get(format!("http://{address}{path}")).call().unwrap();
            (answer.status().as_u16(), answer.body_mut().read_to_string().unwrap())
        };
        let (status, words) = ask("/api/stumble");
        assert_eq!(status, 500);
        assert!(words.contains("a fault of its own"), "{words}");
        assert_eq!(ask("/api/walk"), (200, "on".to_owned()));
    }
}
