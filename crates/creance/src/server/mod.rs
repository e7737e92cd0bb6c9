//! The local server: parse, call, serialise.

mod body;
mod drawings;
mod guard;
mod handlers;
mod keeping;
mod lan;
mod links;
mod mending;
mod pages;
mod pairings;
mod placements;
mod prints;
mod supplies;
mod views;

use crate::bench::Bench;
use crate::pairing::Pairing;
use crate::refusal::Refusal;
use crate::searches::Searches;
use crate::writing::Writing;
use axum::routing::{delete, get, post};
use axum::{Router, middleware};
use std::future::IntoFuture;
use std::net::TcpListener;
use std::sync::{Arc, Mutex, PoisonError};

/// The one bench, shared by all requests; only one works on it at a time. Searches go on beside it.
#[derive(Clone)]
pub struct Shared {
    bench: Arc<Mutex<Bench>>,
    searches: Arc<Searches>,
    writing: Arc<Writing>,
    pairing: Option<Arc<Pairing>>,
}

impl Shared {
    /// Does something with the bench on a thread that may wait for the disk.
    pub async fn with<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Bench) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let bench = Arc::clone(&self.bench);
        // A panic in an earlier request left the store as its last transaction did: the bench stays usable.
        let locked = move || work(&mut bench.lock().unwrap_or_else(PoisonError::into_inner));
        tokio::task::spawn_blocking(locked).await.map_err(|_| guard::ours())?
    }
}

/// Serves until Ctrl-C, then lets what was begun finish.
pub async fn serve(
    listener: TcpListener,
    bench: Bench,
    lan: Option<(TcpListener, Arc<Pairing>)>,
) -> std::io::Result<()> {
    let waiting = |listener: TcpListener| {
        listener.set_nonblocking(true)?;
        tokio::net::TcpListener::from_std(listener)
    };
    let shared = Shared {
        bench: Arc::new(Mutex::new(bench)),
        searches: Arc::default(),
        writing: Arc::default(),
        pairing: lan.as_ref().map(|(_, pairing)| Arc::clone(pairing)),
    };
    let at_the_machine = router(shared.clone()).layer(middleware::from_fn(guard::admit));
    let at_the_machine = axum::serve(waiting(listener)?, at_the_machine).with_graceful_shutdown(stop());
    let Some((listener, pairing)) = lan else { return at_the_machine.await };
    let phones = router(shared).layer(middleware::from_fn_with_state(pairing, lan::admit));
    let phones = axum::serve(waiting(listener)?, phones).with_graceful_shutdown(stop());
    let (here, there) = tokio::join!(at_the_machine.into_future(), phones.into_future());
    here.and(there)
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

fn router(shared: Shared) -> Router {
    use handlers::*;
    Router::new()
        .route("/api/health", get(health))
        .route("/api/schema", get(the_schema))
        .route("/api/manual", get(the_manual))
        .route("/api/fleet", get(fleet))
        .route("/api/craft", post(new_craft))
        .route("/api/craft/{id}", get(craft).delete(remove_craft))
        .route("/api/craft/{id}/size", get(size))
        .route("/api/craft/{id}/duplicate", post(duplicate_craft))
        .route("/api/craft/{id}/edit", post(edit_craft))
        .route("/api/craft/{id}/undo", post(undo_craft))
        .route("/api/craft/{id}/redo", post(redo_craft))
        .route("/api/craft/{id}/journal", get(journal))
        .route("/api/craft/{id}/sheet", get(sheet))
        .route("/api/craft/{id}/draw/{file}", get(draw))
        .route("/api/craft/{id}/tilt", get(tilt))
        .route("/api/craft/{id}/leads", get(leads))
        .route("/api/craft/{id}/wiring", get(wiring))
        .route("/api/craft/{id}/solder.csv", get(solder_list))
        .route("/api/craft/{id}/print", get(prints::print_forms))
        .route("/api/craft/{id}/link/{picture}", get(links::link))
        .route("/api/craft/{id}/supply/{picture}", get(supplies::supply))
        .route("/api/craft/{id}/view", get(views::in_picture))
        .route("/api/craft/{id}/course", get(views::over_course))
        .route("/api/craft/{id}/flying", get(views::flying))
        .route("/api/craft/{id}/print/{file}", get(prints::print))
        .route("/api/craft/{id}/print/{file}/take", post(prints::take_print))
        .route("/api/craft/{id}/place", post(placements::begin))
        .route("/api/craft/{id}/place/take", post(placements::take))
        .route("/api/craft/{id}/place/{search}", get(placements::how_far).delete(placements::end))
        .route("/api/craft/{id}/care", get(keeping::care))
        .route("/api/craft/{id}/ticked", post(keeping::ticked))
        .route("/api/craft/{id}/counter", post(keeping::counter))
        .route("/api/entries", get(keeping::entries).post(keeping::enter))
        .route("/api/entries/{entry}", get(keeping::file))
        .route("/api/entries/{entry}/stand", post(keeping::stand))
        .route("/api/spares", get(keeping::spares))
        .route("/api/take-back", post(keeping::take_back))
        .route("/api/kept/{drawer}/{id}", delete(keeping::take_out))
        .route("/api/load", get(keeping::load))
        .route("/api/load/unit", post(keeping::unit))
        .route("/api/load/image", post(keeping::image))
        .route("/api/load/set", post(keeping::set))
        .route("/api/load/recipe", post(keeping::recipe))
        .route("/api/load/plan", post(keeping::plan))
        .route("/api/load/batch", post(keeping::begin))
        .route("/api/load/batch/{id}/write", post(keeping::write))
        .route("/api/load/batch/{id}/look", post(keeping::look))
        .route("/api/load/batch/{id}/report", post(keeping::report))
        .route("/api/load/batch/{id}/go-on", post(keeping::go_on))
        .route("/api/load/batch/{id}/search", post(keeping::search))
        .route("/api/load/writing", get(keeping::writing).delete(keeping::stop))
        .route("/api/pairing", get(pairings::pairing).post(pairings::offer))
        .route("/api/craft/{id}/mend", get(mending::mend).post(mending::say))
        .route("/api/import", post(import))
        .route("/api/parts", get(parts).post(new_part))
        .route("/api/parts/{id}", get(part).delete(remove_part))
        .route("/api/parts/{id}/edit", post(edit_part))
        .route("/api/parts/{id}/undo", post(undo_part))
        .route("/api/parts/{id}/redo", post(redo_part))
        .route("/api/parts/{id}/duplicate", post(duplicate_part))
        .route("/api/demo", delete(remove_demo).post(load_demo))
        .route("/api/backup", post(backup))
        .method_not_allowed_fallback(not_so)
        .fallback(pages::page)
        .with_state(shared)
}

async fn not_so(method: axum::http::Method, uri: axum::http::Uri) -> Refusal {
    Refusal::new(crate::refusal::Cause::NoSuch, format!("{method} is not answered at {}", uri.path()))
}
