//! The shelf: what became of the packages of all days. Pure: command -> [`decide()`] -> events ->
//! [`apply()`] -> state -> [`view()`].
//!
//! What arrives comes from the days' own events (see [`crate::trace`]) and is never copied here;
//! the shelf's own events say what was taken, judged, moved, thrown away, counted and recalled. The
//! words used here:
//!
//! | word | meaning |
//! |---|---|
//! | place | pantry, refrigerator or freezer |
//! | take | a package is opened to be eaten |
//! | discard | it is thrown away uneaten |
//! | correct | what is really there; the difference stays on record |
//! | judge | how a package was: half left over, too runny, not liked, just right |
//! | recall | nothing of that load or run may be eaten any more |
//!
//! Invariants: for every lot, what was made is what is left, eaten, failed, waiting, gone back and
//! missing together ([`Accounts`]); no command leaves less than nothing; only the seal check brings
//! jars to the pantry, nothing is moved there.

mod accounts;
mod apply;
mod command;
mod decide;
mod event;
mod refusal;
mod state;
mod table;
mod uses;
mod view;

pub use accounts::Accounts;
pub use apply::apply;
pub use command::{BatchRef, Command, LotRef, Verdict, Why};
pub use decide::{UNDO_MS, decide, unknown_lot};
pub use event::{Event, Record};
pub use refusal::{Code, Refusal};
pub use state::{Kept, Ledger, Recall, State};
pub use table::csv;
pub use uses::{Use, Uses, uses};
pub use view::{LotOnShelf, ProductOnShelf, Rate, ShelfView, view};

use crate::day::Moment;

/// Decides a command and applies what happened.
///
/// # Errors
/// The refusal; the state is then unchanged.
pub fn execute(
    state: &mut State,
    command: &Command,
    moment: &Moment,
) -> Result<Vec<Event>, Refusal> {
    let events = decide(state, command, moment)?;
    for event in &events {
        apply(state, moment.now, moment.command, event);
    }
    Ok(events)
}
