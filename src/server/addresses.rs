//! The addresses by which this server can be opened, and their QR code.
//!
//! Plain names are told by [`super::announce`]; a number always works.

use qrcode::QrCode;
use qrcode::render::{svg, unicode};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};

/// Where multicast DNS is spoken (RFC 6762).
const HOME_GROUP: (Ipv4Addr, u16) = (Ipv4Addr::new(224, 0, 0, 251), 5353);

/// Every address to open, those that other devices can reach first; `scheme` is `http` or `https`.
pub fn addresses(scheme: &str, listening: SocketAddr) -> Vec<String> {
    let address = |ip| format!("{scheme}://{}/", SocketAddr::new(ip, listening.port()));
    ips(listening.ip()).into_iter().map(address).collect()
}

/// Every number of this computer that a listener on `ip` is reached by, other devices' first.
pub fn ips(ip: IpAddr) -> Vec<IpAddr> {
    match ip.is_unspecified() {
        true => all_ips(ip.is_ipv4()),
        false => vec![ip],
    }
}

fn all_ips(only_v4: bool) -> Vec<IpAddr> {
    let interfaces = if_addrs::get_if_addrs().unwrap_or_default();
    let mut ips: Vec<IpAddr> = interfaces
        .iter()
        .filter(|interface| !interface.is_link_local())
        .map(|interface| interface.ip())
        .filter(|ip| ip.is_ipv4() || !only_v4)
        .collect();
    // The home network's before those of networks inside this computer, short numbers before long
    // ones, and this computer's own last: nobody else can open it.
    let home = home_ip();
    ips.sort_by_key(|ip| (ip.is_loopback(), Some(*ip) != home, ip.is_ipv6(), *ip));
    ips.dedup();
    ips
}

/// The address of this computer on the network where it would look for its neighbours. Sends
/// nothing: the system only says which way it would go.
fn home_ip() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect(HOME_GROUP).ok()?;
    Some(socket.local_addr().ok()?.ip())
}

/// The lead's own address, which makes the device that opens it the lead's.
pub fn lead_address(scheme: &str, listening: SocketAddr, key: &str) -> Option<String> {
    let first = addresses(scheme, listening).into_iter().next()?;
    Some(format!("{first}#/lead-key/{key}"))
}

/// A QR code of `text` as an SVG picture; `None` if it is too long for one.
pub fn qr_svg(text: &str) -> Option<String> {
    let code = QrCode::new(text).ok()?;
    Some(
        code.render::<svg::Color<'_>>()
            .min_dimensions(240, 240)
            .build(),
    )
}

/// A QR code of `text` in half blocks, for a terminal with light on dark.
pub fn qr_text(text: &str) -> Option<String> {
    let code = QrCode::new(text).ok()?;
    let light_on_dark = code
        .render::<unicode::Dense1x2>()
        .dark_color(unicode::Dense1x2::Light)
        .light_color(unicode::Dense1x2::Dark)
        .build();
    Some(light_on_dark)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn an_address_that_was_asked_for_is_the_only_one() {
        let one = addresses("http", "127.0.0.1:8080".parse().unwrap());
        assert_eq!(one, ["http://127.0.0.1:8080/"]);
        let six = addresses("https", "[::1]:80".parse().unwrap());
        assert_eq!(six, ["https://[::1]:80/"]);
    }

    #[test]
    fn listening_everywhere_names_at_least_this_computer() {
        let all = addresses("http", "0.0.0.0:81".parse().unwrap());
        assert_eq!(all.last().map(String::as_str), Some("http://127.0.0.1:81/"));
    }

    #[test]
    fn a_join_address_fits_a_code() {
        assert!(
            qr_svg("http://192.168.1.5:8080/")
                .unwrap()
                .starts_with("<?xml")
        );
        assert!(qr_text("http://192.168.1.5:8080/").unwrap().lines().count() > 10);
    }
}
