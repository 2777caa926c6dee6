//! Makes this thread give way to all others.

/// A tenth of what another thread gets, where both want the same core: taps go first, and beside a
/// program that never rests there still is an outlook, which at the lowest priority there was not.
/// On Linux a nice value is a thread's own.
#[cfg(target_os = "linux")]
pub fn give_way() {
    const NICE: i32 = 10;
    if let Err(error) = rustix::process::setpriority_process(None, NICE) {
        tracing::warn!(%error, "looking ahead takes as much of the computer as anything else");
    }
}

/// Elsewhere it would be the whole program's.
#[cfg(not(target_os = "linux"))]
pub fn give_way() {}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn only_the_thread_that_gives_way_has_a_low_priority() {
        let nice = || rustix::process::getpriority_process(None).ok();
        let before = nice();
        let given_way = std::thread::spawn(move || {
            give_way();
            nice()
        });
        assert_eq!(given_way.join().ok(), Some(Some(10)));
        assert_eq!(nice(), before);
    }
}
