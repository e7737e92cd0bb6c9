//! How a phone is paired, as the machine's own page shows it.

use super::Shared;
use crate::pairing::{CODE_GOOD, picture};
use crate::refusal::{Cause, Refusal};
use crate::wire::load::PairingView;
use axum::Json;
use axum::extract::State;
use std::time::Instant;

/// Whether the program listens on the local network, and the code that is good now.
pub async fn pairing(State(shared): State<Shared>) -> Json<PairingView> {
    Json(view(&shared))
}

/// Makes a new code.
pub async fn offer(State(shared): State<Shared>) -> Result<Json<PairingView>, Refusal> {
    let Some(pairing) = &shared.pairing else {
        return Err(Refusal::new(Cause::Clash, "the program listens on this machine only")
            .hint("End it and start it with `creance serve --lan`."));
    };
    pairing.offer(Instant::now())?;
    Ok(Json(view(&shared)))
}

fn view(shared: &Shared) -> PairingView {
    let minutes = (CODE_GOOD.as_secs() / 60) as u32;
    let Some(pairing) = &shared.pairing else {
        return PairingView { open: false, address: None, code: None, picture: None, minutes, paired: 0 };
    };
    let code = pairing.code(Instant::now());
    PairingView {
        open: true,
        address: Some(format!("http://{}/pair", pairing.address)),
        picture: code.as_ref().and_then(|code| picture(&pairing.link(code))),
        code,
        minutes,
        paired: pairing.phones() as u32,
    }
}
