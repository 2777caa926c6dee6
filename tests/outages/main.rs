//! What a disk, a plug or the end of the process can do to the real program under the taps of twenty
//! devices. A binary of its own, so that it takes no time from the day that is played in
//! `tests/faults`.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

#[allow(dead_code, reason = "tests/faults uses the rest")]
#[path = "../faults/board.rs"]
mod board;
mod disks;
mod failed_calls; // each call, once
mod failed_sync; // a disk that does not confirm
mod faulty_store;
mod full_disk; // no room
mod kills; // again and again, under taps
mod load;
mod long_day; // far longer than any
mod lost_writes; // what was confirmed is gone
mod played;
mod power_cut;
mod torn_tail; // a log that ends in the middle
#[path = "../faults/waiting.rs"]
mod waiting;
mod write_points; // each write goes wrong

use waiting::{PATIENCE, until};
