//! The addresses by which this server can be opened, and their QR code.
//!
//! Plain names are told by [`super::announce`]; a number always works.

use qrcode::QrCode;
use qrcode::render::{svg, unicode};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};

/// Where multicast DNS is spoken (RFC 6762).
const HOME_GROUP: (Ipv4Addr, u16) = (Ipv4Addr::new(224, 0, 0, 251), 5353);

/// Every address to open, those that other devices can reach first.
pub fn addresses(listening: SocketAddr) -> Vec<String> {
    let ips = match listening.ip() {
        ip if ip.is_unspecified() => all_ips(listening.is_ipv4()),
        ip => vec![ip],
    };
    let address = |ip| format!("http://{}/", SocketAddr::new(ip, listening.port()));
    ips.into_iter().map(address).collect()
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
pub fn lead_address(listening: SocketAddr, key: &str) -> Option<String> {
    let first = addresses(listening).into_iter().next()?;
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
        let one = addresses("127.0.0.1:8080".parse().unwrap());
        assert_eq!(one, ["http://127.0.0.1:8080/"]);
        assert_eq!(addresses("[::1]:80".parse().unwrap()), ["http://[::1]:80/"]);
    }

    #[test]
    fn listening_everywhere_names_at_least_this_computer() {
        let all = addresses("0.0.0.0:81".parse().unwrap());
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
