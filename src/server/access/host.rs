//! By which names the server may be asked, and from which pages. Pure but for the name of this
//! computer, which is read once.
//!
//! What it keeps true: a page from elsewhere can reach the board under no name of its own. Only names
//! are answered that no stranger can point here: a literal address (a page that was loaded under one
//! came from there), this computer's and the board's own names, bare or with an ending that the public
//! name system does not hand out, and what `--name` says. The port is not looked at: the origin is
//! compared with the whole of what was asked for, port and all.

use std::net::{Ipv4Addr, Ipv6Addr};

/// Endings that the public name system does not hand out (RFC 6762, RFC 8375, and the reserved
/// `internal`; `lan` and `home` are common in routers and not delegated).
const HOME_ENDINGS: [&str; 5] = [".local", ".home.arpa", ".internal", ".lan", ".home"];

/// The names that are known from the start.
pub struct Hosts {
    /// As they must be given, in small letters.
    whole: Vec<String>,
    /// As they may be given bare or with a home ending.
    at_home: Vec<String>,
}

impl Hosts {
    /// `names` were given with `--name`.
    pub fn new(names: &[String]) -> Hosts {
        let own = rustix::system::uname();
        let own = own.nodename().to_string_lossy().into_owned();
        Hosts::known_as(names, own.split('.').next().into_iter())
    }

    fn known_as<'a>(names: &[String], at_home: impl Iterator<Item = &'a str>) -> Hosts {
        let small = |name: &str| name.to_ascii_lowercase();
        let mut whole: Vec<String> = names.iter().map(|name| small(name)).collect();
        whole.push("localhost".to_owned());
        Hosts {
            whole,
            at_home: at_home.filter(|name| !name.is_empty()).map(small).collect(),
        }
    }

    /// Whether a `Host` header names this server. `agreed` are the names that the home network has
    /// agreed to, asked for only when nothing else fits.
    pub fn are_ours(&self, host: &str, agreed: impl FnOnce() -> Vec<String>) -> bool {
        let Some(name) = name_in(host) else {
            return false;
        };
        if is_address(name) {
            return true;
        }
        let name = name.to_ascii_lowercase();
        let bare = |name: &str| {
            let ending = HOME_ENDINGS.iter().find(|ending| name.ends_with(**ending));
            let bare = name.strip_suffix(ending.copied().unwrap_or_default());
            bare.unwrap_or_default().to_owned()
        };
        let asked = bare(&name);
        self.whole.contains(&name)
            || self.at_home.contains(&asked)
            || agreed()
                .iter()
                .any(|ours| bare(&ours.to_ascii_lowercase()) == asked)
    }
}

/// Whether a page of this origin was loaded from what the request asks for.
pub fn is_same_origin(origin: &str, host: &str) -> bool {
    let schemes = ["http://", "https://"];
    schemes
        .iter()
        .any(|scheme| origin.strip_prefix(scheme) == Some(host))
}

/// The name in a `Host` header, without its port; `None` if it cannot be one.
fn name_in(host: &str) -> Option<&str> {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if !port.is_empty() && port.bytes().all(|b| b.is_ascii_digit()) => name,
        Some(_) if !host.ends_with(']') => return None,
        _ => host,
    };
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_.:[]".contains(c);
    (!name.is_empty() && name.chars().all(plain)).then_some(name)
}

fn is_address(name: &str) -> bool {
    let six = name
        .strip_prefix('[')
        .and_then(|rest| rest.strip_suffix(']'));
    match six {
        Some(six) => six.parse::<Ipv6Addr>().is_ok(),
        None => name.parse::<Ipv4Addr>().is_ok(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hosts() -> Hosts {
        Hosts::known_as(&["board.example.org".to_owned()], ["larder"].into_iter())
    }

    fn agreed() -> Vec<String> {
        vec!["putby-2.local".to_owned()]
    }

    #[test]
    fn numbers_and_own_names_are_ours() {
        let ours = [
            "127.0.0.1:8080",
            "192.168.1.5",
            "[::1]:8080",
            "[fe80::1]",
            "localhost:80",
            "larder",
            "LARDER.lan:8080",
            "larder.home.arpa",
            "putby-2.local:8080",
            "putby-2",
            "Board.Example.org:8080",
        ];
        for host in ours {
            assert!(hosts().are_ours(host, agreed), "{host}");
        }
    }

    #[test]
    fn names_that_a_stranger_can_own_are_not() {
        let strange = [
            "",
            ":80",
            "evil.test",
            "kitchen",
            "kitchen.local",
            "127.0.0.1.evil.test:80",
            "local.evil.com",
            "larder.evil.com",
            "larder.local.evil.com",
            "evil.larder.local",
            "xlarder",
            ".local",
            "putby.local",
            "localhost.evil.test",
            "board.example.org.evil.test",
            "xboard.example.org",
            "127.1",
            "0x7f.1",
            "2130706433",
            "::1",
            "[::1",
            "[127.0.0.1]",
            "larder:80:80",
            "larder:",
            "larder:8o",
            "user@larder",
            "larder/",
            "lar der",
        ];
        for host in strange {
            assert!(!hosts().are_ours(host, agreed), "{host}");
        }
    }

    #[test]
    fn only_a_page_from_exactly_here_is_ours() {
        let host = "192.168.1.5:8080";
        assert!(is_same_origin("http://192.168.1.5:8080", host));
        assert!(is_same_origin("https://192.168.1.5:8080", host));
        for origin in [
            "null",
            "",
            "http://192.168.1.5",
            "http://192.168.1.5:80801",
            "http://192.168.1.5:8081",
            "http://192.168.1.5:8080.evil.test",
            "http://evil.test/192.168.1.5:8080",
            "http://x192.168.1.5:8080",
            "ftp://192.168.1.5:8080",
            "192.168.1.5:8080",
        ] {
            assert!(!is_same_origin(origin, host), "{origin}");
        }
    }
}
