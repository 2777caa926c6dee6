//! Waiting for something to come true, never for a time to pass.

use actix_web::rt;
use std::time::{Duration, Instant};

/// The longest anything may take before a test gives up.
pub const PATIENCE: Duration = Duration::from_secs(300);

/// Waits until a condition holds, looking often; gives up with a panic.
pub async fn until(patience: Duration, what: &str, mut holds: impl AsyncFnMut() -> bool) {
    let asked = Instant::now();
    while !holds().await {
        assert!(asked.elapsed() < patience, "waited in vain for {what}");
        rt::time::sleep(Duration::from_millis(100)).await;
    }
}
