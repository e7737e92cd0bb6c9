//! `creance serve`: the bench on this machine.

use super::{Outcome, ServeArgs};
use crate::bench::{Bench, now};
use crate::output::{note, say};
use crate::pairing::{CODE_GOOD, Pairing, letters};
use crate::refusal::{Cause, Refusal};
use crate::{place, server};
use std::io::ErrorKind;
use std::net::{IpAddr, Ipv4Addr, TcpListener, UdpSocket};
use std::sync::Arc;
use std::time::{Duration, Instant};
use workshop::Workshop;

/// How old the newest backup may be before another is made, and how many are kept.
const BACKUP_DAYS: u32 = 7;
const BACKUPS_KEPT: usize = 8;

/// Serves until Ctrl-C.
pub fn serve(args: &ServeArgs) -> Result<Outcome, Refusal> {
    let listener = listen(args.port)?;
    let address = listener.local_addr().map_err(|cause| failed("read its own address", cause))?;
    let url = format!("http://{address}/");
    let lan = args.lan.then(|| local_network(args.lan_at)).transpose()?;
    let bench = opened(args)?;
    bench.announce(&url)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|cause| failed("start its threads", cause))?;
    say(&format!("The bench is at {url} (Ctrl-C ends it)\n"))?;
    if let Some((_, pairing)) = &lan {
        say(&invitation(pairing)?)?;
    }
    if !args.no_open && webbrowser::open(&url).is_err() {
        note("creance: no browser could be opened; open the address above yourself");
    }
    runtime.block_on(server::serve(listener, bench, lan)).map_err(|cause| failed("serve", cause))?;
    // What still holds the store is let finish.
    runtime.shutdown_timeout(Duration::from_secs(5));
    Ok(Outcome::NothingBroken)
}

/// A listener on the local network, for paired phones.
fn local_network(at: Option<IpAddr>) -> Result<(TcpListener, Arc<Pairing>), Refusal> {
    let address = match at {
        Some(address) => address,
        None => own_address().map_err(|cause| {
            Refusal::new(Cause::Clash, format!("this machine has no address in a local network: {cause}"))
                .hint("Join the network of the phone, or name the address with --lan-at ADDRESS.")
        })?,
    };
    let listener =
        TcpListener::bind((address, 0)).map_err(|cause| failed(&format!("listen at {address}"), cause))?;
    let address = listener.local_addr().map_err(|cause| failed("read its own address", cause))?;
    Ok((listener, Arc::new(Pairing::at(address))))
}

/// The address by which this machine would be seen by others. Nothing is sent: a socket of this kind only chooses its
/// own end when it is told of another, here one of the addresses that RFC 5737 keeps for examples.
fn own_address() -> std::io::Result<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0))?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
    Ok(socket.local_addr()?.ip())
}

/// What is said to whoever wants to pair a phone.
fn invitation(pairing: &Pairing) -> Result<String, Refusal> {
    let code = pairing.offer(Instant::now())?;
    let minutes = CODE_GOOD.as_secs() / 60;
    let picture = letters(&pairing.link(&code)).unwrap_or_default();
    let (first, last) = code.split_at(code.len() / 2);
    Ok(format!(
        "Phones: open http://{}/pair and type {first}-{last}, or read this with the camera. The code is good once and for \
         {minutes} minutes; the page Phone makes another. Whoever can listen on this network can read along.\n{picture}",
        pairing.address
    ))
}

/// Opens the workshop, keeps it safe, and puts the demo in if it is wanted and not there.
fn opened(args: &ServeArgs) -> Result<Bench, Refusal> {
    let path = match &args.workshop {
        Some(path) => path.clone(),
        None => place::data_file(if args.demo { place::DEMO } else { place::WORKSHOP })?,
    };
    let opened = Workshop::open_or_create(path)?;
    if let Some(up) = &opened.brought_up {
        let backup = up.backup.display();
        note(&format!(
            "creance: the workshop was brought from form {} to {}; it is kept as before in {backup}",
            up.from, up.to
        ));
    }
    let kept = if opened.made {
        Ok(None)
    } else {
        opened.workshop.backup_if_older(now(), BACKUP_DAYS, BACKUPS_KEPT)
    };
    if let Err(fault) = kept {
        note(&format!("creance: no backup could be made beside the workshop: {fault}"));
    }
    let mut bench = Bench::new(opened.workshop);
    if args.demo && !bench.has_demo()? {
        bench.load_demo()?;
    }
    Ok(bench)
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
