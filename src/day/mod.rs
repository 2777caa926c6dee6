//! The rules of a preserving day, pure: command -> [`decide()`] -> events -> [`apply()`] -> state.
//!
//! No clock, no I/O, no randomness, no floats: the moment and the ids arrive with the command, so
//! any day can be replayed, simulated and tested. The words used here:
//!
//! | word | meaning |
//! |---|---|
//! | day | one preserving day: kitchen, helpers, lots, events; the unit of consistency |
//! | station | a place where one kind of work is done; by nature hand, vessel, canner or hold |
//! | seat | a place for one helper at a station |
//! | lot | an amount of one produce that came in together |
//! | product | what it becomes, in one package size, with the route it takes |
//! | step | a station on a route, with its measure, carrier and yield |
//! | carrier | what is carried between stations: bowl, pot, tray, jar |
//! | tally | "one carrier done here": the tap that moves work on |
//! | divert | work that leaves its route |
//! | recount | what is really there; the difference stays on record |
//! | load | jars in a canner together |
//! | supply | jars, lids, bags, acid: what work draws on; its stock is how much is there |
//! | alarm | a clock that is over and wants somebody; it ends with a named person who took it |
//! | chore | work beside the flow that holds it up when forgotten |
//!
//! The invariants I1 to I6 stand in [`check`](State::check).

pub mod alarms;
pub mod amount;
mod apply;
mod carry_over;
mod check;
pub mod command;
mod decide;
pub mod event;
pub mod flow;
mod follow_up;
pub mod gather;
pub mod ids;
pub mod next_day;
pub mod plan;
mod plan_check;
mod record;
pub mod refusal;
pub mod state;
pub mod time;
pub mod view;

pub use apply::apply;
pub use carry_over::{leftovers, plan_again};
pub use command::{Command, Moment, Role};
pub(crate) use decide::verdict;
pub use decide::{Decision, UNKNOWN_MS_MAX, decide};
pub use event::Event;
pub use record::Record;
pub use refusal::{Code, Refusal};
pub use state::{STATE_VERSION, State};
pub use view::view;

/// Decides a command, applies what happened and what follows from it, and gives all of it.
///
/// # Errors
/// The refusal; the state is then unchanged.
pub fn execute(state: &mut State, command: &Command, moment: &Moment) -> Decision {
    let mut events = decide(state, command, moment)?;
    for event in &events {
        apply(state, moment.now, moment.command, event);
    }
    let follow_ups = follow_up::follow_up(state);
    for event in &follow_ups {
        apply(state, moment.now, moment.command, event);
    }
    events.extend(follow_ups);
    Ok(events)
}
