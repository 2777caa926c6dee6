//! What a socket is told of the doors: that they changed, so that a screen which shows a code asks
//! for the new one; and to the lead what was tried in vain. No code and no link is ever in it.

use super::doors::DoorsNow;
use super::{Device, Rank, WrongTries};
use crate::server::Site;
use serde_json::json;
use tokio::sync::watch;

/// The news of one socket.
pub struct DoorNews {
    doors: watch::Receiver<DoorsNow>,
    wrong: Option<watch::Receiver<WrongTries>>,
}

impl DoorNews {
    /// For the socket of a device. The lead is told of what happened before, too.
    pub fn follow(site: &Site, device: &Device) -> DoorNews {
        let mut wrong = site.access.wrong_tries();
        if wrong.borrow().count > 0 {
            wrong.mark_changed();
        }
        DoorNews {
            doors: site.access.doors.follow(),
            wrong: (device.rank == Rank::Lead).then_some(wrong),
        }
    }

    /// The next of them, as a socket pushes it.
    pub async fn next(&mut self) -> String {
        let wrong = async {
            let told = match &mut self.wrong {
                Some(wrong) => wrong.changed().await.is_ok(),
                None => false,
            };
            if !told {
                std::future::pending::<()>().await;
            }
        };
        tokio::select! {
            Ok(()) = self.doors.changed() => {}
            () = wrong => {}
            else => std::future::pending().await,
        }
        let mut push = json!({"push": "doors"});
        if let Some(wrong) = &mut self.wrong {
            push["wrong_tries"] = json!(*wrong.borrow_and_update());
        }
        push.to_string()
    }
}
