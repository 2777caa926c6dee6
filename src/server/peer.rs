//! Where a request comes from.

use actix_web::HttpRequest;
use std::net::{IpAddr, Ipv4Addr};

/// The other end of its connection, never what it says in a header; this computer where there is no
/// network in between.
pub fn peer(request: &HttpRequest) -> IpAddr {
    let peer = request.peer_addr().map(|peer| peer.ip().to_canonical());
    peer.unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST))
}
