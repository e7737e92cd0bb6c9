//! The local server: parse, call, serialise.

mod body;
mod guard;
mod pages;

use crate::manual;
use crate::refusal::Refusal;
use crate::wire::fleet::Health;
use crate::wire::manual::ManualView;
use crate::wire::schema::{SchemaView, schema};
use axum::routing::get;
use axum::{Json, Router, middleware};
use std::net::TcpListener;

/// Serves until Ctrl-C, then lets what was begun finish.
pub async fn serve(listener: TcpListener) -> std::io::Result<()> {
    listener.set_nonblocking(true)?;
    let listener = tokio::net::TcpListener::from_std(listener)?;
    axum::serve(listener, router()).with_graceful_shutdown(stop()).await
}

/// Ctrl-C, or being told to end by the system.
async fn stop() {
    let interrupt = async {
        // A program that cannot hear Ctrl-C is ended by the system instead.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let terminate = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => signal.recv().await,
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminate = std::future::pending::<Option<()>>();
    tokio::select! {
        () = interrupt => {}
        _ = terminate => {}
    }
}

fn router() -> Router {
    Router::new()
        .route("/api/health", get(health))
        .route("/api/schema", get(the_schema))
        .route("/api/manual", get(the_manual))
        .fallback(pages::page)
        .layer(middleware::from_fn(guard::admit))
}

async fn health() -> Json<Health> {
    Json(Health { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") })
}

async fn the_schema() -> Json<SchemaView> {
    Json(schema())
}

async fn the_manual() -> Result<Json<ManualView>, Refusal> {
    tokio::task::spawn_blocking(manual::manual).await.map(Json).map_err(|_| guard::ours())
}
