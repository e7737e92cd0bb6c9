//! `creance serve`: the bench on this machine.

use super::{Outcome, ServeArgs};
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use crate::server;
use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener};

/// Serves until Ctrl-C.
pub fn serve(args: &ServeArgs) -> Result<Outcome, Refusal> {
    let listener = listen(args.port)?;
    let address = listener.local_addr().map_err(|cause| failed("read its own address", cause))?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|cause| failed("start its threads", cause))?;
    let url = format!("http://{address}/");
    say(&format!("The bench is at {url} (Ctrl-C ends it)\n"))?;
    if !args.no_open && webbrowser::open(&url).is_err() {
        note("creance: no browser could be opened; open the address above yourself");
    }
    runtime.block_on(server::serve(listener)).map_err(|cause| failed("serve", cause))?;
    // Work that still holds the store is let finish; idle connections are not waited for.
    runtime.shutdown_timeout(std::time::Duration::from_secs(5));
    Ok(Outcome::NothingBroken)
}

fn listen(port: Option<u16>) -> Result<TcpListener, Refusal> {
    let port = port.unwrap_or(0);
    TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|cause| match cause.kind() {
        ErrorKind::AddrInUse => {
            Refusal::new(Cause::Clash, format!("port {port} is in use by another program"))
                .hint("Choose another with --port N, or leave --port out to take a free one.")
        }
        ErrorKind::PermissionDenied => {
            Refusal::new(Cause::Clash, format!("port {port} may not be used by you; ports above 1023 may"))
        }
        _ => failed(&format!("listen on port {port}"), cause),
    })
}

fn failed(what: &str, cause: std::io::Error) -> Refusal {
    Refusal::new(Cause::Ours, format!("the program cannot {what}: {cause}"))
}
