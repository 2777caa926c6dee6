//! Copies of the journal: made while the board runs, checked, kept in turns, put back.
//!
//! Not for what one file says to another program (that is `journal::carry`), and without threads and
//! clocks: who calls says what time it is. What it keeps true: a copy has its name only once it is
//! whole, checked and on the disk; nothing is ever written over unasked; what is replaced is kept.

mod check;
mod folder;
mod make;
mod restore;
mod rotation;

pub use check::{DayFound, Fault, Found, Replayed, ShelfFound, check, check_beyond};
pub use folder::{Copies, Kept, State, is_name, list};
pub use make::{CopyTrouble, copy_to};
pub use restore::{Lost, RestoreTrouble, Restored, newest, restore};
pub use rotation::superfluous;
