//! Where the limits meet requests: connections as they come, requests before their routes.

use super::super::Site;
use super::super::access::Rank;
use super::super::peer::peer;
use super::super::problem::Problem;
use super::{Limiter, Place, Who};
use actix_web::body::MessageBody;
use actix_web::dev::{Extensions, ServiceRequest, ServiceResponse};
use actix_web::http::{Method, header};
use actix_web::middleware::Next;
use actix_web::rt::net::TcpStream;
use actix_web::{Error, HttpMessage, web};
use rustix::net::{SendFlags, Shutdown};
use std::net::IpAddr;
use std::time::Duration;
use tokio::time::sleep;

/// Addresses whose answer takes long to work out.
const LONG_WORK: [&str; 3] = ["/look-back", "/prepare", "/outlook"];

/// How long a refusal of one that asks too often is held back.
const SLOW_ANSWER: Duration = Duration::from_millis(250);

/// A connection's place, kept as long as the connection.
struct Connected {
    _place: Place<IpAddr>,
}

/// A connection that was turned away; whatever it still asks is not done.
struct TurnedAway;

/// Gives a new connection its place, or turns it away at once. Says whether it has one.
pub fn admit(limiter: &Limiter, socket: &TcpStream, connection: &mut Extensions) -> bool {
    let Ok(peer) = socket.peer_addr() else {
        return true;
    };
    match limiter.connection(peer.ip().to_canonical()) {
        Ok(place) => {
            connection.insert(Connected { _place: place });
            true
        }
        Err(problem) => {
            connection.insert(TurnedAway);
            // Said once, as far as there is room to say it: nobody is waited for here.
            let answer = problem.last_words();
            let _ = rustix::net::send(socket, answer.as_bytes(), SendFlags::NOSIGNAL);
            let _ = rustix::net::shutdown(socket, Shutdown::Both);
            false
        }
    }
}

/// Lets a request through, or answers why not.
///
/// # Errors
/// Its address or its device asks too much.
pub async fn guard(
    site: web::Data<Site>,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let limiter = &site.limiter;
    let address = peer(request.request());
    if request.conn_data::<TurnedAway>().is_some() {
        limiter.connection(address)?;
    }
    if let Err(problem) = limiter.request(address) {
        return slowly(problem).await;
    }
    let (acts, upgrades) = (
        request.method() == Method::POST,
        request.headers().contains_key(header::UPGRADE),
    );
    if upgrades {
        limiter.handshake(address)?;
    }
    // Who brings a wrong key is answered by the route.
    let known = || {
        site.access
            .glance(request.request(), site.days.clock().now())
    };
    let device = (acts || upgrades).then(known).flatten();
    let named = device.as_ref().map(|device| Who::Device(device.id()));
    let waiting = acts.then(|| limiter.command(&named.unwrap_or(Who::Address(address)), address));
    let _waiting = match waiting.transpose() {
        Ok(waiting) => waiting,
        Err(problem) => return slowly(problem).await,
    };
    let leads = device
        .as_ref()
        .is_some_and(|device| device.rank == Rank::Lead);
    if let Some(device) = device {
        // The gate need not find it out again.
        request.extensions_mut().insert(device);
    }
    let _turn = if is_long_work(request.path()) {
        limiter.long_work.acquire().await.ok()
    } else {
        None
    };
    let answered = next.call(request).await?;
    if leads {
        limiter.lead_is_at(address);
    }
    Ok(answered)
}

/// Refuses, after a while: who sends as fast as it is answered gets slower by it, and the computer
/// has its time for the others. Whoever is patient loses nothing, being told to wait longer anyway.
async fn slowly<T>(problem: Problem) -> Result<T, Error> {
    sleep(SLOW_ANSWER).await;
    Err(problem.into())
}

fn is_long_work(path: &str) -> bool {
    LONG_WORK.iter().any(|part| path.contains(part))
}
