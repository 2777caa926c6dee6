//! Before the day: what to make of what there is, for what the family eats.
//!
//! An [`Ask`] says the produce, the dishes, the packages, the kitchen and the people; [`propose()`]
//! answers with whole packages by use, what they take, and how the day would go. Pure: no clock, no
//! I/O; the same ask always has the same answer. What has no tested process is never proposed for the
//! shelf, and what has no published yield is not guessed. The objective and the limits stand in
//! [`programme`].

pub mod ask;
pub mod check;
mod day_plan;
pub mod forecast;
mod freezing;
mod greedy;
mod held;
pub mod loads;
pub mod next_year;
pub mod options;
pub mod own_days;
pub mod pounds;
pub mod programme;
pub mod proposal;
mod propose;
mod routes;
mod settings;
pub mod solve;
mod supplies;

pub use ask::Ask;
pub use check::Fault;
pub use proposal::Proposal;
pub use propose::propose;
pub use settings::Settings;
