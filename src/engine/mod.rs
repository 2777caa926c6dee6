//! The engine: what happens to a command between the network and the disk.
//!
//! Each open day lives on one plain thread that owns its state, so the rules need no locks and
//! meet commands one by one. The thread takes what is waiting, decides each, writes all of it with
//! one sync, shows the new view to everyone, and only then answers. What it keeps true: nobody
//! hears of an event before it is on disk; what could not be written never happened; nobody waits
//! for a slow device. Not for HTTP and not for SQL.

mod attendant;
mod bell;
mod by_hand;
mod days;
mod disk;
mod feed;
mod frame;
mod handle;
mod load;
mod outlooks;
mod patch;
mod refused;
mod shelf;
mod worker;

pub use attendant::Attendant;
pub use bell::{Bell, Heard};
pub use by_hand::DayByHand;
pub use days::Days;
pub use disk::{Disk, Writes};
pub use feed::{Feed, Latest, Time};
pub use handle::{DayHandle, Order, Receipt, Unanswered};
pub use outlooks::MadeOutlook;
pub use patch::diff;
pub use shelf::{ShelfKeeper, ShelfNow, ShelfOrder, ShelfUnanswered};
