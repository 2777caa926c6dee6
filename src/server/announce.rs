//! Telling the home network where the board is, by multicast DNS (RFC 6762) and service discovery
//! (RFC 6763): a service of the type `_http._tcp`, or `_https._tcp`, and a plain host name to type.
//!
//! What it keeps true: nothing else waits for it or fails with it. A network that carries no
//! multicast costs the plain name and nothing more; the numbers go on working.

use mdns_sd::{DaemonEvent, IfKind, Receiver, ServiceDaemon, ServiceInfo};
use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::Duration;

/// As the service is listed by whoever looks around.
const LISTED_AS: &str = "Putby";
/// How long a goodbye may take.
const GOODBYE: Duration = Duration::from_millis(500);

/// The names under which the network knows the board, as they are agreed.
#[derive(Default)]
pub struct HomeNames {
    agreed: Mutex<Agreed>,
    /// A first name, or the end.
    first: Condvar,
}

#[derive(Default)]
struct Agreed {
    /// By network interface; they differ where a name is free on one network and not on another.
    by_interface: BTreeMap<String, String>,
    /// Whether nothing will be agreed any more.
    over: bool,
}

impl Agreed {
    fn may_come(&mut self) -> bool {
        self.by_interface.is_empty() && !self.over
    }
}

impl HomeNames {
    /// Every name once, such as `putby.local`.
    pub fn all(&self) -> Vec<String> {
        let agreed = self.agreed.lock().unwrap_or_else(PoisonError::into_inner);
        let mut names: Vec<String> = agreed.by_interface.values().cloned().collect();
        names.sort();
        names.dedup();
        names
    }

    /// Waits until a name is agreed or none will be, but no longer than `limit`. Blocks.
    pub fn wait(&self, limit: Duration) {
        let agreed = self.agreed.lock().unwrap_or_else(PoisonError::into_inner);
        // How it ended is seen in the names themselves.
        let _ = self
            .first
            .wait_timeout_while(agreed, limit, Agreed::may_come);
    }

    /// Calls `then` once a name is agreed, however long that takes, on a thread of its own; not if
    /// none will be.
    pub fn once_agreed(self: &Arc<Self>, then: impl FnOnce(&HomeNames) + Send + 'static) {
        let names = Arc::clone(self);
        aside(move || {
            let agreed = names.agreed.lock().unwrap_or_else(PoisonError::into_inner);
            let agreed = names.first.wait_while(agreed, Agreed::may_come);
            let over = agreed.unwrap_or_else(PoisonError::into_inner).over;
            if !over {
                then(&names);
            }
        });
    }

    fn agree(&self, interface: &str, name: &str) {
        let name = name.trim_end_matches('.').to_owned();
        let mut agreed = self.agreed.lock().unwrap_or_else(PoisonError::into_inner);
        if agreed.by_interface.get(interface) != Some(&name) {
            tracing::info!(interface, name, "the network knows the board by a name");
        }
        agreed.by_interface.insert(interface.to_owned(), name);
        self.first.notify_all();
    }

    /// Nobody need wait any longer.
    fn end(&self) {
        let mut agreed = self.agreed.lock().unwrap_or_else(PoisonError::into_inner);
        agreed.over = true;
        self.first.notify_all();
    }
}

/// An announcement that goes on until it is ended.
pub struct Announcement {
    daemon: ServiceDaemon,
    /// What is agreed with the network.
    pub names: Arc<HomeNames>,
}

impl Announcement {
    /// Announces a board that listens at `listening` under `name` for `scheme`; another name is agreed where
    /// somebody has it already. `None` if there is nobody to tell or no way to.
    pub fn begin(scheme: &str, name: &str, listening: SocketAddr) -> Option<Announcement> {
        if listening.ip().is_loopback() {
            return None;
        }
        match announce(scheme, name, listening) {
            Ok(announcement) => Some(announcement),
            Err(error) => {
                tracing::warn!(%error, "the board has no plain name on this network");
                None
            }
        }
    }

    /// Says goodbye; without it others forget the board two minutes later. Blocks.
    pub fn end(&self) {
        self.names.end();
        if let Ok(done) = self.daemon.shutdown() {
            let _ = done.recv_timeout(GOODBYE);
        }
    }
}

fn announce(scheme: &str, name: &str, listening: SocketAddr) -> mdns_sd::Result<Announcement> {
    let daemon = ServiceDaemon::new()?;
    let names = Arc::new(HomeNames::default());
    heed(daemon.monitor()?, Arc::clone(&names));
    daemon.disable_interface(out_of_reach(listening.ip()))?;
    let host = format!("{name}.local.");
    let addresses = reachable_at(listening.ip());
    let service = ServiceInfo::new(
        &format!("_{scheme}._tcp.local."),
        LISTED_AS,
        &host,
        &addresses[..],
        listening.port(),
        &[("path", "/")][..],
    )?;
    // Addresses that come and go with the Wi-Fi are told anew.
    let service = match addresses.is_empty() {
        true => service.enable_addr_auto(),
        false => service,
    };
    daemon.register(service)?;
    Ok(Announcement { daemon, names })
}

/// Where nothing is told: on this computer itself, and where a listener on `ip` is not reached.
fn out_of_reach(ip: IpAddr) -> Vec<IfKind> {
    let here = [IfKind::LoopbackV4, IfKind::LoopbackV6];
    let other = match ip {
        IpAddr::V4(_) => Some(IfKind::IPv6),
        IpAddr::V6(ip) if !ip.is_unspecified() => Some(IfKind::IPv4),
        IpAddr::V6(_) => None,
    };
    here.into_iter().chain(other).collect()
}

/// The address to tell; none means each interface's own.
fn reachable_at(ip: IpAddr) -> Vec<IpAddr> {
    match ip.is_unspecified() {
        true => Vec::new(),
        false => vec![ip],
    }
}

/// Follows what the network agrees to, on a thread that ends with the announcement.
fn heed(events: Receiver<DaemonEvent>, names: Arc<HomeNames>) {
    let follow = move || {
        while let Ok(event) = events.recv() {
            match event {
                DaemonEvent::Announce(_, told) => {
                    // "putby.local.:eth0"
                    if let Some((host, interface)) = told.split_once(':') {
                        names.agree(interface, host);
                    }
                }
                DaemonEvent::Error(error) => tracing::warn!(%error, "multicast DNS"),
                _ => {}
            }
        }
    };
    aside(follow);
}

fn aside(work: impl FnOnce() + Send + 'static) {
    let begun = std::thread::Builder::new()
        .name("names at home".to_owned())
        .spawn(work);
    if let Err(error) = begun {
        tracing::warn!(%error, "the plain name will not be shown");
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_board_for_this_computer_alone_is_told_to_nobody() {
        for here in ["127.0.0.1:8080", "[::1]:8080"] {
            assert!(Announcement::begin("http", "putby", here.parse().unwrap()).is_none());
        }
    }

    #[test]
    fn nobody_waits_for_a_name_once_it_is_over() {
        let names = Arc::new(HomeNames::default());
        let (told, hears) = std::sync::mpsc::channel();
        names.once_agreed(move |_| told.send(()).unwrap());
        let waiter = Arc::clone(&names);
        let waits = std::thread::spawn(move || waiter.wait(Duration::MAX));
        names.end();
        waits.join().unwrap();
        assert!(hears.recv().is_err(), "a name was told that is not there");
    }

    #[test]
    fn each_name_is_listed_once_and_the_newest_of_an_interface_counts() {
        let names = HomeNames::default();
        names.agree("eth0", "putby.local.");
        names.agree("wlan0", "putby.local.");
        assert_eq!(names.all(), ["putby.local"]);
        names.agree("wlan0", "putby-2.local.");
        assert_eq!(names.all(), ["putby-2.local", "putby.local"]);
    }
}
